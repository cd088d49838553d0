package body

import "math"

// stripe is what a row of a picture shows of a shaft, as tables over the distance from its
// middle: the share of a sample that it hides, and how light it is there itself. In front
// of something of lightness b a sample shows b (1 - hides) + shows.
type stripe struct {
	reach        float64 // px, beyond which there is nothing of it
	hides, shows []float64
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

// at tells what a sample d px to the right of the middle hides and shows, and how either
// grows with d.
func (s *stripe) at(d float64) (hides, shows, hidesMore, showsMore float64) {
	z := (d + s.reach) * stripeFine
	i := int(z)
	if z < 0 || i+1 >= len(s.hides) {
		return 0, 0, 0, 0
	}
	z -= float64(i)
	dh, ds := s.hides[i+1]-s.hides[i], s.shows[i+1]-s.shows[i]
	return s.hides[i] + z*dh, s.shows[i] + z*ds, dh * stripeFine, ds * stripeFine
}

// smeared is the stripe when it goes over a streak across itself, px, during the exposure.
func (s *stripe) smeared(streak float64) *stripe {
	half := int(math.Round(streak / 2 * stripeFine))
	if half == 0 {
		return s
	}
	mean := func(v []float64) []float64 {
		sums := make([]float64, len(v)+4*half+1) // of v with 2 half zeros on either side
		for i := range sums[1:] {
			sums[i+1] = sums[i]
			if k := i - 2*half; k >= 0 && k < len(v) {
				sums[i+1] += v[k]
			}
		}
		out := make([]float64, len(v)+2*half)
		for i := range out {
			out[i] = (sums[i+2*half+1] - sums[i]) / float64(2*half+1)
		}
		return out
	}
	return &stripe{reach: s.reach + float64(half)/stripeFine, hides: mean(s.hides), shows: mean(s.shows)}
}
