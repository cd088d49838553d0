package tracktest

import "sort"

// knot fixes position, speed and acceleration at a moment.
type knot struct{ t, x, v, a float64 }

// spline joins knots by the polynomials of fifth degree that meet them, so that
// acceleration is continuous; two knots at one moment make a step.
type spline []knot

// at returns the position at t; before the first and after the last knot the
// motion rests.
func (s spline) at(t float64) float64 {
	i := sort.Search(len(s), func(i int) bool { return s[i].t > t })
	if i == 0 {
		return s[0].x
	}
	if i == len(s) {
		return s[len(s)-1].x
	}
	p, q := s[i-1], s[i]
	h := q.t - p.t
	u := (t - p.t) / h
	// Coefficients in u from the six end conditions.
	c0, c1, c2 := p.x, p.v*h, p.a*h*h/2
	dx := q.x - c0 - c1 - c2
	dv := q.v*h - c1 - 2*c2
	da := q.a*h*h - 2*c2
	c3 := 10*dx - 4*dv + da/2
	c4 := -15*dx + 7*dv - da
	c5 := 6*dx - 3*dv + da/2
	return c0 + u*(c1+u*(c2+u*(c3+u*(c4+u*c5))))
}
