package reel

import (
	"math"

	"strokereel/pipeline/clip"
	"strokereel/track"
)

// resampler places pictures of one size into a box of a frame: scaled by the
// kernel of R. Keys, IEEE Trans. ASSP 29 (1981), pages 1153-1160, with a =
// -1/2, stretched when the picture shrinks. Where the picture does not reach,
// the frame is left as it is. A picture that is only moved by whole pixels is
// copied.
//
// Scaling takes most of the time that a reel takes beside coding, so four rows
// of the frame are computed at once, one in each 16 bits of a word: a product
// with a word of four weights is four products. See lanes.go.
type resampler struct {
	luma, chroma [2]axis // across, down
	box          Box
	mid          []lanes // columns of the picture, four rows of the frame each
}

// axis is the scaling of one direction of a plane: sample first+i of the frame
// is the weighted sum of n samples of the picture from start[i] on.
type axis struct {
	first, n int
	start    []int32
	weight   []int16 // n for each sample, in 1/unit
	size     int     // of the picture
}

// newResampler makes the tables for pictures of w x h px. Chroma samples lie
// between two rows, and level with the left column or between the columns: the
// picture's by its siting, the reel's at the left.
func newResampler(w, h int, siting clip.Siting, box Box, v View) *resampler {
	left := 0.5
	if siting == clip.SitedCentre {
		left = 1
	}
	return &resampler{box: box,
		luma: [2]axis{newAxis(w, box.X, box.W, v.Scale, v.X, 1, 0.5, 0.5), newAxis(h, box.Y, box.H, v.Scale, v.Y, 1, 0.5, 0.5)},
		chroma: [2]axis{newAxis((w+1)/2, box.X/2, (box.W+1)/2, v.Scale, v.X, 2, left, 0.5),
			newAxis((h+1)/2, box.Y/2, (box.H+1)/2, v.Scale, v.Y, 2, 1, 1)},
	}
}

// newAxis makes the table of a direction in which samples are pitch px apart;
// the first lies at from px in the picture and at to px in the frame.
func newAxis(size, first, count int, scale, move float64, pitch, from, to float64) axis {
	a := axis{size: size}
	stretch := max(1, 1/scale)
	reach := 2 * stretch
	n := int(2*math.Ceil(reach)) + 1
	type sample struct {
		start int
		w     []float64
	}
	var all []sample
	for i := range count {
		x := ((float64(i)*pitch+to-move)/scale - from) / pitch
		if x < -0.5 || x >= float64(size)-0.5 {
			if len(all) == 0 {
				first++
			}
			continue
		}
		s := sample{start: int(math.Floor(x)) - n/2, w: make([]float64, n)}
		sum := 0.0
		for k := range s.w {
			s.w[k] = kernel((float64(s.start+k) - x) / stretch)
			sum += s.w[k]
		}
		for k := range s.w {
			s.w[k] /= sum
		}
		all = append(all, s)
	}
	// Weights that are zero everywhere are left out.
	lo, hi := n, 0
	for _, s := range all {
		for k, w := range s.w {
			if math.Abs(w) > 1e-6 {
				lo, hi = min(lo, k), max(hi, k+1)
			}
		}
	}
	a.first, a.n = first, max(hi-lo, 0)
	for _, s := range all {
		a.start = append(a.start, int32(s.start+lo))
		a.weight = append(a.weight, whole(s.w[lo:hi])...)
	}
	return a
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

// whole rounds weights such that they still sum to one.
func whole(w []float64) []int16 {
	out := make([]int16, len(w))
	sum, last := 0.0, int16(0)
	for i, v := range w {
		sum += v
		next := int16(math.Round(sum * unit))
		out[i], last = next-last, next
	}
	return out
}

// place draws a picture into a frame.
func (r *resampler) place(dst, src *track.Frame) {
	cw, _ := dst.ChromaSize()
	r.plane(dst.Y, dst.Width, src.Y, src.Width, r.luma)
	sw, _ := src.ChromaSize()
	r.plane(dst.U, cw, src.U, sw, r.chroma)
	r.plane(dst.V, cw, src.V, sw, r.chroma)
}

func (r *resampler) plane(dst []byte, dw int, src []byte, sw int, axes [2]axis) {
	across, down := axes[0], axes[1]
	if len(across.start) == 0 || len(down.start) == 0 {
		return
	}
	out := func(i int) []byte {
		from := (down.first+i)*dw + across.first
		return dst[from : from+len(across.start)]
	}
	if across.n == 1 && down.n == 1 && across.whole() {
		for i, y := range down.start {
			copy(out(i), src[clampTo(y, down.size)*sw+int(across.start[0]):])
		}
		return
	}
	lo, hi := across.span(0, len(across.start))
	if n := hi - lo; len(r.mid) < n {
		r.mid = make([]lanes, n)
	}
	mid := r.mid[:hi-lo]
	for i := 0; i < len(down.start); i += 4 {
		down.down(mid, lo, src, sw, i)
		var rows [4][]byte
		for k := range rows {
			rows[k] = out(min(i+k, len(down.start)-1)) // of the last row more than once
		}
		across.across(rows, mid, lo)
	}
}

// span is from which to which sample of the picture some samples of the frame
// reach, beyond its edges too.
func (a axis) span(from, to int) (lo, hi int) {
	return int(a.start[from]), int(a.start[to-1]) + a.n
}

// whole reports samples that follow one another.
func (a axis) whole() bool {
	for i, s := range a.start {
		if s != a.start[0]+int32(i) || s < 0 || int(s) >= a.size {
			return false
		}
	}
	return true
}

func clampTo(i int32, size int) int { return min(max(int(i), 0), size-1) }

func clamp(v int32) byte {
	if uint32(v) > 255 {
		return byte(^v >> 31) // 0 below, 255 above
	}
	return byte(v)
}
