package marker

import (
	"math"

	"strokereel/track"
)

// comparison is how a spot's chroma fits lie to its luma fits.
type comparison struct {
	x, y         float64 // what to add to a chroma place, px
	lumaX, lumaY float64 // what to take off a luma place, px
	chroma, luma float64 // by how much more than they say the fits err, each on its own
	both         float64 // what both kinds of fit err alike, px
}

// u is the standard uncertainty of both kinds of fit in a sample.
func (a comparison) u(p track.Sample, d detail) (uc, ul float64) {
	return scaled(math.Hypot(p.U, chromaShared), d.uneven, a.chroma), scaled(math.Hypot(d.luma.u, lumaShared), d.luma.uneven, a.luma)
}

// scaled is an uncertainty of which uneven colour is a part, when such uncertainties are
// found to be so many times as large. What is found is of colours that are whole: it
// makes no more of that part.
func scaled(u, uneven, by float64) float64 {
	if by <= 1 {
		return by * u
	}
	return math.Sqrt(by*by*(u*u-uneven*uneven) + uneven*uneven)
}

func (a comparison) weights(p track.Sample, d detail) (wc, wl float64) {
	uc, ul := a.u(p, d)
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
	for k := range p {
		if !p[k].Seen || d[k].luma.u == 0 {
			return false
		}
	}
	return evenly(p) && math.Hypot(p[4].X-p[0].X, p[4].Y-p[0].Y) > errsMoved
}

// evenly reports whether five samples stand in even steps of time.
func evenly(p []track.Sample) bool {
	step := (p[4].T - p[0].T) / 4
	for k := range p {
		if math.Abs(p[k].T-p[0].T-float64(k)*step) > 0.01*step {
			return false
		}
	}
	return true
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
