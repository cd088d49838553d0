package reel

/*
#cgo CFLAGS: -O3
#cgo LDFLAGS: -lm
#include "rows.h"
*/
import "C"

import (
	"math"

	"strokereel/pipeline/clip"
	"strokereel/track"
)

// resampler places pictures of one size into a box of a frame: turned and scaled
// by the kernel of R. Keys, IEEE Trans. ASSP 29 (1981), pages 1153-1160, with a
// = -1/2, stretched when the picture shrinks. Where the picture does not reach,
// the frame is left as it is. A picture that is only moved by whole pixels is
// copied.
//
// A turn is done in two steps, down and then across, each along one direction
// only (E. Catmull and A. R. Smith, Computer Graphics 14 (1980), pages 279-285).
// The samples themselves are computed in rows.c: this is most of the work on a
// picture, and a C compiler does eight of them at a time.
type resampler struct {
	luma, chroma mapping
	room         []C.uint16_t // for rows.c
}

// mapping says where the samples of a part of one plane of the frame lie in the
// picture's plane: sample (i, j) of the part at x = a i + b j + c, y = d i + e j
// + f.
type mapping struct {
	first, count     [2]int // of the part
	a, b, c, d, e, f float64
	taps             taps
}

// newResampler makes what is needed for pictures of w x h px. Chroma samples lie
// between two rows, and level with one of the columns or between them: the
// picture's by its siting, the reel's at the left.
func newResampler(w, h int, siting clip.Siting, box Box, v View, deg float64) *resampler {
	left := map[clip.Siting]float64{clip.SitedLeft: 0.5, clip.SitedCentre: 1, clip.SitedRight: 1.5}[siting]
	t := newTurn(w, h, deg)
	return &resampler{
		luma:   newMapping(t, box, v, 1, [2]float64{0.5, 0.5}, [2]float64{0.5, 0.5}),
		chroma: newMapping(t, box, v, 2, [2]float64{left, 1}, [2]float64{0.5, 1}),
	}
}

// newMapping makes a plane's mapping in which samples are pitch px apart; the
// first lies at from px in the picture and at to px in the frame.
func newMapping(t turn, box Box, v View, pitch float64, from, to [2]float64) mapping {
	p := int(pitch)
	m := mapping{first: [2]int{box.X / p, box.Y / p}, taps: newTaps(v.Scale)}
	// x and y of a sample of the box, in samples of the picture as turned.
	turned := func(axis, i int) float64 {
		return ((float64(i)*pitch+to[axis]-[2]float64{v.X, v.Y}[axis])/v.Scale - from[axis]) / pitch
	}
	for axis, size := range [2]float64{t.w, t.h} {
		count := ([2]int{box.W, box.H}[axis] + p - 1) / p
		most := math.Ceil(size/pitch) - 0.5
		lo := 0
		for lo < count && turned(axis, lo) < -0.5 {
			lo++
		}
		for m.count[axis] = 0; lo+m.count[axis] < count && turned(axis, lo+m.count[axis]) < most; m.count[axis]++ {
		}
		m.first[axis] += lo
	}
	offset := [2]int{m.first[0] - box.X/p, m.first[1] - box.Y/p}
	at := func(i, j int) (x, y float64) {
		x, y = t.back(turned(0, i+offset[0])*pitch+from[0], turned(1, j+offset[1])*pitch+from[1])
		return (x - from[0]) / pitch, (y - from[1]) / pitch
	}
	m.c, m.f = at(0, 0)
	x, y := at(1, 0)
	m.a, m.d = x-m.c, y-m.f
	x, y = at(0, 1)
	m.b, m.e = x-m.c, y-m.f
	return m
}

// place draws a picture into a frame.
func (r *resampler) place(dst, src *track.Frame) {
	cw, _ := dst.ChromaSize()
	sw, _ := src.ChromaSize()
	r.plane(dst.Y, dst.Width, src.Y, src.Width, &r.luma)
	r.plane(dst.U, cw, src.U, sw, &r.chroma)
	r.plane(dst.V, cw, src.V, sw, &r.chroma)
}

func (r *resampler) plane(dst []byte, dw int, src []byte, sw int, m *mapping) {
	out := func(j int) []byte {
		from := (m.first[1]+j)*dw + m.first[0]
		return dst[from : from+m.count[0]]
	}
	if x, y, ok := m.moved(sw, len(src)/sw); ok {
		for j := range m.count[1] {
			copy(out(j), src[(y+j)*sw+x:])
		}
		return
	}
	if m.count[0] < 1 || m.count[1] < 1 {
		return
	}
	size := int(math.Ceil(m.a*float64(m.count[0]))) + m.taps.n + 4
	if need := 2 * C.ROWS * size; len(r.room) < need {
		r.room = make([]C.uint16_t, need)
	}
	how := C.struct_mapping{
		a: C.double(m.a), b: C.double(m.b), c: C.double(m.c), d: C.double(m.d), e: C.double(m.e), f: C.double(m.f),
		wide: C.int(m.count[0]), high: C.int(m.count[1]), n: C.int(m.taps.n),
	}
	C.place_rows(bytesOf(out(0)), C.int(dw), bytesOf(src), C.int(sw), C.int(len(src)/sw), &how, &m.taps.weight[0], &r.room[0], C.int(size))
}

// bytesOf is where C finds samples.
func bytesOf(p []byte) *C.uint8_t { return (*C.uint8_t)(&p[0]) }

// hair is how far, in samples, a place may be from a whole one to be taken for it.
const hair = 1e-6

// moved reports a picture that is only moved, by whole samples, and whether it
// reaches as far as it is shown.
func (m *mapping) moved(w, h int) (x, y int, ok bool) {
	x, y = int(math.Round(m.c)), int(math.Round(m.f))
	off := math.Abs(m.c-float64(x)) + math.Abs(m.f-float64(y)) + math.Abs(m.a-1) + math.Abs(m.e-1) + math.Abs(m.b) + math.Abs(m.d)
	return x, y, off < hair && x >= 0 && y >= 0 && x+m.count[0] <= w && y+m.count[1] <= h
}

// taps are the weights of the samples around a place between two of them: n of
// them for each phase, that is 1/phases of the way.
type taps struct {
	n      int
	weight []C.uint16_t // in 1/unit, each as often as rows.c computes rows at once
}

const (
	unit   = 1 << C.WEIGHT_BITS
	phases = 1 << C.PHASE_BITS
)

// newTaps makes the weights for a picture that is scaled.
func newTaps(scale float64) taps {
	stretch := max(1, 1/scale)
	half := int(math.Ceil(2 * stretch))
	t := taps{n: 2 * half}
	w := make([]float64, t.n)
	for p := range phases {
		sum := 0.0
		for k := range w {
			w[k] = kernel((float64(k-half+1) - float64(p)/phases) / stretch)
			sum += w[k]
		}
		// Rounded such that they still sum to one.
		whole, last := 0.0, 0.0
		for k := range w {
			whole += w[k] / sum * unit
			next := math.Round(whole)
			for range C.ROWS {
				t.weight = append(t.weight, C.uint16_t(int16(next-last))) // a negative one wraps, as in C
			}
			last = next
		}
	}
	return t
}

// kernel is Keys' cubic convolution.
func kernel(x float64) float64 {
	x = math.Abs(x)
	switch {
	case x < 1:
		return (1.5*x-2.5)*x*x + 1
	case x < 2:
		return ((-0.5*x+2.5)*x-4)*x + 2
	}
	return 0
}

func clamp(v int32) byte {
	if uint32(v) > 255 {
		return byte(^v >> 31) // 0 below, 255 above
	}
	return byte(v)
}
