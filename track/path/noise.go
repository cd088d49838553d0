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
// U is no less than the scatter of the moving object from frame to frame tells. The path
// is returned as it is when it moves too little to tell.
//
// A fit within one frame knows its own noise only roughly. A scatter smaller than U
// says nothing against it: a codec hands errors on from frame to frame, and what
// neighbours share is not in their fourth differences.
func WithOwnNoise(p track.Path) track.Path {
	factor, known := ownNoise(p)
	if !known {
		return p
	}
	out := track.Path{Object: p.Object, Points: slices.Clone(p.Points)}
	for i, q := range out.Points {
		if !q.Given {
			out.Points[i].U *= math.Max(1, factor)
		}
	}
	return out
}

// ownNoise is by how much an object that moves scatters more than its U says. Fourth
// differences are taken, in which a stroke nearly vanishes (a snap of 800 m/s^4
// leaves 0.06 mm at 60 frames/s) and independent errors of size U scatter by
// sqrt(70) U.
func ownNoise(p track.Path) (factor float64, known bool) {
	var ratios []float64
	for i := 4; i < len(p.Points); i++ {
		q := p.Points[i-4 : i+1]
		if !evenly(q) || math.Abs(q[4].X-q[0].X) < 4*noiseStep*q[2].U {
			continue
		}
		ratios = append(ratios, math.Abs(fourth(q))/(math.Sqrt(70)*q[2].U))
	}
	if len(ratios) < noiseFrames {
		return 1, false
	}
	slices.Sort(ratios)
	// The median of the size of a normal deviate is 0.6745 of its sigma.
	return math.Min(noiseHigh, ratios[len(ratios)/2]/0.6745), true
}

// fourth is the fourth difference of five points along the line, m.
func fourth(q []track.Point) float64 {
	return q[0].X - 4*q[1].X + 6*q[2].X - 4*q[3].X + q[4].X
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

const (
	// slowFrom and slowTo are the speeds, m/s, between which an object moves slowly: it
	// passes the lines of its events at 0.04 to 0.12 m/s.
	slowFrom, slowTo = 0.02, 0.3
	// slowFrames is how many such frames tell its errors.
	slowFrames = 12
)

// SlowU is the standard uncertainty of a position of an object that moves slowly: the
// geometric mean of what its fits say, and of what its scatter from frame to frame tells.
// A codec draws slow motion anew by fits and starts. What it is behind by meanwhile lasts
// for many frames and shows in neither, but the larger it is, the coarser are the
// starts. Not known when the object moves too little to tell.
func SlowU(p track.Path) (u float64, known bool) {
	var scatter, stated []float64
	for i := 4; i < len(p.Points); i++ {
		q := p.Points[i-4 : i+1]
		if !evenly(q) {
			continue
		}
		if v := math.Hypot(q[4].X-q[0].X, q[4].Y-q[0].Y) / (q[4].T - q[0].T); v < slowFrom || v > slowTo {
			continue
		}
		d := fourth(q)
		scatter, stated = append(scatter, d*d/70), append(stated, q[2].U)
	}
	if len(stated) < slowFrames {
		return 0, false
	}
	slices.Sort(stated)
	var sum float64
	for _, v := range scatter {
		sum += v
	}
	return math.Sqrt(math.Sqrt(sum/float64(len(scatter))) * stated[len(stated)/2]), true
}
