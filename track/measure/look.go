package measure

import (
	"math"

	"strokereel/track"
	"strokereel/track/path"
	"strokereel/track/phase"
)

// lookStep is how finely the head's motion is looked through, s.
const lookStep = 0.004

// watched is the head's motion as one path. A trunk that sways may take the head
// along without turning it: anything between half and wholly as far, so three
// quarters of the sway are taken off and the rest of it is uncertain.
type watched struct {
	curve   *path.Curve
	x, y, u float64     // at address
	sway    *path.Curve // of the middle of the shoulders, nil when not seen
	swayX   float64     // at address
	last    float64     // s, last sighting
}

const (
	// swayShare of the trunk's sway is the head's too; swayDoubt is the standard
	// uncertainty of a share between a half and one.
	swayShare = 0.75
	swayDoubt = 0.5 / 3.46
	// overShoulder is how far stickers on the shoulders are above the joints, m: as
	// the shoulders rock they move sideways although the trunk does not.
	overShoulder = 0.03
	// headDrift is what a head moves besides, m, standard uncertainty.
	headDrift = 0.002
)

// swayed is how far the trunk has moved along the line, m.
func (w watched) swayed(t float64) float64 {
	if w.sway == nil {
		return 0
	}
	f, err := w.sway.At(t)
	if err != nil {
		return 0
	}
	return f.X - w.swayX
}

