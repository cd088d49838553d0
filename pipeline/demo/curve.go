package demo

import "sort"

// curve runs through random knots without overshoot: piecewise cubic Hermite
// with the slopes of Fritsch and Butland (from memory: the weighted harmonic
// mean of the neighbouring chords, zero where they change sign). It is constant
// outside its knots. Value and slope are continuous, so a speed drawn as a
// curve gives a position with continuous acceleration.
type curve struct{ t, v, slope, area []float64 }

// newCurve needs rising times.
func newCurve(t, v []float64) curve {
	n := len(t)
	c := curve{t: t, v: v, slope: make([]float64, n), area: make([]float64, n)}
	for i := 1; i+1 < n; i++ {
		h0, h1 := t[i]-t[i-1], t[i+1]-t[i]
		d0, d1 := (v[i]-v[i-1])/h0, (v[i+1]-v[i])/h1
		if d0*d1 > 0 {
			c.slope[i] = 3 * (h0 + h1) / ((2*h1+h0)/d0 + (h1+2*h0)/d1)
		}
	}
	for i := 1; i < n; i++ {
		c.area[i] = c.area[i-1] + c.piece(i-1, 1)
	}
	return c
}

// segment finds the piece that holds t and the place 0..1 in it.
func (c curve) segment(t float64) (int, float64) {
	i := sort.SearchFloat64s(c.t, t) - 1
	i = max(0, min(i, len(c.t)-2))
	return i, clamp((t-c.t[i])/(c.t[i+1]-c.t[i]), 0, 1)
}

func (c curve) at(t float64) float64 {
	if len(c.t) < 2 {
		return c.constant()
	}
	i, u := c.segment(t)
	h := c.t[i+1] - c.t[i]
	u2, u3 := u*u, u*u*u
	return c.v[i]*(2*u3-3*u2+1) + h*c.slope[i]*(u3-2*u2+u) +
		c.v[i+1]*(3*u2-2*u3) + h*c.slope[i+1]*(u3-u2)
}

func (c curve) constant() float64 {
	if len(c.v) == 0 {
		return 0
	}
	return c.v[0]
}

// piece is the area under piece i from its start to the place u.
func (c curve) piece(i int, u float64) float64 {
	h := c.t[i+1] - c.t[i]
	u2 := u * u
	u3, u4 := u2*u, u2*u2
	return h * (c.v[i]*(u4/2-u3+u) + h*c.slope[i]*(u4/4-2*u3/3+u2/2) +
		c.v[i+1]*(u3-u4/2) + h*c.slope[i+1]*(u4/4-u3/3))
}

// integral is the area from the first knot to t, with the end values kept
// beyond the knots.
func (c curve) integral(t float64) float64 {
	last := len(c.t) - 1
	if t <= c.t[0] {
		return (t - c.t[0]) * c.v[0]
	}
	if t >= c.t[last] {
		return c.area[last] + (t-c.t[last])*c.v[last]
	}
	i, u := c.segment(t)
	return c.area[i] + c.piece(i, u)
}

// end is the time of the last knot.
func (c curve) end() float64 { return c.t[len(c.t)-1] }
