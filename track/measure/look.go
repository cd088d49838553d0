package measure

import (
	"math"

	"strokereel/track"
	"strokereel/track/path"
	"strokereel/track/phase"
)

// lookStep is how finely the head's motion is looked through, s.
const lookStep = 0.004

// watched is the motion of a sticker on the cap as one path, or without one how far
// the head's picture has turned, as the way of its rim. A trunk that sways may take the head
// along without turning it: anything between half and wholly as far, so three
// quarters of the sway are taken off and the rest of it is uncertain. A head that stays
// while its trunk seems to sway, as the middle of the shoulders does when the stroke
// pulls one of them far forward, goes with it by less than half.
type watched struct {
	curve   *path.Curve
	x, y, u float64     // at address
	sway    *path.Curve // of the middle of the shoulders, nil when not seen
	swayX   float64     // at address
	takes   float64     // share of the sway that is the head's too
	last    float64     // s, last sighting

	what, witness string  // what stands for the head
	limit, uLimit float64 // m, sideways way that is the turn asked for
	lift          float64 // m, up or down
	drift         float64 // m, what it moves besides, standard uncertainty
}

const (
	// swayShare of the trunk's sway is the head's too, or stayShare where the head
	// stays; swayDoubt is the standard uncertainty of a share that may be anything
	// within a half.
	swayShare = 0.75
	stayShare = 0.25
	swayDoubt = 0.5 / 3.46
	// ownShare is the least share of its limit that a head must itself have moved.
	ownShare = 0.25
	// overShoulder is how far stickers on the shoulders are above the joints, m: as
	// the shoulders rock they move sideways although the trunk does not.
	overShoulder = 0.03
	// headDrift is what a head moves besides, m, standard uncertainty.
	headDrift = 0.002
	// slippedTime is how far apart, s, the words of the cap and of the head's picture
	// are when one of them tells another motion.
	slippedTime = 0.2
	// roundHead is how much more or less than a flat one the picture of a head turns,
	// which is round and looked at from aside, as a share, standard uncertainty: of 48
	// drawn heads the pictures of 41 were followed, and theirs scattered by 0.16.
	roundHead = 0.15
	// turnDrift is how far a head's picture turns besides, rad: half a degree.
	turnDrift = 0.5 * math.Pi / 180
)

// off is where the head is from its place at address, less what the trunk took
// along: m and m/s; sway is that of the trunk.
func (w watched) off(t float64) (m path.Motion, sway float64, ok bool) {
	m, err := w.curve.At(t)
	if err != nil {
		return m, 0, false
	}
	if w.sway != nil {
		if f, err := w.sway.At(t); err == nil {
			sway = f.X - w.swayX
			m.VX -= w.takes * f.VX
		}
	}
	m.X, m.Y = m.X-w.x-w.takes*sway, m.Y-w.y
	return m, sway, true
}

// capPath is the motion of the cap's sticker.
func (p *pose) capPath() (watched, string) {
	s := p.w.stroke
	cap, ok := p.w.in.Body.Paths[track.Cap]
	if !ok {
		return watched{}, "a turn of the head is told by a sticker on the cap, or else with the body model: wear one and name its colour"
	}
	w := watched{what: "cap's sticker", witness: "cap", drift: headDrift, lift: p.w.o.LookMove / 1000}
	reach := rectangular(p.w.o.CapReachMin/1000, p.w.o.CapReachMax/1000)
	sine := math.Sin(p.w.o.LookTurn * math.Pi / 180)
	w.limit, w.uLimit = reach.Value*sine, reach.U*sine
	if missing := w.rest(p, s.Toward(cap)); missing != "" {
		return w, missing
	}
	if w.curve, ok = p.curves[track.Cap]; !ok {
		return watched{}, "the head was not seen well enough"
	}
	w.sway, w.swayX = p.trunk()
	w.takes = swayShare
	return w, ""
}

// rim is the way of the rim of the head's picture as that turns, and its radius, m, 0
// when it was not followed.
func (p *pose) rim() (track.Path, float64) {
	s := p.w.stroke
	chin := map[int]track.Point{}
	for _, q := range s.Toward(p.w.in.Body.Paths[track.HeadChin]).Points {
		chin[q.Frame] = q
	}
	rim := track.Path{Object: track.Head}
	var radius float64
	for _, q := range s.Toward(p.w.in.Body.Paths[track.HeadCrown]).Points {
		r := chin[q.Frame]
		m := track.Point{Frame: q.Frame, T: q.T, U: q.U, Seen: q.Seen && r.Seen}
		if m.Seen {
			radius = math.Hypot(q.X-r.X, q.Y-r.Y) / 2
			m.X, m.Y = radius*math.Atan2(q.X-r.X, q.Y-r.Y), (q.Y+r.Y)/2
		}
		rim.Points = append(rim.Points, m)
	}
	return rim, radius
}

