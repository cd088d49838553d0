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
	a := t.against(s)
	tr := track.Track{Object: object, Samples: make([]track.Sample, len(s.samples))}
	lags := s.mended()
	for i, p := range s.samples {
		if p.Seen {
			p.X += a.x
			p.Y += a.y
			lags[i].most = chromaLag
			if l := s.details[i].luma; l.u > 0 {
				wc, wl := a.weights(p.U, l.u)
				lx, ly := l.x-a.lumaX, l.y-a.lumaY
				p.X, p.Y, p.U = (wc*p.X+wl*lx)/(wc+wl), (wc*p.Y+wl*ly)/(wc+wl), math.Hypot(1/math.Sqrt(wc+wl), a.both)
				lags[i].most = (wc*chromaLag + wl*lumaLag) / (wc + wl)
			} else {
				uc, _ := a.u(p.U, 0)
				p.U = math.Hypot(uc, a.both)
			}
			if p.U > mostU {
				t.tellUnsure(s, p)
				p = track.Sample{Frame: p.Frame, T: p.T}
			}
		}
		tr.Samples[i] = p
	}
	if s.repeats(t.keys) {
		catchUp(tr.Samples, lags, t.keys)
	} else {
		s.inlay(tr.Samples, a)
	}
	return tr
}

// comparison is how a spot's chroma fits lie to its luma fits.
type comparison struct {
	x, y         float64 // what to add to a chroma place, px
	lumaX, lumaY float64 // what to take off a luma place, px
	chroma, luma float64 // by how much more than they say the fits err, each on its own
	both         float64 // what both kinds of fit err alike, px
}

// u is the standard uncertainty of both kinds of fit.
func (a comparison) u(chroma, luma float64) (uc, ul float64) {
	return a.chroma * math.Hypot(chroma, chromaShared), a.luma * math.Hypot(luma, lumaShared)
}

func (a comparison) weights(chroma, luma float64) (wc, wl float64) {
	uc, ul := a.u(chroma, luma)
	return 1 / (uc * uc), 1 / (ul * ul)
}

// against compares a spot's two kinds of fit. Their median difference is the chroma
// offset, which is whole halves of a pixel, and what the head's rim, close to the
// sticker and seen otherwise in luma than in colour, moves each of them by in every
// frame alike. It is shared out by their uncertainties, as what a fit cannot explain is
// part of these.
func (t *Tracker) against(s *Spot) comparison {
	var dx, dy, uc, ul []float64
	for i, d := range s.details {
		if l := d.luma; l.u > 0 {
			p := s.samples[i]
			dx, dy = append(dx, l.x-p.X), append(dy, l.y-p.Y)
			uc, ul = append(uc, p.U), append(ul, l.u)
		}
	}
	if len(dx) < ownSiting {
		x, y, _ := t.Siting()
		return comparison{x: x, y: y, chroma: 1, luma: 1}
	}
	mx, my := median(dx), median(dy)
	a := comparison{x: math.Round(2*mx) / 2, y: math.Round(2*my) / 2}
	c, l := median(uc), median(ul)
	share := c * c / (c*c + l*l) // of what they differ by that is chroma's
	a.lumaX, a.lumaY = (1-share)*(mx-a.x), (1-share)*(my-a.y)
	a.x, a.y = a.x+share*(mx-a.x), a.y+share*(my-a.y)
	a.chroma, a.luma, a.both = s.errs()
	return a
}

const (
	// errsMoved is how far, px, a spot must move in four frames for its errors to be
	// new in each: of what stands still a codec repeats the picture.
	errsMoved = 4
	// errsOf is how many such stretches tell the errors.
	errsOf = 20
	// errsLeast is the least share of the weight that either kind of fit keeps.
	errsLeast = 0.1
)

// errs returns by how much more than they say a spot's chroma and luma fits err on
// their own, and what they err alike, px; 1, 1 and 0 when it moves too little to tell.
//
// How far the two lie apart tells what they err by together. Which of them errs more,
// and what they share, is told by fourth differences, in which a motion nearly
// vanishes.
func (s *Spot) errs() (chroma, luma, both float64) {
	var dc, dl, apart, dx, dy, uc, ul []float64
	for i := 4; i < len(s.samples); i++ {
		p, d := s.samples[i-4:i+1], s.details[i-4:i+1]
		if !moves(p, d) {
			continue
		}
		cx, cy := fourth(func(k int) float64 { return p[k].X }), fourth(func(k int) float64 { return p[k].Y })
		lx, ly := fourth(func(k int) float64 { return d[k].luma.x }), fourth(func(k int) float64 { return d[k].luma.y })
		dc, dl, apart = append(dc, math.Abs(cx), math.Abs(cy)), append(dl, math.Abs(lx), math.Abs(ly)), append(apart, math.Abs(cx-lx), math.Abs(cy-ly))
		dx, dy = append(dx, p[2].X-d[2].luma.x), append(dy, p[2].Y-d[2].luma.y)
		uc, ul = append(uc, math.Hypot(p[2].U, chromaShared)), append(ul, math.Hypot(d[2].luma.u, lumaShared))
	}
	if len(uc) < errsOf {
		return 1, 1, 0
	}
	between := (sq(scatter(dx)) + sq(scatter(dy))) / 2
	of := sq(median(apart))
	c, l := between*sq(median(dc))/of, between*sq(median(dl))/of
	weight := clamp((between+l-c)/2/between, errsLeast, 1-errsLeast) // of chroma
	c0, l0 := (1-weight)*between, weight*between
	both = math.Sqrt(math.Max(0, math.Min(c-c0, l-l0)))
	return math.Sqrt(c0) / median(uc), math.Sqrt(l0) / median(ul), both
}

// moves reports whether five samples in even steps of time, all seen in luma too, lie
// far enough apart for their errors to be new in each.
func moves(p []track.Sample, d []detail) bool {
	step := (p[4].T - p[0].T) / 4
	for k := range p {
		if !p[k].Seen || d[k].luma.u == 0 || math.Abs(p[k].T-p[0].T-float64(k)*step) > 0.01*step {
			return false
		}
	}
	return math.Hypot(p[4].X-p[0].X, p[4].Y-p[0].Y) > errsMoved
}

func sq(v float64) float64 { return v * v }

func fourth(at func(int) float64) float64 { return at(0) - 4*at(1) + 6*at(2) - 4*at(3) + at(4) }

// scatter is the standard deviation of values by the median of how far they lie from
// theirs, of which it is 1.4826 times if they are normal.
func scatter(v []float64) float64 {
	m := median(v)
	for i := range v {
		v[i] = math.Abs(v[i] - m)
	}
	return 1.4826 * median(v)
}
