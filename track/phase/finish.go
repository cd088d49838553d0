package phase

import (
	"math"

	"strokereel/track"
)

// findStop finds the end of the follow-through and of the hold.
func (tm *timing) findStop() {
	s := &tm.stroke
	from := tm.c.pass
	if e := s.Event(track.Impact); e.Known() {
		from = e.T
	}
	end := tm.in.Putter.Points[len(tm.in.Putter.Points)-1].T
	after, whole := tm.afterImpact(from, end)
	why := "the clip ended before the putter stopped"
	if !whole {
		why = "the putter was lost from sight before it stopped"
	}
	if len(after) == 0 {
		s.refuse(track.Stop, why)
		s.refuse(track.HoldEnd, why)
		return
	}
	s.ClipEnd = after[len(after)-1].t
	reached, returned := tm.upToReturn(after)
	at, far, u := largest(reached, alongX, correlation)
	if !returned && tm.stillAdvancing(reached) {
		s.refuse(track.Stop, why)
		s.refuse(track.HoldEnd, why)
		return
	}
	level, d := far-mm(tm.o.StopDistance), tm.line(reached[at].u, u)
	// What a codec lags by where the line is crossed it has mended when the putter rests
	// at its farthest.
	d.shared = math.Hypot(d.shared, tm.in.ULag)
	t, ut, ok := cross(reached, alongX, level, d.u(), true, false)
	if !ok {
		s.refuse(track.Stop, "the putter was already at its farthest when it was first seen after impact")
		s.refuse(track.HoldEnd, "the stop was not found")
		return
	}
	s.Forward = Place{X: far, Y: reached[at].y, U: u, Known: true}
	s.tell(track.Event{Name: track.Stop, T: t, U: ut, Status: track.Measured, Terms: d.terms("largest forward position", far, level, ut)})
	tm.findHoldEnd(after, t, whole)
}

// afterImpact returns the nodes from impact on; the first frame after it may be
// late when the sticker was hidden.
func (tm *timing) afterImpact(impact, end float64) (nodes []node, whole bool) {
	for t := impact + step; t <= impact+tm.in.Smoothing.MaxGap; t += step {
		if tm.grid.at(index(t)).ok {
			return tm.grid.stretch(t, end)
		}
	}
	return nil, false
}

// stillAdvancing reports whether the putter may go farther than it was seen to.
func (tm *timing) stillAdvancing(reached []node) bool {
	last := reached[len(reached)-1]
	i := max(0, len(reached)-1-int(tm.o.StillTime/step))
	return last.x-reached[i].x > mm(tm.o.StopDistance)
}

// upToReturn returns the nodes up to the first return from the largest forward
// position.
func (tm *timing) upToReturn(after []node) (reached []node, returned bool) {
	high := after[0].x
	for i, n := range after {
		high = math.Max(high, n.x)
		if high-n.x >= mm(tm.o.ReturnDistance) {
			return after[:i+1], true
		}
	}
	return after, false
}

func (tm *timing) findHoldEnd(after []node, stop float64, whole bool) {
	s := &tm.stroke
	for len(after) > 0 && after[0].t < stop {
		after = after[1:]
	}
	if len(after) < 2 {
		s.refuse(track.HoldEnd, "the clip ended when the putter stopped")
		return
	}
	s.Finish = tm.finish(after)
	away := func(n node) float64 { return math.Hypot(n.x-s.Finish.X, n.y-s.Finish.Y) }
	level := mm(tm.o.HoldDistance)
	u := 0.0
	if t, _, ok := cross(after, away, level, 0, true, false); ok {
		u = tm.awayU(t)
	}
	d := tm.line(u, s.Finish.U)
	d.shared = math.Hypot(d.shared, math.Sqrt2*tm.in.ULag)
	t, ut, ok := cross(after, away, level, d.u(), true, false)
	switch {
	case ok:
		s.tell(track.Event{Name: track.HoldEnd, T: t, U: ut, Status: track.Measured, Terms: d.terms("place at which it was held", 0, mm(tm.o.HoldDistance), ut)})
	case whole:
		s.set(track.Event{Name: track.HoldEnd, T: s.ClipEnd, Status: track.AtLeast, Reason: "the clip ended while the putter was held"})
	default:
		s.set(track.Event{Name: track.HoldEnd, T: s.ClipEnd, Status: track.AtLeast, Reason: "the putter was lost from sight while it was held"})
	}
}

// awayU is the standard uncertainty of how far the putter is at t from where it was held.
func (tm *timing) awayU(t float64) float64 {
	n := tm.grid.at(index(t))
	m, err := tm.grid.curve.At(n.t)
	dx, dy := n.x-tm.stroke.Finish.X, n.y-tm.stroke.Finish.Y
	away := math.Hypot(dx, dy)
	if err != nil || away == 0 {
		return n.u
	}
	return math.Hypot(dx/away*n.u, dy/away*n.u*m.UY()/m.U(0))
}

// finish is where the putter is held. Noise may let the stretch begin a little
// early or late; how far that moves the place is part of its U.
func (tm *timing) finish(after []node) Place {
	limit := mm(tm.o.FinishDistance)
	p, ok := tm.held(after, limit)
	if !ok {
		return tm.stroke.Forward
	}
	early, ok1 := tm.held(after, limit+p.U)
	late, ok2 := tm.held(after, math.Max(limit-p.U, limit/4))
	if ok1 && ok2 {
		p.U = math.Hypot(p.U, math.Hypot(late.X-early.X, late.Y-early.Y)/2)
	}
	return p
}

// held is the mean over the first stretch in which the putter stays within a
// distance of it.
func (tm *timing) held(after []node, distance float64) (Place, bool) {
	n := int(math.Round(tm.o.FinishTime/step)) + 1
	for i := 0; i+n <= len(after); i++ {
		p := Place{Known: true}
		for _, q := range after[i : i+n] {
			p.X += q.x / float64(n)
			p.Y += q.y / float64(n)
			p.U = math.Max(p.U, q.u)
		}
		stays := true
		for _, q := range after[i : i+n] {
			stays = stays && math.Hypot(q.x-p.X, q.y-p.Y) <= distance
		}
		if stays {
			return p, true
		}
	}
	return Place{}, false
}
