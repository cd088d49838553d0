package body

import "math"

// stripe is what a row of a picture shows of a shaft, as tables over the distance from its
// middle: the share of a sample that it hides, and how light it is there itself. In front
// of something of lightness b a sample shows b (1 - hides) + shows.
type stripe struct {
	reach        float64 // px, beyond which there is nothing of it
	hides, shows []float64
}

// smeared is a stripe that goes over a streak across itself during the exposure, and how
// its tables grow with the streak's square, px^2.
type smeared struct {
	stripe
	square                 float64 // px^2
	hidesGrows, showsGrows []float64
}

const (
	// stripeEdge is how soft an edge is taken to be before it was looked at (standard
	// deviation of a Gaussian, px): lens and codec.
	stripeEdge = 0.6
	// stripeFine is how many entries a table has per px.
	stripeFine = 8
	// stripeBeyond is how far beyond a shaft's edges something of it may show, px: the
	// light and dark rims of a phone's sharpening.
	stripeBeyond = 3
)

// newStripe is a shaft of one lightness, lit evenly.
func newStripe(width, lightness float64) *stripe {
	s := &stripe{reach: width/2 + stripeBeyond}
	s.hides, s.shows = make([]float64, 2*int(s.reach*stripeFine)+2), make([]float64, 2*int(s.reach*stripeFine)+2)
	for i := range s.hides {
		d := s.distance(i)
		s.hides[i] = (math.Erf((d+width/2)/stripeEdge/math.Sqrt2) - math.Erf((d-width/2)/stripeEdge/math.Sqrt2)) / 2
		s.shows[i] = lightness * s.hides[i]
	}
	return s
}

// distance is how far to the right of the middle the sample of an entry lies, px.
func (s *stripe) distance(i int) float64 { return float64(i)/stripeFine - s.reach }

// sampled is what a sample shows of a stripe: what it hides and shows, and how either grows with
// the distance from the middle, px, and with the square of the streak, px^2.
type sampled struct {
	hides, shows               float64
	hidesFarther, showsFarther float64
	hidesSmeared, showsSmeared float64
}

// shown is what a row shows of a smeared stripe.
type shown struct {
	*smeared
	more  float64 // px^2, by how much the square of its streak is larger than the tables'
	share float64 // how much of the square that the shaft's streak has beside the sticker it has
}

// at is a sample d px to the right of the middle.
func (s shown) at(d float64) sampled {
	z := (d + s.reach) * stripeFine
	i := int(z)
	if z < 0 || i+1 >= len(s.hides) {
		return sampled{}
	}
	z -= float64(i)
	h0, h1 := s.hides[i]+s.more*s.hidesGrows[i], s.hides[i+1]+s.more*s.hidesGrows[i+1]
	s0, s1 := s.shows[i]+s.more*s.showsGrows[i], s.shows[i+1]+s.more*s.showsGrows[i+1]
	return sampled{
		hides: h0 + z*(h1-h0), shows: s0 + z*(s1-s0),
		hidesFarther: (h1 - h0) * stripeFine, showsFarther: (s1 - s0) * stripeFine,
		hidesSmeared: s.hidesGrows[i] + z*(s.hidesGrows[i+1]-s.hidesGrows[i]),
		showsSmeared: s.showsGrows[i] + z*(s.showsGrows[i+1]-s.showsGrows[i]),
	}
}

// squareOf is the square of the streak, px^2, that the mean of the entries from half before
// to half after stands for: that of the same variance.
func squareOf(half int) float64 { return float64(half*(half+1)) * 4 / (stripeFine * stripeFine) }

// halfOf is the largest half of which the square is no more than one, px^2.
func halfOf(square float64) int {
	return int((math.Sqrt(1+math.Max(0, square)*stripeFine*stripeFine) - 1) / 2)
}

// smeared is the stripe when it goes over the streak of which the square is squareOf(half).
func (s *stripe) smeared(half int) *smeared {
	out := &smeared{stripe: stripe{reach: s.reach + float64(half+1)/stripeFine}, square: squareOf(half)}
	grows := 1 / (squareOf(half+1) - squareOf(half))
	both := func(v []float64) (now, growth []float64) {
		now, growth = mean(v, half, half+1), mean(v, half+1, half+1)
		for i := range growth {
			growth[i] = (growth[i] - now[i]) * grows
		}
		return now, growth
	}
	out.hides, out.hidesGrows = both(s.hides)
	out.shows, out.showsGrows = both(s.shows)
	return out
}

// mean is for each entry, and for wider entries beyond either end, the mean from half before
// to half after.
func mean(v []float64, half, wider int) []float64 {
	sums := make([]float64, len(v)+2*(wider+half)+1)
	for i := range sums[1:] {
		sums[i+1] = sums[i]
		if k := i - wider - half; k >= 0 && k < len(v) {
			sums[i+1] += v[k]
		}
	}
	out := make([]float64, len(v)+2*wider)
	for i := range out {
		out[i] = (sums[i+2*half+1] - sums[i]) / float64(2*half+1)
	}
	return out
}

// swingRadius is about how far above the head a putter seems to turn about a point, m: a
// grown player's shoulders. Only how far a shaft is smeared goes by it.
const swingRadius = 1.4

// stripes is what the rows of a picture show of a stripe.
type stripes struct {
	own    *stripe
	pxPerM float64
	drawn  map[int]*smeared // by their half
}

// at is what a row shows up px above the sticker when the square of the streak is this
// beside the sticker, px^2.
func (t *stripes) at(up, square float64) shown {
	share := 1 - up/t.pxPerM/swingRadius
	share *= share
	half := halfOf(square * share)
	if t.drawn[half] == nil {
		t.drawn[half] = t.own.smeared(half)
	}
	s := t.drawn[half]
	return shown{s, square*share - s.square, share}
}