// turning is the turn of the head's picture. The axis the head turns about leans
// from the line of sight by as much as the player does not look straight down.
func (p *pose) turning() (watched, string) {
	rim, radius := p.rim()
	if radius == 0 {
		return watched{}, "the head's picture was not followed"
	}
	w := watched{what: "rim of the head's picture", witness: "head", drift: radius * turnDrift, lift: p.w.o.LookMove / 1000}
	down := rectangular(math.Sin(p.w.o.GazeMin*math.Pi/180), math.Sin(p.w.o.GazeMax*math.Pi/180))
	way := radius * p.w.o.LookTurn * math.Pi / 180
	w.limit, w.uLimit = way*down.Value, way*math.Hypot(down.U, roundHead)
	if missing := w.rest(p, rim); missing != "" {
		return w, missing
	}
	var err error
	if w.curve, err = path.NewCurve(path.WithoutStrays(rim, p.w.in.Smoothing), nil, p.w.in.FrameExposure(), p.w.in.Smoothing); err != nil {
		return watched{}, "the head was not seen well enough"
	}
	return w, ""
}

// rest notes where the head is at address, and when it was last seen.
func (w *watched) rest(p *pose, of track.Path) (missing string) {
	n := 0.0
	for _, q := range of.Points {
		if q.Seen && p.rests(q.T) {
			w.x, w.y, w.u, n = w.x+q.X, w.y+q.Y, w.u+q.U, n+1
		}
		if q.Seen {
			w.last = q.T
		}
	}
	if n < 3 {
		return "the head was not seen at address"
	}
	w.x, w.y, w.u = w.x/n, w.y/n, w.u/n/math.Sqrt(math.Min(n, independentFrames))
	return ""
}

// rests reports whether a moment belongs to address.
func (p *pose) rests(t float64) bool {
	start := p.w.stroke.Event(track.Start).T
	return t <= start && t >= math.Max(p.w.stroke.Address.T0, start-addressSpan)
}

// trunk is the path of the middle of the shoulders and its place at address.
func (p *pose) trunk() (*path.Curve, float64) {
	b := map[int]track.Point{}
	for _, q := range p.w.stroke.Toward(p.w.in.Body.Paths[track.TrailShoulder]).Points {
		b[q.Frame] = q
	}
	middle := track.Path{Object: "shoulders"}
	var x, n float64
	for _, q := range p.w.stroke.Toward(p.w.in.Body.Paths[track.LeadShoulder]).Points {
		r := b[q.Frame]
		m := track.Point{Frame: q.Frame, T: q.T}
		if q.Seen && r.Seen {
			tilt := math.Atan2(r.Y-q.Y, q.X-r.X)
			m.X, m.Y, m.U, m.Seen = (q.X+r.X)/2-overShoulder*math.Sin(tilt), (q.Y+r.Y)/2, math.Hypot(q.U, r.U)/2, true
			if p.rests(q.T) {
				x, n = x+m.X, n+1
			}
		}
		middle.Points = append(middle.Points, m)
	}
	c, err := path.NewCurve(middle, nil, p.w.in.FrameExposure(), p.w.in.Smoothing)
	if err != nil || n == 0 {
		return nil, 0
	}
	return c, x / n
}

// LookUp finds the moment at which the head has turned or moved from its address
// place, by a sticker at the front of the cap: a turn carries it sideways by its
// distance from the axis of the head times the sine of the turn. The head's picture,
// which a swaying trunk does not turn, is better and comes first.
func LookUp(s phase.Stroke, in Clip, o Options) track.Event {
	w := newWork(s, in, o)
	return w.lookUp(w.newPose())
}

func (w *work) lookUp(p *pose) track.Event {
	if e := w.stroke.Event(track.Start); e.Status != track.Measured {
		return track.Event{Name: track.LookUp, Status: track.NotMeasured, Reason: "needs the " + spoken(track.Start) + ": " + e.Reason}
	}
	_, worn := w.in.Body.Paths[track.Cap]
	_, followed := w.in.Body.Paths[track.HeadCrown]
	switch {
	case !followed:
		return w.lookUpBy(p.capPath())
	case !worn:
		return w.lookUpBy(p.turning())
	}
	sticker, missing := p.capPath()
	cap, head := w.lookUpBy(sticker, missing), w.lookUpBy(p.turning())
	// A sticker is itself wherever it is seen; a picture of the head may have slipped.
	slipped := cap.Status == track.Measured && math.Abs(head.T-cap.T) > slippedTime
	best := head
	if head.Status != track.Measured || slipped {
		best = cap
	}
	if missing == "" && best.Status == track.Measured {
		if e, ok := w.setsOff(p, sticker, best.T); ok && e.U < best.U {
			return e
		}
	}
	return best
}

