package reel

import (
	"bytes"
	"image"

	"strokereel/track"
)

// layer is what is drawn over pictures, kept as light and opacity in planes
// like theirs. It is drawn on nothing, in red, green, blue and opacity, and then
// turned; the blend itself is done in the picture's own planes, which is linear
// in red, green and blue too, so that no picture is ever converted, only what
// was drawn. Most of a drawing is as it was a moment before: the one before is
// kept, and only tiles that differ from it are turned.
type layer struct {
	now, last drawing
	box       Box // where it lies; even on the left and at the top
	w, h      int

	luma             []uint8 // light, limited range times opacity, without the offset
	cb, cr           []int16 // likewise, centred, chroma resolution
	through, chromaT []uint8 // 255 - opacity, of luma and chroma samples
}

// drawing is an image that is empty but for some tiles.
type drawing struct {
	img   *image.RGBA
	tiles []image.Rectangle
}

// tileWide is how many px of two rows are looked at together: most of a picture
// is untouched, and comparing memory is quick.
const tileWide = 32

var untouched [4 * tileWide]byte

func newLayer(box Box) *layer {
	w, h := box.W, box.H
	l := &layer{box: box, w: w, h: h}
	for _, d := range []*drawing{&l.now, &l.last} {
		d.img = image.NewRGBA(image.Rect(0, 0, w, h))
	}
	n, c := w*h, ((w+1)/2)*((h+1)/2)
	l.luma, l.through = make([]uint8, n), make([]uint8, n)
	l.cb, l.cr, l.chromaT = make([]int16, c), make([]int16, c), make([]uint8, c)
	return l
}

// row are a drawing's pixels of one row of a tile.
func (d *drawing) row(t image.Rectangle, y int) []byte {
	at := y * d.img.Stride
	return d.img.Pix[at+4*t.Min.X : at+4*t.Max.X]
}

// wipe empties a drawing.
func (d *drawing) wipe() {
	for _, t := range d.tiles {
		for y := t.Min.Y; y < t.Max.Y; y++ {
			clear(d.row(t, y))
		}
	}
	d.tiles = d.tiles[:0]
}

// touched reports whether anything is drawn on a tile.
func (d *drawing) touched(t image.Rectangle) bool {
	for y := t.Min.Y; y < t.Max.Y; y++ {
		if row := d.row(t, y); !bytes.Equal(row, untouched[:len(row)]) {
			return true
		}
	}
	return false
}

// draw replaces the layer by what f draws on an empty image.
func (l *layer) draw(f func(img *image.RGBA) error) error {
	l.now, l.last = l.last, l.now
	l.now.wipe()
	err := f(l.now.img)
	for y := 0; y < l.h; y += 2 {
		for x := 0; x < l.w; x += tileWide {
			t := image.Rect(x, y, min(x+tileWide, l.w), min(y+2, l.h))
			if !l.now.touched(t) {
				continue
			}
			l.now.tiles = append(l.now.tiles, t)
			if l.fresh(t) {
				l.turn(t)
			}
		}
	}
	return err
}

// fresh reports whether a tile is not as it was.
func (l *layer) fresh(t image.Rectangle) bool {
	for y := t.Min.Y; y < t.Max.Y; y++ {
		if !bytes.Equal(l.now.row(t, y), l.last.row(t, y)) {
			return true
		}
	}
	return false
}

// turn computes light and opacity of a tile. The factors are those of ITU-R
// BT.709-6, 3.2, times 219/255, in 1/65536.
func (l *layer) turn(t image.Rectangle) {
	for y := t.Min.Y; y < t.Max.Y; y++ {
		at, pix := y*l.w+t.Min.X, l.now.row(t, y)
		luma, through := l.luma[at:at+t.Dx()], l.through[at:at+t.Dx()]
		for i := range luma {
			p := pix[4*i : 4*i+4 : 4*i+4]
			// 16 counts as far as the layer is opaque.
			v := (11966*int32(p[0])+40254*int32(p[1])+4064*int32(p[2])+1<<15)>>16 + (16*int32(p[3])+127)/255
			luma[i], through[i] = uint8(v), 255-p[3]
		}
	}
	at := t.Min.Y / 2 * ((l.w + 1) / 2)
	for x := t.Min.X; x < t.Max.X; x += 2 {
		l.block(at+x/2, x, t.Min.Y)
	}
}

// block averages the colour of 2 x 2 pixels. The factors follow from BT.709-6,
// 3.3, times 224/255, in 1/65536, for the sum of four pixels in 1/262144.
func (l *layer) block(to, x, y int) {
	img := l.now.img
	var r, g, b, opaque int32
	for _, y := range [2]int{y, min(y+1, l.h-1)} {
		for _, x := range [2]int{x, min(x+1, l.w-1)} {
			p := img.Pix[y*img.Stride+4*x:][:4:4]
			r, g, b, opaque = r+int32(p[0]), g+int32(p[1]), b+int32(p[2]), opaque+int32(p[3])
		}
	}
	l.cb[to] = int16((-6596*r - 22189*g + 28784*b + 1<<17) >> 18)
	l.cr[to] = int16((28784*r - 26145*g - 2639*b + 1<<17) >> 18)
	l.chromaT[to] = uint8(255 - (opaque+2)/4)
}

// over blends the layer over its part of a picture.
func (l *layer) over(f *track.Frame) {
	cw, fw := (l.w+1)/2, (f.Width+1)/2
	for _, t := range l.now.tiles {
		for y := t.Min.Y; y < t.Max.Y; y++ {
			at, end := y*l.w+t.Min.X, y*l.w+t.Max.X
			dst, light, through := f.Y[(l.box.Y+y)*f.Width+l.box.X+t.Min.X:][:t.Dx()], l.luma[at:end], l.through[at:end]
			for i := range dst {
				dst[i] = uint8(int(light[i]) + (int(dst[i])*int(through[i])+127)/255)
			}
		}
		at, end := t.Min.Y/2*cw+t.Min.X/2, t.Min.Y/2*cw+(t.Max.X+1)/2
		to := (l.box.Y+t.Min.Y)/2*fw + (l.box.X+t.Min.X)/2
		u, v, cb, cr, through := f.U[to:][:end-at], f.V[to:][:end-at], l.cb[at:end], l.cr[at:end], l.chromaT[at:end]
		for i := range u {
			k := int32(through[i])
			u[i], v[i] = shade(u[i], cb[i], k), shade(v[i], cr[i], k)
		}
	}
}

func shade(under byte, light int16, through int32) byte {
	v := (int32(under) - 128) * through
	return clamp(128 + int32(light) + (v+127*sign(v))/255)
}

func sign(v int32) int32 {
	if v < 0 {
		return -1
	}
	return 1
}
