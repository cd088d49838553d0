package marker

import (
	"math"

	"strokereel/track"
)

// begin starts a spot that no live one claims.
func (t *Tracker) begin(f *track.Frame, sp spot) {
	if len(t.live) >= maxLive {
		return
	}
	if t.followed(2*sp.x, 2*sp.y, nil) || t.awaited(f.T, sp) {
		return
	}
	for _, b := range t.barren {
		if math.Hypot(2*sp.x-b.x, 2*sp.y-b.y) < 4*t.unit {
			return
		}
	}
	r := clamp(math.Sqrt(float64(sp.hits*t.scan.step*t.scan.step)/math.Pi)+0.5, minRadius*t.unit/2, maxRadius*t.unit/2)
	see := func(r float64) (look, fault) {
		return t.sight.see(f, aim{x: sp.x, y: sp.y, colour: sp.colour, belief: belief{r: r, ur: 0.5 * r, ul: 0.05}}, t.opt.MinContrast)
	}
	l, bad := see(r)
	if bad.Text == sparse {
		l, bad = see(smallerGuess * r)
	}
	if bad.OK() {
		bad = t.unfit(l)
	}
	t.tell(f, nil, 2*sp.x, 2*sp.y, 4*r, l, bad)
	if !bad.OK() {
		t.barren = append(t.barren, place{2 * sp.x, 2 * sp.y, f.T})
		return
	}
	if t.followed(l.x, l.y, nil) {
		return
	}
	s := &Spot{ID: t.frames*100 + len(t.live), Colour: l.colour, Radius: l.radius, streaks: 0.2}
	s.add(f, l, 0)
	t.live = append(t.live, s)
}

// follow looks for a spot where it should be by now and reports whether it is
// there.
func (t *Tracker) follow(f *track.Frame, s *Spot, dt float64) bool {
	since := f.T - s.lastT
	px, py := s.x+s.vx*since, s.y+s.vy*since
	if since < 3*dt {
		l, bad := t.look(f, s, aim{x: px / 2, y: py / 2, vx: s.vx * dt / 2, vy: s.vy * dt / 2, colour: s.lately, belief: s.belief(math.Hypot(s.vx, s.vy) * dt / 2)})
		reach := t.reach(s, since)
		if bad.OK() {
			bad = s.doubts(l, px, py, reach)
		}
		t.tell(f, s, px, py, reach, l, bad)
		if bad.OK() {
			s.add(f, l, since)
			return true
		}
	}
	s.samples = append(s.samples, track.Sample{Frame: f.Index, T: f.T})
	s.details = append(s.details, detail{})
	return false
}

// look looks for a known spot, and closely where what surrounds it is like it, or
// hides where it ends.
func (t *Tracker) look(f *track.Frame, s *Spot, a aim) (look, fault) {
	l, bad := t.sight.see(f, a, t.opt.MinContrast)
	if bad.OK() && (l.glossy || s.glossed >= glossedAfter && t.sight.litBeside(f, l)) {
		a.matt = true
		if m, worse := t.sight.see(f, a, t.opt.MinContrast); worse.OK() {
			m.colour, m.glossy = l.colour, l.glossy
			return m, worse
		}
		return l, bad
	}
	if bad.OK() && !l.crowded || s.besides < closeAfter {
		return l, bad
	}
	a.closely = &s.beside
	c, worse := t.sight.see(f, a, t.opt.MinContrast)
	if worse.OK() && c.rms < closeRMS {
		return c, worse
	}
	return l, bad
}

// reach is how far from its expected place, in luma px, a spot may be found.
func (t *Tracker) reach(s *Spot, since float64) float64 {
	free := s.Radius + 6*t.unit + 0.7*math.Hypot(s.vx, s.vy)*since + 2400*t.unit*since*math.Min(1, since/0.1)
	return math.Min(free, t.opt.MaxSpeed*t.unit*since+s.Radius)
}

// regain looks for a spot that was not where it should be among the spots of
// the scan.
func (t *Tracker) regain(f *track.Frame, s *Spot, spots []spot, dt float64) {
	since := f.T - s.lastT
	px, py := s.x+s.vx*math.Min(since, 0.1), s.y+s.vy*math.Min(since, 0.1)
	reach := t.reach(s, since)
	best, bestCost := -1, math.Inf(1)
	for i, sp := range spots {
		d, c := math.Hypot(2*sp.x-px, 2*sp.y-py)/reach, s.usual().unlike(sp.colour)
		if d < 1 && c < 1 && d+c < bestCost && !t.followed(2*sp.x, 2*sp.y, s) {
			best, bestCost = i, d+c
		}
	}
	if best < 0 {
		return
	}
	x, y := spots[best].x, spots[best].y
	vx, vy := (x-s.x/2)*dt/since, (y-s.y/2)*dt/since
	l, bad := t.look(f, s, aim{x: x, y: y, vx: vx, vy: vy, colour: spots[best].colour, belief: s.belief(math.Hypot(vx, vy))})
	if bad.OK() {
		bad = s.doubts(l, px, py, reach)
	}
	t.tell(f, s, px, py, reach, l, bad)
	if !bad.OK() {
		return
	}
	s.samples, s.details = s.samples[:len(s.samples)-1], s.details[:len(s.details)-1]
	s.add(f, l, since)
}

// awaited reports whether a place is where a spot of its colour should be that was
// not taken in this frame: in part hidden, it is no other.
func (t *Tracker) awaited(now float64, sp spot) bool {
	for _, s := range t.live {
		since := now - s.lastT
		if s.seen < sizeAfter || since == 0 || s.usual().unlike(sp.colour) > 1 {
			continue
		}
		if math.Hypot(2*sp.x-s.x-s.vx*since, 2*sp.y-s.y-s.vy*since) < s.Radius+4*t.unit+0.5*math.Hypot(s.vx, s.vy)*since {
			return true
		}
	}
	return false
}

// followed reports whether a live spot other than but is at a place.
func (t *Tracker) followed(x, y float64, but *Spot) bool {
	for _, s := range t.live {
		if s != but && math.Hypot(x-s.x, y-s.y) < s.Radius+4*t.unit {
			return true
		}
	}
	return false
}

// unfit tells why a sighting cannot begin a spot.
func (t *Tracker) unfit(l look) fault {
	switch {
	case l.rms > t.worst(beginRMS):
		return fault{Text: poorFit, Got: l.rms, Limit: t.worst(beginRMS)}
	case l.radius < minRadius*t.unit:
		return fault{Text: tooSmall, Got: l.radius, Limit: minRadius * t.unit}
	case l.radius > maxRadius*t.unit:
		return fault{Text: tooLarge, Got: l.radius, Limit: maxRadius * t.unit}
	}
	return fault{}
}
