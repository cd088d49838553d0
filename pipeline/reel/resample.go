package reel

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
// Four rows of the frame are computed at once, one in each 16 bits of a word: a
// product with a word of four weights is four products. See lanes.go.
type resampler struct {
	luma, chroma mapping
	mid          []lanes // columns of the picture, four rows of the frame each
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
// between two rows, and level with the left column or between the columns: the
// picture's by its siting, the reel's at the left.
func newResampler(w, h int, siting clip.Siting, box Box, v View, deg float64) *resampler {
	left := 0.5
	if siting == clip.SitedCentre {
		left = 1
	}
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
	for j := 0; j < m.count[1]; j += 4 {
		var rows [4][]byte
		for k := range rows {
			rows[k] = out(min(j+k, m.count[1]-1)) // of the last row more than once
		}
		lo, hi := m.columns(j)
		if len(r.mid) < hi-lo {
			r.mid = make([]lanes, hi-lo)
		}
		m.down(r.mid[:hi-lo], lo, src, sw, j)
		m.across(rows, r.mid[:hi-lo], lo, j)
	}
}

// hair is how far, in samples, a place may be from a whole one to be taken for it.
const hair = 1e-6

// moved reports a picture that is only moved, by whole samples, and whether it
// reaches as far as it is shown.
func (m *mapping) moved(w, h int) (x, y int, ok bool) {
	x, y = int(math.Round(m.c)), int(math.Round(m.f))
	off := math.Abs(m.c-float64(x)) + math.Abs(m.f-float64(y)) + math.Abs(m.a-1) + math.Abs(m.e-1) + math.Abs(m.b) + math.Abs(m.d)
	return x, y, off < hair && x >= 0 && y >= 0 && x+m.count[0] <= w && y+m.count[1] <= h
}

// columns are the columns of the picture, from lo up to but not with hi, that
// four rows from row j on are made of; they may lie beyond its edges.
func (m *mapping) columns(j int) (lo, hi int) {
	x := m.c + m.b*(float64(j)+1.5)
	return int(math.Floor(x)) - m.taps.n/2, int(math.Ceil(x+m.a*float64(m.count[0]-1))) + m.taps.n/2 + 1
}

// down computes the columns of four rows of the frame from row j on. Where the
// picture is turned a column lies a little higher or lower than the one before;
// those that differ by less than a sixteenth of a sample are taken together.
func (m *mapping) down(mid []lanes, lo int, src []byte, sw, j int) {
	from, to := max(lo, 0), min(lo+len(mid), sw)
	slope := m.d / m.a
	block := to - from
	if slope != 0 {
		block = min(block, max(1, int(1/(8*math.Abs(slope)))))
	}
	for x := from; x < to; x += block {
		end := min(x+block, to)
		centre := float64(x+end-1) / 2
		var y [4]float64
		for k := range y {
			row := float64(min(j+k, m.count[1]-1))
			y[k] = slope*(centre-m.b*row-m.c) + m.e*row + m.f
		}
		m.taps.columns(mid[x-lo:end-lo], src, sw, x, y)
	}
	for k := range from - lo {
		mid[k] = mid[from-lo]
	}
	for k := to - lo; k < len(mid); k++ {
		mid[k] = mid[to-lo-1]
	}
}

// across computes four rows from their columns, which begin with column lo.
func (m *mapping) across(rows [4][]byte, mid []lanes, lo, j int) {
	m.taps.rows(rows, mid, m.c+m.b*(float64(j)+1.5)-float64(lo), m.a)
}

func clampTo(i, size int) int { return min(max(i, 0), size-1) }

func clamp(v int32) byte {
	if uint32(v) > 255 {
		return byte(^v >> 31) // 0 below, 255 above
	}
	return byte(v)
}
