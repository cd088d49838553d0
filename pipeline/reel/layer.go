package reel

import (
	"bytes"
	"image"
	"image/color"

	"strokereel/overlay"
	"strokereel/track"
)

// layer is what is drawn over a picture, kept as light and opacity. The drawing
// code wants an opaque picture under it, so it draws twice: over black and over
// white. Where the two differ the picture shines through,
//
//	opacity = 1 - (over white - over black),  light = over black,
//
// exactly, because blending is linear. The blend itself is then done in the
// picture's own planes, which is linear in red, green and blue too, so that no
// picture is ever converted, only what was drawn.
type layer struct {
	black, white *image.RGBA
	blank        [2][]byte // a chunk of each without anything drawn
	spans        []extent  // touched pixels, rows rising
	w, h         int

	luma             []uint8 // light, limited range times opacity, without the offset
	cb, cr           []int16 // likewise, centred, chroma resolution
	through, chromaT []uint8 // 255 - opacity, of luma and chroma samples
	pairs            []extent
}

// extent is a stretch of one row, from x0 up to but not with x1.
type extent struct{ y, x0, x1 int }

func newLayer(w, h int) *layer {
	l := &layer{w: w, h: h, black: image.NewRGBA(image.Rect(0, 0, w, h)), white: image.NewRGBA(image.Rect(0, 0, w, h))}
	n, c := w*h, ((w+1)/2)*((h+1)/2)
	l.luma, l.through = make([]uint8, n), make([]uint8, n)
	l.cb, l.cr, l.chromaT = make([]int16, c), make([]int16, c), make([]uint8, c)
	for i := range l.black.Pix {
		l.white.Pix[i] = 255
		if i%4 == 3 {
			l.black.Pix[i] = 255
		}
	}
	for i, img := range []*image.RGBA{l.black, l.white} {
		for range chunk {
			l.blank[i] = append(l.blank[i], img.Pix[:4]...)
		}
	}
	return l
}

// clear takes away what was drawn.
func (l *layer) clear() {
	for _, s := range l.spans {
		at := s.y * l.black.Stride
		b, w := l.black.Pix[at+4*s.x0:at+4*s.x1], l.white.Pix[at+4*s.x0:at+4*s.x1]
		for i := 0; i < len(b); i += 4 {
			b[i], b[i+1], b[i+2], b[i+3] = 0, 0, 0, 255
			w[i], w[i+1], w[i+2], w[i+3] = 255, 255, 255, 255
		}
	}
	l.spans, l.pairs = l.spans[:0], l.pairs[:0]
}

// chunk is how many px are compared at once when looking for what was drawn:
// most of a picture is untouched, and comparing memory is quick.
const chunk = 32

// gather finds what was drawn since clear and turns it into light and opacity.
func (l *layer) gather() {
	stride := l.black.Stride
	for y := range l.h {
		b, w := l.black.Pix[y*stride:y*stride+4*l.w], l.white.Pix[y*stride:y*stride+4*l.w]
		first := len(l.spans)
		for x := 0; x < l.w; x += chunk {
			end := min(x+chunk, l.w)
			if bytes.Equal(b[4*x:4*end], l.blank[0][:4*(end-x)]) && bytes.Equal(w[4*x:4*end], l.blank[1][:4*(end-x)]) {
				continue
			}
			if n := len(l.spans); n > first && l.spans[n-1].x1 == x {
				l.spans[n-1].x1 = end
			} else {
				l.spans = append(l.spans, extent{y, x, end})
			}
		}
	}
	for _, s := range l.spans {
		l.light(s)
	}
	l.gatherChroma()
}

// light computes luma and opacity of a stretch. The factors are those of ITU-R
// BT.709-6, 3.2, times 219/255, in 1/65536.
func (l *layer) light(s extent) {
	at, to := s.y*l.black.Stride+4*s.x0, s.y*l.w+s.x0
	b, w := l.black.Pix[at:at+4*(s.x1-s.x0)], l.white.Pix[at:at+4*(s.x1-s.x0)]
	for i := 0; i < len(b); i += 4 {
		through := max(int(w[i+1])-int(b[i+1]), 0)
		opaque := int32(255 - through)
		// 16 counts as far as the layer is opaque.
		y := (11966*int32(b[i])+40254*int32(b[i+1])+4064*int32(b[i+2])+1<<15)>>16 + (16*opaque+127)/255
		l.luma[to+i/4], l.through[to+i/4] = uint8(y), uint8(through)
	}
}

