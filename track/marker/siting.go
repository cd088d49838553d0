package marker

import (
	"math"
	"slices"

	"strokereel/track"
)

// sitingVote finds out where the colour samples of a clip sit. H.264 says by
// default that a colour sample lies on the left column of its 2x2 luma pixels
// (offset 0, 0.5), many encoders put it in the middle (0.5, 0.5), and turning
// the picture turns the offset too. Half a pixel matters here.
//
// Across the edge between two surfaces luma and chroma change together, so in
// a small block chroma is a linear function of luma averaged to the chroma
// grid, if it is averaged around the right place. For each candidate offset
// the share of chroma that luma leaves unexplained is summed over the blocks
// with edges; the smallest wins.
//
// Only the long side of the picture is put to the vote: there the phone's rows
// run, whose siting differs between encoders. Light falls from above, so luma
// and chroma edges differ up and down for reasons of their own.
type sitingVote struct {
	unexplained [2]float64 // by offset/0.5 along the long side, sum of log(1-r^2)
	blocks      int
}

const (
	sitingBlock     = 8  // chroma px
	sitingMinBlocks = 20 // fewer edges decide nothing
	sitingMargin    = 0.02
)

// add takes one frame's edges into the vote.
func (s *sitingVote) add(f *track.Frame) {
	w, h := f.ChromaSize()
	for by := sitingBlock; by+2*sitingBlock <= min(h, f.Height/2); by += sitingBlock {
		for bx := sitingBlock; bx+2*sitingBlock <= min(w, f.Width/2); bx += sitingBlock {
			s.block(f, bx, by, w)
		}
	}
}

// hasEdge looks whether the colour changes enough within a block.
func (s *sitingVote) hasEdge(f *track.Frame, bx, by, w int) bool {
	i := by*w + bx
	j := i + (sitingBlock-1)*w
	u := []byte{f.U[i], f.U[i+sitingBlock-1], f.U[j], f.U[j+sitingBlock-1]}
	v := []byte{f.V[i], f.V[i+sitingBlock-1], f.V[j], f.V[j+sitingBlock-1]}
	return slices.Max(u)-slices.Min(u) > 12 || slices.Max(v)-slices.Min(v) > 12
}

func (s *sitingVote) block(f *track.Frame, bx, by, w int) {
	if !s.hasEdge(f, bx, by, w) {
		return
	}
	var left [2]moments
	for y := by; y < by+sitingBlock; y++ {
		for x := bx; x < bx+sitingBlock; x++ {
			u, v := float64(f.U[y*w+x]), float64(f.V[y*w+x])
			if f.Width >= f.Height {
				left[0].add(lumaAt(f, x, y, tapsOn, tapsBetween), u, v)
			} else {
				left[0].add(lumaAt(f, x, y, tapsBetween, tapsOn), u, v)
			}
			left[1].add(lumaAt(f, x, y, tapsBetween, tapsBetween), u, v)
		}
	}
	vy, vu, vv := left[1].variance()
	if vy < 60 || vu+vv < 30 {
		return
	}
	e := [2]float64{left[0].unexplained(), left[1].unexplained()}
	// A block where luma does not explain chroma at all (texture, three
	// surfaces) says nothing about the place.
	if e[0] > 0.3 && e[1] > 0.3 {
		return
	}
	s.blocks++
	for i := range e {
		s.unexplained[i] += math.Log(e[i] + 1e-3)
	}
}

// offset returns the chroma samples' offset in luma px along the long side,
// and the standard uncertainty that remains: a quarter of a pixel either way,
// uniform, when the clip does not tell.
func (s *sitingVote) offset() (along, u float64) {
	gain := s.unexplained[0] - s.unexplained[1]
	switch {
	case s.blocks < sitingMinBlocks || math.Abs(gain) < sitingMargin*float64(s.blocks):
		return 0.25, 0.25 / math.Sqrt(3)
	case gain > 0:
		return 0.5, 0
	default:
		return 0, 0
	}
}

// The two ways of averaging luma to the chroma grid, for samples on the left
// pixel and between the two. Both have the same width (variance 0.75 px^2), or
// the wider one would win for its softness alone.
var (
	tapsOn      = []float64{1. / 32, 8. / 32, 14. / 32, 8. / 32, 1. / 32} // at -2..2
	tapsBetween = []float64{0, 1. / 8, 3. / 8, 3. / 8, 1. / 8}            // at -2..2
)