// lookUpBy finds the look-up by what was watched.
func (w *work) lookUpBy(h watched, missing string) track.Event {
	if missing != "" {
		return track.Event{Name: track.LookUp, Status: track.NotMeasured, Reason: missing}
	}
	drifted := false
	for t := w.stroke.Event(track.Start).T; ; {
		c, ok := h.crossing(t)
		if !ok {
			break
		}
		if h.takes > stayShare && h.trunkAlone(c.t) {
			h.takes = stayShare
			continue
		}
		c = h.fromRest(c)
		if e := w.lookedUp(h, c); 1.96*e.U <= w.o.MostLookU95 && !c.undone {
			return e
		}
		drifted = true // so slowly that it may come back
		t = c.next
	}
	if drifted {
		return track.Event{Name: track.LookUp, Status: track.NotMeasured, Reason: "the head moved too slowly for its moment to be told"}
	}
	return track.Event{Name: track.LookUp, T: h.last, U: w.in.FrameInterval, Status: track.AtLeast, Reason: "the head stayed down as long as it was seen"}
}

// trunkAlone reports whether at a moment it is only the sway taken off that carries the
// head from its place: it has hardly moved that way itself.
func (w watched) trunkAlone(t float64) bool {
	m, sway, ok := w.off(t)
	itself := math.Copysign(1, m.X) * (m.X + w.takes*sway)
	return ok && itself < ownShare*w.limit && math.Abs(m.X)/w.limit > math.Abs(m.Y)/w.lift
}

// share is how much of the way to its limit the head has gone.
func (w watched) share(m path.Motion) float64 {
	return math.Max(math.Abs(m.X)/w.limit, math.Abs(m.Y)/w.lift)
}

// lookedUp is the event with its budget.
func (w *work) lookedUp(h watched, c crossed) track.Event {
	m, sway, _ := h.off(c.t)
	speed := math.Max(math.Max(math.Abs(m.VX)/h.limit, math.Abs(m.VY)/h.lift), 1e-3)
	doubt, drift := math.Abs(sway), h.drift
	if c.rested { // only what came after the rest is in doubt, and the rest's own place
		doubt, drift = math.Abs(sway-c.sway), restDoubt*math.Abs(c.restX)
	}
	return w.lookedAt(h, c.t, speed, []track.Term{
		{Symbol: "x", Name: "place of the " + h.what + ", smoothed", Unit: "m", Value: m.X, U: m.U(0)},
		{Symbol: "x_0", Name: "its mean position at address", Unit: "m", Value: h.x, U: h.u},
		{Symbol: "w", Name: "sway of the trunk that is the head's too", Unit: "m", Value: h.takes * sway, U: swayDoubt * doubt},
		{Symbol: "d", Name: "drift of a head kept still", Unit: "m", U: math.Hypot(drift, setOff*h.limit)},
	})
}

// lookedAt is the event at a moment at which what was watched moves at a speed, in
// limits a second, with the lengths it depends on.
func (w *work) lookedAt(h watched, at, speed float64, lengths []track.Term) track.Event {
	u := w.in.FrameInterval / math.Sqrt(12)
	frame := track.Term{Symbol: "f", Name: "time between frames", Unit: "s", Value: w.in.FrameInterval, U: u, Sensitivity: 1}
	terms := append([]track.Term{{Symbol: "r", Name: "way of the " + h.what + " that is the turn asked for", Unit: "m", Value: h.limit, U: h.uLimit}}, lengths...)
	for i := range terms {
		terms[i].Sensitivity = 1 / (h.limit * speed)
		u = math.Hypot(u, terms[i].U*terms[i].Sensitivity)
	}
	return track.Event{Name: track.LookUp, T: at, U: u, Status: track.Measured, Witnesses: []track.Witness{{Name: h.witness, T: at, U: u}}, Terms: append(terms, frame)}
}

const (
	// restDoubt is how much of where a head rests may be a turn after all, as a
	// share, standard uncertainty: anything between none and two thirds.
	restDoubt = 0.2
	// setOff is what a head may have turned when it sets off, as a share of the
	// limit, standard uncertainty: players set off differently.
	setOff = 0.17
)