// gatherChroma averages the colour of each block of 2 x 2 pixels that was
// touched. Spans begin and end at whole chunks, so blocks of the second of two
// rows are new only where the first was untouched.
func (l *layer) gatherChroma() {
	cw := (l.w + 1) / 2
	above := 0 // first span of the row above
	for i, s := range l.spans {
		for above < i && l.spans[above].y < s.y-1 {
			above++
		}
		row := s.y / 2
		for x := s.x0; x < s.x1; x += chunk {
			if s.y%2 == 1 && l.touched(above, s.y-1, x) {
				continue
			}
			p := extent{row, x / 2, (min(x+chunk, s.x1) + 1) / 2}
			for c := p.x0; c < p.x1; c++ {
				l.block(row*cw+c, 2*c, 2*row)
			}
			l.pairs = append(l.pairs, p)
		}
	}
}

// touched reports whether a span of row y holds x; from is where to look.
func (l *layer) touched(from, y, x int) bool {
	for _, s := range l.spans[from:] {
		if s.y > y {
			return false
		}
		if s.y == y && x >= s.x0 && x < s.x1 {
			return true
		}
	}
	return false
}

// block averages one block. The factors follow from BT.709-6, 3.3, times
// 224/255, in 1/65536, for the sum of four pixels in 1/262144.
func (l *layer) block(to, x, y int) {
	var r, g, b, through int32
	for dy := range 2 {
		for dx := range 2 {
			at := min(y+dy, l.h-1)*l.black.Stride + 4*min(x+dx, l.w-1)
			p := l.black.Pix[at : at+4 : at+4]
			r, g, b = r+int32(p[0]), g+int32(p[1]), b+int32(p[2])
			through += max(int32(l.white.Pix[at+1])-int32(p[1]), 0)
		}
	}
	l.cb[to] = int16((-6596*r - 22189*g + 28784*b + 1<<17) >> 18)
	l.cr[to] = int16((28784*r - 26145*g - 2639*b + 1<<17) >> 18)
	l.chromaT[to] = uint8((through + 2) / 4)
}

// over blends the layer over a picture of its size.
func (l *layer) over(f *track.Frame) {
	for _, s := range l.spans {
		at, end := s.y*l.w+s.x0, s.y*l.w+s.x1
		dst, light, through := f.Y[at:end], l.luma[at:end], l.through[at:end]
		for i := range dst {
			dst[i] = uint8(int(light[i]) + (int(dst[i])*int(through[i])+127)/255)
		}
	}
	cw := (l.w + 1) / 2
	for _, s := range l.pairs {
		for at := s.y*cw + s.x0; at < s.y*cw+s.x1; at++ {
			t := int32(l.chromaT[at])
			f.U[at] = shade(f.U[at], l.cb[at], t)
			f.V[at] = shade(f.V[at], l.cr[at], t)
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

// draw replaces the layer by what f draws, called for both grounds alike.
func (l *layer) draw(f func(ground int, img *image.RGBA) error) error {
	l.clear()
	for i, img := range []*image.RGBA{l.black, l.white} {
		if err := f(i, img); err != nil {
			return err
		}
	}
	l.gather()
	return nil
}

// newFrame returns a frame of one colour.
func newFrame(w, h int, c color.RGBA) *track.Frame {
	cw, ch := (w+1)/2, (h+1)/2
	buf := make([]byte, w*h+2*cw*ch)
	f := &track.Frame{Width: w, Height: h, Y: buf[:w*h], U: buf[w*h : w*h+cw*ch], V: buf[w*h+cw*ch:]}
	paint(f, c)
	return f
}

// paint fills a frame with a colour (BT.709, limited range).
func paint(f *track.Frame, c color.RGBA) {
	r, g, b := int32(c.R), int32(c.G), int32(c.B)
	fill(f.Y, clamp(16+(11966*r+40254*g+4064*b+1<<15)>>16))
	fill(f.U, clamp(128+(-6596*r-22189*g+28784*b+1<<15)>>16))
	fill(f.V, clamp(128+(28784*r-26145*g-2639*b+1<<15)>>16))
}

func fill(p []byte, v byte) {
	for i := range p {
		p[i] = v
	}
}

// backdrop is the colour where no picture is.
var backdrop = overlay.Slate