// lumaAt averages luma around a chroma sample.
func lumaAt(f *track.Frame, x, y int, tx, ty []float64) float64 {
	sum := 0.0
	for j, wy := range ty {
		row := (2*y+j-2)*f.Width + 2*x - 2
		line := 0.0
		for i, wx := range tx {
			line += wx * float64(f.Y[row+i])
		}
		sum += wy * line
	}
	return sum
}

// moments gathers the sums for regressing chroma on luma.
type moments struct {
	n, y, u, v, yy, uu, vv, yu, yv float64
}

func (m *moments) add(y, u, v float64) {
	m.n++
	m.y += y
	m.u += u
	m.v += v
	m.yy += y * y
	m.uu += u * u
	m.vv += v * v
	m.yu += y * u
	m.yv += y * v
}

func (m *moments) variance() (y, u, v float64) {
	return m.yy/m.n - m.y*m.y/m.n/m.n, m.uu/m.n - m.u*m.u/m.n/m.n, m.vv/m.n - m.v*m.v/m.n/m.n
}

// unexplained returns the share of the chroma variance that a straight line in
// luma leaves, 0 to 1.
func (m *moments) unexplained() float64 {
	vy, vu, vv := m.variance()
	if vy <= 0 || vu+vv <= 0 {
		return 1
	}
	cu, cv := m.yu/m.n-m.y*m.u/m.n/m.n, m.yv/m.n-m.y*m.v/m.n/m.n
	return clamp(1-(cu*cu+cv*cv)/vy/(vu+vv), 0, 1)
}

// Siting returns the offset, luma px, of the clip's colour samples from the
// first pixel of their 2x2, and the standard uncertainty of that offset.
func (t *Tracker) Siting() (x, y, u float64) {
	along, u := t.siting.offset()
	if t.w >= t.h {
		return along, 0.5, u
	}
	return 0.5, along, u
}

const (
	// chromaShared is what a chroma fit errs by at least beyond its own uncertainty,
	// px: with half the samples, the error follows the sticker's place between them.
	chromaShared = 0.08
	// lumaShared is the same of a luma fit.
	lumaShared = 0.03
	// ownSiting is how many frames with a luma fit tell a spot's chroma offset
	// better than the vote of the whole picture.
	ownSiting = 30
	// mostU is the largest standard uncertainty, px, of a position that counts as
	// seen: beyond it one in ten would be 2 px off.
	mostU = 1.2
)

// Track returns a spot's positions in luma pixels: the weighted mean of what
// the colour planes show, with the clip's chroma siting applied, and of what
// the luma plane shows where the sticker stands out there, put forward by what
// the codec lets it lag. What is not known of the siting is left out of U, since
// it moves every position alike. Where light and codec leave too little of the
// sticker to tell its place, it is not seen.
func (t *Tracker) Track(s *Spot, object string) track.Track {
	coded := s.repeats(t.keys)
	if coded {
		s = s.unpulled(t.fused(s, t.against(s)), t.keys)
	}
	a := t.against(s)
	tr := track.Track{Object: object, Samples: t.fused(s, a)}
	for i, p := range tr.Samples {
		if p.U > mostU {
			t.tellUnsure(s, p)
			tr.Samples[i] = track.Sample{Frame: p.Frame, T: p.T}
		}
	}
	if coded {
		catchUp(tr.Samples, s.lags(a), t.keys)
	} else {
		s.inlay(tr.Samples, a)
	}
	return tr
}

// fused are a spot's places as both kinds of fit show them together.
func (t *Tracker) fused(s *Spot, a comparison) []track.Sample {
	out := slices.Clone(s.samples)
	for i := range out {
		p := &out[i]
		if !p.Seen {
			continue
		}
		p.X += a.x
		p.Y += a.y
		l := s.details[i].luma
		if l.u == 0 {
			uc, _ := a.u(*p, s.details[i])
			p.U = math.Hypot(uc, a.both)
			continue
		}
		wc, wl := a.weights(*p, s.details[i])
		lx, ly := l.x-a.lumaX, l.y-a.lumaY
		p.X, p.Y, p.U = (wc*p.X+wl*lx)/(wc+wl), (wc*p.Y+wl*ly)/(wc+wl), math.Hypot(1/math.Sqrt(wc+wl), a.both)
	}
	return out
}
