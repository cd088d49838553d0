package roll

import "math"

// HoleRadius is half of 4.25 in (Rules of Golf 2012-2015, Definitions), rounded
// by the rules to 54 mm.
const HoleRadius = 0.054

// RimCapture is the largest speed, m/s, with which a ball can still drop on the
// centre line, with the help of rim and back wall (Holmes, Am. J. Phys. 59, 1991,
// 129, as quoted).
const RimCapture = 1.626

// Capture is the largest speed (m/s) with which a ball whose line passes the
// hole's centre at an offset (m) falls by its own radius before it has crossed,
//
//	v = (2 sqrt(R^2 - o^2) - r) sqrt(g / 2r).
//
// On the centre line it is Penner's 1.31 m/s (Can. J. Phys. 80, 2002, 83, eq. 22,
// as quoted); off it, a chord of the hole takes the diameter's place, which is a
// simple model and not Holmes's of the rim. RimCapture is another definition, and
// both are right. Zero or less means that the ball passes.
//
// Radii and offset are in metres.
func Capture(hole, ball, offset float64) float64 {
	chord := 2 * math.Sqrt(math.Max(0, hole*hole-offset*offset))
	return (chord - ball) * math.Sqrt(Gravity/(2*ball))
}

// PastHole is the speed (m/s) at the hole of a ball that would roll so much (m)
// beyond it on this ground: already rolling, so v = sqrt(2 a d).
func (g Ground) PastHole(beyond float64) (float64, error) {
	if !(g.Rolling() > 0) {
		return 0, ErrNeverStops
	}
	return math.Sqrt(2 * g.Rolling() * beyond), nil
}
