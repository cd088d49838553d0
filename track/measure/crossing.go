package measure

import "math"

// crossed is a moment at which the head passes its limit.
type crossed struct {
	t      float64
	next   float64 // from when on to look for another one
	rested bool    // the head is known to have rested before, at
	restX  float64 // m, off its place at address, with
	sway   float64 // m, of the trunk
	undone bool    // the head did not go on to pass the limit from its rest
}

// crossing is the first moment after one at which the head passes its limit.
func (w watched) crossing(from float64) (crossed, bool) {
	before := 0.0
	for t := from; t <= w.last; t += lookStep {
		m, _, ok := w.off(t)
		if !ok {
			continue
		}
		gone := w.share(m)
		if gone >= 1 && before < 1 {
			c := crossed{t: t, next: t}
			if before > 0 {
				c.t -= lookStep * (gone - 1) / (gone - before)
			}
			for again := true; again && c.next <= w.last; c.next += lookStep {
				m, _, ok := w.off(c.next)
				again = !ok || w.share(m) >= 1
			}
			return c, true
		}
		before = gone
	}
	return crossed{}, false
}

const (
	// restShare is the share of its speed when it passes the limit at which a head
	// counts as at rest still, and restBefore how long before, s, that may be.
	restShare, restBefore = 0.25, 0.30
	// restTurned is how much of the limit a head has turned by then, if it sets off
	// evenly faster: the way grows with the square of the speed.
	restTurned = restShare * restShare
)

// fromRest counts a turn from where the head rested before it. Until a head sets
// off it has not turned, so where it is then is due to the trunk's sway and the
// like. A rest farther off than these can carry it is none.
func (w watched) fromRest(c crossed) crossed {
	m, _, ok := w.off(c.t)
	if !ok || math.Abs(m.X)/w.limit < math.Abs(m.Y)/w.lift {
		return c // it rose or sank
	}
	toward := math.Copysign(1, m.X)
	slow := restShare * math.Abs(m.VX)
	for t := c.t; t >= c.t-restBefore; t -= lookStep {
		r, sway, ok := w.off(t)
		if !ok {
			return c
		}
		if toward*r.VX > slow {
			continue
		}
		if math.Abs(r.X) > 2*math.Hypot(w.drift, swayDoubt*sway) {
			return c
		}
		c.rested, c.restX, c.sway = true, r.X, sway
		return w.goesOn(c, t, toward)
	}
	return c
}

// goesOn finds when a head that rested until a moment has passed its limit.
func (w watched) goesOn(c crossed, from, toward float64) crossed {
	need := (1 - restTurned) * w.limit
	before := 0.0
	for t := from; t <= math.Min(w.last, c.t+restBefore); t += lookStep {
		m, _, ok := w.off(t)
		if !ok {
			continue
		}
		gone := toward * (m.X - c.restX) / need
		if gone >= 1 {
			c.t = t - lookStep*(gone-1)/(gone-before)
			return c
		}
		before = gone
	}
	c.undone = true
	return c
}
