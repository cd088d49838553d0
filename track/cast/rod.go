package cast

import (
	"cmp"
	"math"
	"slices"

	"strokereel/track"
)

// Rod is a rod with three coloured bands as it lay on the putt line before the
// stroke, from the left of the picture to the right.
type Rod struct {
	X, Y [3]float64 // px, middles of the bands
	U    float64    // px, standard uncertainty of each along the rod
}

const (
	// rodRest is how long, s, the bands must lie still together.
	rodRest = 0.3
	// rodStill is how far, px, a band at rest may be seen from its place.
	rodStill = 0.6
	// rodSpacing is how far, as a share, the ratio of the two spaces may be from
	// that of the distances: at 2.5 m a camera turned by 3 degrees makes 2 %.
	rodSpacing = 0.04
	// rodBend is how far, as a share of the rod, the middle band may be off the line
	// of the others, and rodSlope how steeply they may run.
	rodBend, rodSlope = 0.01, 0.12
	// rodShared is what the fit of a band errs by in every frame alike, px: it is
	// taken for a disc.
	rodShared = 0.12
)

// FindRod looks among the spots for three bands of one colour that lie still in a
// row at the given distances (m, left to middle and middle to right) on the line
// of a ball; false when there are none.
func FindRod(spots []Spot, distances [2]float64, ball Ball) (Rod, bool) {
	var rests []rest
	for _, s := range spots {
		if r, ok := restOf(s); ok {
			rests = append(rests, r)
		}
	}
	slices.SortFunc(rests, func(a, b rest) int { return cmp.Compare(a.x, b.x) })
	best, found := Rod{}, false
	least := rodSpacing
	for i, a := range rests {
		for j := i + 1; j < len(rests); j++ {
			for k := j + 1; k < len(rests); k++ {
				b, c := rests[j], rests[k]
				if !together(a, b, c) || !a.alike(b) || !b.alike(c) {
					continue
				}
				r := Rod{X: [3]float64{a.x, b.x, c.x}, Y: [3]float64{a.y, b.y, c.y}, U: math.Hypot(rodShared, math.Max(a.u, math.Max(b.u, c.u)))}
				if off, ok := r.misfit(distances, ball); ok && off < least {
					best, found, least = r, true, off
				}
			}
		}
	}
	return best, found
}

// misfit is how far, as a share, the ratio of the spaces is off; false when the
// bands are not in a row on the ball's line.
func (r Rod) misfit(distances [2]float64, ball Ball) (float64, bool) {
	dx, dy := r.X[2]-r.X[0], r.Y[2]-r.Y[0]
	if dx <= 0 || math.Abs(dy) > rodSlope*dx {
		return 0, false
	}
	line := func(x float64) float64 { return r.Y[0] + (x-r.X[0])*dy/dx }
	if math.Abs(r.Y[1]-line(r.X[1])) > rodBend*dx+1 || math.Abs(line(ball.RestX)-ball.RestY) > 0.8*ball.Width {
		return 0, false
	}
	return math.Abs((r.X[1]-r.X[0])/(r.X[2]-r.X[1])*distances[1]/distances[0] - 1), true
}

// rest is where a spot first lay still.
type rest struct {
	x, y, u  float64 // px
	from, to float64 // s
	colour   [2]float64
}

// restOf is the first stretch in which a spot is seen at one place.
func restOf(s Spot) (rest, bool) {
	var seen []track.Sample
	for _, p := range s.Track.Samples {
		if !p.Seen {
			continue
		}
		if n := len(seen); n > 0 && math.Hypot(p.X-seen[n/2].X, p.Y-seen[n/2].Y) > rodStill {
			if p.T-seen[0].T >= rodRest {
				break
			}
			seen = seen[:0]
		}
		seen = append(seen, p)
	}
	n := len(seen)
	if n < 3 || seen[n-1].T-seen[0].T < rodRest {
		return rest{}, false
	}
	r := rest{from: seen[0].T, to: seen[n-1].T, colour: s.Colour}
	for _, p := range seen {
		r.x, r.y, r.u = r.x+p.X/float64(n), r.y+p.Y/float64(n), math.Max(r.u, p.U/math.Sqrt(float64(n)))
	}
	return r, true
}

func together(a, b, c rest) bool {
	return math.Min(a.to, math.Min(b.to, c.to))-math.Max(a.from, math.Max(b.from, c.from)) >= rodRest
}

// alike reports whether two bands can be of one colour.
func (a rest) alike(b rest) bool {
	d := math.Hypot(a.colour[0]-b.colour[0], a.colour[1]-b.colour[1])
	return d < 0.3*math.Hypot(a.colour[0], a.colour[1])+6
}
