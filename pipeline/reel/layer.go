package reel

/*
#include "blend.h"
*/
import "C"

import (
	"bytes"
	"hash/maphash"
	"image"
	"math/bits"

	"strokereel/track"
)

// layer is what is drawn over pictures, kept as light and opacity in planes
// like theirs. It is drawn on nothing, in red, green, blue and opacity, and then
// turned; the blend itself is done in the picture's own planes (blend.c), which
// is linear in red, green and blue too, so that no picture is ever converted,
// only what was drawn. Most of a drawing is as it was a moment before: only tiles
// whose sum is another than when they were turned last are turned again.
type layer struct {
	img   *image.RGBA
	tiles []C.struct_tile // that are drawn on
	sums  []uint64        // of every tile, when it was turned last
	box   Box             // where it lies; even on the left and at the top
	w, h  int

	luma             []uint8 // light, limited range times opacity, without the offset
	cb, cr           []int16 // likewise, centred, chroma resolution
	through, chromaT []uint8 // 255 - opacity, of luma and chroma samples
}

// tileWide is how many px of two rows are looked at together: most of a picture
// is untouched, and comparing memory is quick.
const tileWide = 32

var (
	untouched [4 * tileWide]byte
	sumSeed   = maphash.MakeSeed()
)

func newLayer(box Box) *layer {
	w, h := box.W, box.H
	n, c := w*h, ((w+1)/2)*((h+1)/2)
	return &layer{
		img: image.NewRGBA(image.Rect(0, 0, w, h)), sums: make([]uint64, ((w+tileWide-1)/tileWide)*((h+1)/2)), box: box, w: w, h: h,
		luma: make([]uint8, n), through: make([]uint8, n), cb: make([]int16, c), cr: make([]int16, c), chromaT: make([]uint8, c),
	}
}

// row are the drawn pixels of a row of a tile.
func (l *layer) row(t C.struct_tile, y int) []byte {
	at := (int(t.y)+y)*l.img.Stride + 4*int(t.x)
	return l.img.Pix[at : at+4*int(t.w)]
}

// wipe empties the drawing.
func (l *layer) wipe() {
	for _, t := range l.tiles {
		for y := range int(t.h) {
			clear(l.row(t, y))
		}
	}
	l.tiles = l.tiles[:0]
}

// touched reports whether anything is drawn on a tile.
func (l *layer) touched(t C.struct_tile) bool {
	for y := range int(t.h) {
		if row := l.row(t, y); !bytes.Equal(row, untouched[:len(row)]) {
			return true
		}
	}
	return false
}

// sum tells drawings of a tile apart.
func (l *layer) sum(t C.struct_tile) (sum uint64) {
	for y := range int(t.h) {
		sum = bits.RotateLeft64(sum, 1) ^ maphash.Bytes(sumSeed, l.row(t, y))
	}
	return sum
}

// draw replaces the layer by what f draws on an empty image.
func (l *layer) draw(f func(img *image.RGBA) error) error {
	l.wipe()
	err := f(l.img)
	at := 0
	for y := 0; y < l.h; y += 2 {
		for x := 0; x < l.w; x += tileWide {
			t := C.struct_tile{x: C.int32_t(x), y: C.int32_t(y), w: C.int32_t(min(tileWide, l.w-x)), h: C.int32_t(min(2, l.h-y))}
			if l.touched(t) {
				l.tiles = append(l.tiles, t)
				if sum := l.sum(t); sum != l.sums[at] {
					l.sums[at] = sum
					l.turn(t)
				}
			}
			at++
		}
	}
	return err
}

// turn computes light and opacity of a tile. The factors are those of ITU-R
// BT.709-6, 3.2, times 219/255, in 1/65536.
func (l *layer) turn(t C.struct_tile) {
	left, top, wide := int(t.x), int(t.y), int(t.w)
	for y := range int(t.h) {
		at, pix := (top+y)*l.w+left, l.row(t, y)
		luma, through := l.luma[at:at+wide], l.through[at:at+wide]
		for i := range luma {
			p := pix[4*i : 4*i+4 : 4*i+4]
			// 16 counts as far as the layer is opaque.
			v := (11966*int32(p[0])+40254*int32(p[1])+4064*int32(p[2])+1<<15)>>16 + (16*int32(p[3])+127)/255
			luma[i], through[i] = uint8(v), 255-p[3]
		}
	}
	at := top / 2 * ((l.w + 1) / 2)
	for x := left; x < left+wide; x += 2 {
		l.block(at+x/2, x, top)
	}
}

// block averages the colour of 2 x 2 pixels. The factors follow from BT.709-6,
// 3.3, times 224/255, in 1/65536, for the sum of four pixels in 1/262144.
func (l *layer) block(to, x, y int) {
	var r, g, b, opaque int32
	for _, y := range [2]int{y, min(y+1, l.h-1)} {
		for _, x := range [2]int{x, min(x+1, l.w-1)} {
			p := l.img.Pix[y*l.img.Stride+4*x:][:4:4]
			r, g, b, opaque = r+int32(p[0]), g+int32(p[1]), b+int32(p[2]), opaque+int32(p[3])
		}
	}
	l.cb[to] = int16((-6596*r - 22189*g + 28784*b + 1<<17) >> 18)
	l.cr[to] = int16((28784*r - 26145*g - 2639*b + 1<<17) >> 18)
	l.chromaT[to] = uint8(255 - (opaque+2)/4)
}

// over blends the layer over its part of a picture.
func (l *layer) over(f *track.Frame) {
	n := C.int(len(l.tiles))
	if n == 0 {
		return
	}
	cw, _ := f.ChromaSize()
	luma, chroma := l.box.Y*f.Width+l.box.X, l.box.Y/2*cw+l.box.X/2
	C.blend_luma(bytesOf(f.Y[luma:]), C.int(f.Width), bytesOf(l.luma), bytesOf(l.through), C.int(l.w), &l.tiles[0], n)
	for _, p := range []struct {
		dst   []byte
		light []int16
	}{{f.U, l.cb}, {f.V, l.cr}} {
		C.blend_chroma(bytesOf(p.dst[chroma:]), C.int(cw), (*C.int16_t)(&p.light[0]), bytesOf(l.chromaT), C.int((l.w+1)/2), &l.tiles[0], n)
	}
}
