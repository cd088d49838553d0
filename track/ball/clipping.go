package ball

import "math"

// clipping tells how much each sample of a mean picture counts for the outline: what is
// cut off in brightness says only that it is no darker.
type clipping struct {
	weights []float64
	end     float64 // light from which a sample is cut off
	clipped float64 // share of the ball that is, 0 when that is not most of it
}

const (
	// cutOff is the share of the scale from which a sample is taken to be cut off:
	// noise keeps the mean of such samples below its end.
	cutOff = 0.97
	// mostClipped is the share of a ball cut off from which its outline is looked for
	// without what is cut off: the places of half brightness are no longer its edge.
	// The shine of a ball in good light is cut off too, in up to two fifths of it, and
	// its edge is better known with it.
	mostClipped = 0.5
	// bloom is by how much, px, a ball looks wider whose whole picture is cut off:
	// where its edge is half as bright as the ball is then not seen. Painted balls of
	// one to three times too much light are 0 to 2 bloom too wide.
	bloom = 0.3
)

// newClipping counts every sample, unless most of the ball in the outline p is cut off.
func newClipping(light []float64, side int, p []float64, gamma float64) *clipping {
	s := &clipping{weights: make([]float64, len(light)), end: math.Pow(cutOff, gamma)}
	var row [factors]float64
	inside, off := 0.0, 0.0
	for at, l := range light {
		s.weights[at] = 1
		if lit(row[:], float64(at%side), float64(at/side), p) >= 0 {
			continue
		}
		if inside++; l >= s.end {
			off++
		}
	}
	if share := off / math.Max(1, inside); share > mostClipped {
		s.clipped = share
	}
	return s
}

// censor leaves out the samples that are cut off, but for those that the shading
// would have darker.
func (s *clipping) censor(light []float64, side int, p, shade []float64) {
	if s.clipped == 0 {
		return
	}
	var row [factors]float64
	for at, l := range light {
		if l < s.end {
			continue
		}
		lit(row[:], float64(at%side), float64(at/side), p)
		switch darker := shaded(row[:], shade) < l; {
		case !darker:
			s.weights[at] = 0
		case s.weights[at] == 0:
			s.weights[at] = 1
		}
	}
}

func shaded(row, shade []float64) float64 {
	sum := 0.0
	for k, v := range row {
		sum += v * shade[k]
	}
	return sum
}
