package path

import (
	"math"
	"slices"

	"strokereel/track"
)

const (
	// noiseStep is how far, in stated U, an object must move from frame to frame
	// for its scatter to count: a codec repeats the picture of what stands still,
	// which has no scatter at all.
	noiseStep = 4
	// noiseFrames is how many fourth differences a verdict on the noise needs.
	noiseFrames = 15
	// noiseHigh bounds that verdict.
	noiseHigh = 2.5
)

// WithOwnNoise returns the path with every U multiplied by one factor such that
// U is no less than the scatter of the moving object from frame to frame tells. Fourth
// differences are taken, in which a stroke nearly vanishes (a snap of 800 m/s^4
// leaves 0.06 mm at 60 frames/s) and independent errors of size U scatter by
// sqrt(70) U. The path is returned as it is when it moves too little to tell.
//
// A fit within one frame knows its own noise only roughly. A scatter smaller than U
// says nothing against it: a codec hands errors on from frame to frame, and what
// neighbours share is not in their fourth differences.
func WithOwnNoise(p track.Path) track.Path {
	var ratios []float64
	for i := 4; i < len(p.Points); i++ {
		q := p.Points[i-4 : i+1]
		if !evenly(q) || math.Abs(q[4].X-q[0].X) < 4*noiseStep*q[2].U {
			continue
		}
		d := q[0].X - 4*q[1].X + 6*q[2].X - 4*q[3].X + q[4].X
		ratios = append(ratios, math.Abs(d)/(math.Sqrt(70)*q[2].U))
	}
	if len(ratios) < noiseFrames {
		return p
	}
	slices.Sort(ratios)
	// The median of the size of a normal deviate is 0.6745 of its sigma.
	factor := math.Max(1, math.Min(noiseHigh, ratios[len(ratios)/2]/0.6745))
	out := track.Path{Object: p.Object, Points: slices.Clone(p.Points)}
	for i, q := range out.Points {
		if !q.Given {
			out.Points[i].U *= factor
		}
	}
	return out
}

// evenly reports whether five points are all seen and evenly timed to a
// hundredth of their spacing.
func evenly(q []track.Point) bool {
	dt := (q[4].T - q[0].T) / 4
	for i, p := range q {
		if !p.Seen || math.Abs(p.T-q[0].T-float64(i)*dt) > 0.01*dt {
			return false
		}
	}
	return true
}