// headPath sets the head's motion up.
func (p *pose) headPath() (watched, string) {
	s := p.w.stroke
	start := s.Event(track.Start)
	if start.Status != track.Measured {
		return watched{}, "needs the " + spoken(track.Start) + ": " + start.Reason
	}
	cap, ok := p.w.in.Body.Paths[track.Cap]
	if !ok {
		return watched{}, "a turn of the head is told by a sticker on the cap: wear one and name its colour"
	}
	out := s.Toward(cap)
	var w watched
	n := 0.0
	for _, q := range out.Points {
		if q.Seen && p.rests(q.T) {
			w.x, w.y, w.u, n = w.x+q.X, w.y+q.Y, w.u+q.U, n+1
		}
		if q.Seen {
			w.last = q.T
		}
	}
	if n < 3 {
		return watched{}, "the head was not seen at address"
	}
	w.x, w.y, w.u = w.x/n, w.y/n, w.u/n/math.Sqrt(math.Min(n, independentFrames))
	w.curve, ok = p.curves[track.Cap]
	if !ok {
		return watched{}, "the head was not seen well enough"
	}
	w.sway, w.swayX = p.trunk()
	return w, ""
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
// distance from the axis of the head times the sine of the turn.
func LookUp(s phase.Stroke, in Clip, o Options) track.Event {
	w := newWork(s, in, o)
	return w.lookUp(w.newPose())
}

func (w *work) lookUp(p *pose) track.Event {
	h, missing := p.headPath()
	if missing != "" {
		return track.Event{Name: track.LookUp, Status: track.NotMeasured, Reason: missing}
	}
	reach := rectangular(w.o.CapReachMin/1000, w.o.CapReachMax/1000)
	sine := math.Sin(w.o.LookTurn * math.Pi / 180)
	limit, uLimit := reach.Value*sine, reach.U*sine
	lift := w.o.LookMove / 1000
	start, before, drifted := w.stroke.Event(track.Start).T, 0.0, false
	for t := start; t <= h.last; t += lookStep {
		f, err := h.curve.At(t)
		if err != nil {
			continue
		}
		sway := h.swayed(t)
		gone := math.Max(math.Abs(f.X-h.x-swayShare*sway)/limit, math.Abs(f.Y-h.y)/lift)
		if gone < 1 || before >= 1 {
			before = gone
			continue
		}
		at := t
		if before > 0 {
			at -= lookStep * (gone - 1) / (gone - before)
		}
		speed := math.Max(math.Max(math.Abs(f.VX)/limit, math.Abs(f.VY)/lift), 1e-3)
		terms := []track.Term{
			{Symbol: "r", Name: "way of the sticker that is the turn asked for", Unit: "m", Value: limit, U: uLimit},
			{Symbol: "x", Name: "position of the cap's sticker, smoothed", Unit: "m", Value: f.X, U: f.U(0)},
			{Symbol: "x_0", Name: "its mean position at address", Unit: "m", Value: h.x, U: h.u},
			{Symbol: "w", Name: "sway of the trunk that is the head's too", Unit: "m", Value: swayShare * sway, U: swayDoubt * math.Abs(sway)},
			{Symbol: "d", Name: "drift of a head kept still", Unit: "m", U: headDrift},
		}
		u := w.in.FrameInterval / math.Sqrt(12)
		frame := track.Term{Symbol: "f", Name: "time between frames", Unit: "s", Value: w.in.FrameInterval, U: u, Sensitivity: 1}
		for i := range terms {
			terms[i].Sensitivity = 1 / (limit * speed)
			u = math.Hypot(u, terms[i].U*terms[i].Sensitivity)
		}
		before = gone
		if 1.96*u > w.o.MostLookU95 {
			drifted = true // so slowly that it may come back
			continue
		}
		return track.Event{Name: track.LookUp, T: at, U: u, Status: track.Measured, Witnesses: []track.Witness{{Name: "cap", T: at, U: u}}, Terms: append(terms, frame)}
	}
	if drifted {
		return track.Event{Name: track.LookUp, Status: track.NotMeasured, Reason: "the head moved too slowly for its moment to be told"}
	}
	return track.Event{Name: track.LookUp, T: h.last, U: w.in.FrameInterval, Status: track.AtLeast, Reason: "the head stayed down as long as it was seen"}
}

// head measures what the head does.
func (w *work) head(p *pose) {
	e := w.lookUp(p)
	for _, d := range []struct{ id, from string }{{"look_up_after_impact", track.Impact}, {"look_up_after_stop", track.Stop}} {
		if !e.Known() {
			w.refuse(d.id, e.Reason)
			continue
		}
		if !w.needs(d.id, d.from) {
			continue
		}
		in := []Input{w.time(d.from), {Symbol: timeSymbol[track.LookUp], Name: "time of the look-up", Unit: "s", Value: e.T, U: e.U}}
		w.add(d.id, "s", spoken(d.from)+" to look-up", in, func(v []float64) float64 { return v[1] - v[0] })
		w.limit(d.id, e.Status, e.Reason)
		if m := w.done[d.id]; m.Status == track.Measured && m.U95 > w.o.MostLookU95 {
			w.refuse(d.id, "the head moved too slowly for its moment to be told")
		}
	}
	w.headMoves(p, e)
	w.headOverBall(p)
}

// headName is the place that stands for the head: a sticker on the cap, else
// the middle of the ears.
func (p *pose) headName() string {
	if _, ok := p.w.in.Body.Paths[track.Cap]; !ok {
		if _, ok := p.w.in.Body.Paths[track.Head]; ok {
			return track.Head
		}
	}
	return track.Cap
}

// headMoves are shift and rise of the head from address to impact.
func (w *work) headMoves(p *pose, look track.Event) {
	head := p.headName()
	in, missing := p.gather([]need{{head, track.Start}, {head, track.Impact}})
	if impact := w.stroke.Event(track.Impact); missing == "" && look.Status == track.Measured && look.T < impact.T {
		missing = "the head had turned or moved before impact, which one sticker does not tell apart"
	}
	if missing != "" {
		w.refuse("head_shift", missing)
		w.refuse("head_rise", missing)
		return
	}
	what := "middle of the ears"
	if head == track.Cap {
		what = "sticker on the cap"
	}
	reach := (w.o.CapReachMin + w.o.CapReachMax) / 2000
	terms := append(w.scaleTerms(), Input{Symbol: "e", Name: "small turn of the head taken for a shift", Unit: "m", U: reach * smallTurn * math.Pi / 180})
	terms = append(terms, in...)
	const k = scaleTermCount + 1
	w.add("head_shift", "m", what+" along the line from address to impact, toward the target positive", terms,
		func(v []float64) float64 { return (v[k+2]-v[k])/v[iScale] + v[k-1] })
	w.add("head_rise", "m", what+" from address to impact, up positive", terms,
		func(v []float64) float64 { return (v[k+3]-v[k+1])/v[iScale] + v[k-1] })
}

// smallTurn is how far, degrees (standard uncertainty), the head may have turned
// by impact without it being called a look-up.
const smallTurn = 0.8

// headOverBall is how far the cap's sticker is to the side of the ball. It is
// nearer to the camera than the ball, which is allowed for.
func (w *work) headOverBall(p *pose) {
	const id = "head_over_ball"
	in, missing := p.gather([]need{{p.headName(), track.Start}})
	if missing == "" && !w.in.BallKnown {
		missing = "no ball was seen"
	}
	if missing != "" {
		w.refuse(id, missing)
		return
	}
	z := w.in.Distance
	nearer := Quantity{Value: capNearer, U: capNearerU}
	terms := append(w.scaleTerms(), in...)
	terms = append(terms,
		Input{Symbol: "z", Name: "distance of the camera", Unit: "m", Value: z.Value, U: z.U},
		Input{Symbol: "c", Name: "cap nearer to the camera than the ball", Unit: "m", Value: nearer.Value, U: nearer.U},
		Input{Symbol: "m", Name: "place of the picture's middle along the line", Unit: "m", Value: w.in.MiddleX, U: middleU},
		Input{Symbol: "e", Name: "sideways turn of the head at address", Unit: "m", U: capTurned})
	const k = scaleTermCount
	w.add(id, "m", "head to the side of the ball at address, by the cap's sticker or the ears, toward the target positive", terms, func(v []float64) float64 {
		side := func(x, nearer float64) float64 { return (x - v[k+4]) / v[iScale] * (v[k+2] - nearer) / v[k+2] }
		// A camera turned from square and looking down sees the line tilted, and
		// what stands upright leans by as much once the line is made level.
		lean := (v[k+1] - w.in.BallY) * math.Sin(v[iYaw]) * lookDown
		return side(v[k], v[k+3]) - side(w.in.BallX, 0) - v[k+3]*math.Sin(v[iYaw]) - lean + v[k+5]
	})
}

const (
	// capNearer is how much nearer to the camera a cap's brim is than the ball, m:
	// with the eyes over the ball the brim is a hand before it.
	capNearer, capNearerU = 0.10, 0.06
	// lookDown is the slope at which a phone on a tripod looks at the ball: 0.7 to
	// 1.4 m up, 2.5 to 4.5 m away.
	lookDown = 0.3
	// middleU is how well the picture's middle is the lens's, m at the player.
	middleU = 0.02
	// capTurned is how far the sticker may be from the middle of the head, m.
	capTurned = 0.008
)
