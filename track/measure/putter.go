package measure

import (
	"fmt"
	"math"

	"strokereel/track"
	"strokereel/track/path"
)

// lengths along the line, from the address mean to either end.
func (w *work) lengths() {
	s := w.stroke
	inputs := append(w.scaleTerms(),
		Input{Symbol: "x_address", Name: "mean position at address", Unit: "m", Value: s.Address.X, U: s.Address.U},
		Input{Symbol: "x_top", Name: "largest backward position", Unit: "m", Value: s.Top.X, U: s.Top.U},
		Input{Symbol: "x_forward", Name: "largest forward position", Unit: "m", Value: s.Forward.X, U: s.Forward.U},
	)
	const address, top, forward = scaleTermCount, scaleTermCount + 1, scaleTermCount + 2
	back := func(v []float64) float64 { return math.Abs(along(v[top]-v[address], v)) }
	through := func(v []float64) float64 { return math.Abs(along(v[forward]-v[address], v)) }
	for _, d := range []struct {
		id, unit, how string
		ends          []end
		f             func([]float64) float64
	}{
		{"backstroke_length", "m", "address mean to the largest backward position of the marker, along the line",
			[]end{{s.Address.Known, track.Start}, {s.Top.Known, track.Top}}, back},
		{"follow_through_length", "m", "address mean to the largest forward position of the marker, along the line",
			[]end{{s.Address.Known, track.Start}, {s.Forward.Known, track.Stop}}, through},
		{"through_to_back", "1", "follow_through_length over backstroke_length; the scale cancels",
			[]end{{s.Address.Known, track.Start}, {s.Top.Known, track.Top}, {s.Forward.Known, track.Stop}},
			func(v []float64) float64 { return through(v) / back(v) }},
	} {
		if missing := firstMissing(d.ends); missing != "" {
			w.refuse(d.id, fmt.Sprintf("needs the %s: %s", spoken(missing), s.Event(missing).Reason))
			continue
		}
		w.add(d.id, d.unit, d.how, inputs, d.f)
	}
}

// end is a place a length needs, and the event that tells why it is missing.
type end struct {
	known bool
	event string
}

func firstMissing(ends []end) string {
	for _, e := range ends {
		if !e.known {
			return e.event
		}
	}
	return ""
}

func (w *work) times() {
	for _, d := range []struct{ id, from, to string }{
		{"backstroke_time", track.Start, track.Top},
		{"downstroke_time", track.Top, track.Impact},
		{"follow_through_time", track.Impact, track.Stop},
	} {
		if w.needs(d.id, d.from, d.to) {
			w.add(d.id, "s", spoken(d.from)+" to "+spoken(d.to), []Input{w.time(d.from), w.time(d.to)},
				func(v []float64) float64 { return v[1] - v[0] })
		}
	}
	if w.needs("tempo", track.Start, track.Top, track.Impact) {
		w.add("tempo", "1", "backstroke_time over downstroke_time, which share the end of the backstroke",
			[]Input{w.time(track.Start), w.time(track.Top), w.time(track.Impact)}, Tempo)
	}
	w.hold()
	w.still()
}

// Tempo is the backstroke's time over the downstroke's, of the times of start,
// top and impact.
func Tempo(t []float64) float64 { return (t[1] - t[0]) / (t[2] - t[1]) }

func (w *work) hold() {
	const id = "hold_time"
	if !w.needs(id, track.Stop) {
		return
	}
	end := w.stroke.Event(track.HoldEnd)
	if !end.Known() {
		w.refuse(id, end.Reason)
		return
	}
	w.add(id, "s", "stop of the putter to the end of the hold", []Input{w.time(track.Stop), w.time(track.HoldEnd)},
		func(v []float64) float64 { return v[1] - v[0] })
	w.limit(id, end.Status, end.Reason)
}

// limit marks a measure as a lower bound.
func (w *work) limit(id, status, reason string) {
	if status == track.AtLeast {
		m := w.done[id]
		m.Status, m.Reason = status, reason
		w.done[id] = m
	}
}

// A putter comes to rest by degrees: the last 1.5 mm of a waggle take about a tenth of
// a second, any part of which could be called still. The middle of it, restLag after
// the putter was first that close, is taken; restU is how well that moment can be told
// (standard uncertainty, s).
const restLag, restU = 0.05, 0.06

func (w *work) still() {
	const id = "still_time"
	if !w.needs(id, track.Start) {
		return
	}
	rest := w.stroke.Address.StillFrom
	if !w.stroke.Address.FromStart {
		rest += restLag
	}
	from := Input{Symbol: "t_rest", Name: "moment the putter came to rest", Unit: "s", Value: rest, U: math.Hypot(w.stroke.Address.UStill, math.Hypot(restU, w.in.FrameInterval/math.Sqrt(12)))}
	w.add(id, "s", "since when the putter had kept its address place, to the start", []Input{from, w.time(track.Start)},
		func(v []float64) float64 { return v[1] - v[0] })
	if w.stroke.Address.FromStart {
		w.limit(id, track.AtLeast, "the putter was already still when the clip began")
	}
}

// speeds of the marker and the ball at impact.
func (w *work) speeds() error {
	head, u, headErr, err := w.headSpeed()
	if err != nil {
		return err
	}
	terms := w.scaleTerms()
	speed := Input{Symbol: "v", Name: "speed of the sticker in the scale used", Unit: "m/s", Value: head.VX, U: u, DOF: float64(head.N)}
	if headErr != "" {
		w.refuse("impact_speed", headErr)
	} else {
		how := "the marker's motion just before impact, of all frames around it"
		if w.in.Joint.Told() {
			how = "the motion of marker and shaft just before impact, of all frames around it"
		}
		w.add("impact_speed", "m/s", how, append(terms, speed),
			func(v []float64) float64 { return v[scaleTermCount] / v[iScale] / math.Cos(v[iYaw]) })
	}
	if w.stroke.Launch < 0 {
		w.refuse("ball_speed", "no ball was struck")
		w.refuse("ball_to_head", "no ball was struck")
		return nil
	}
	l := w.in.Launches[w.stroke.Launch]
	ball := Input{Symbol: "v_ball", Name: "launch speed in the scale used", Unit: "m/s", Value: l.Speed, U: l.USpeed}
	scale := Input{Symbol: "s_ball", Name: "scale of the ball's plane, over the value used", Unit: "1", Value: 1, U: relative(w.in.BallScale)}
	w.add("ball_speed", "m/s", "launch speed at separation, from a skid-then-roll fit of the ball's path", []Input{scale, terms[iYaw], ball},
		func(v []float64) float64 { return v[2] / v[0] / math.Cos(v[1]) })
	if headErr != "" {
		w.refuse("ball_to_head", headErr)
		return nil
	}
	w.add("ball_to_head", "1", "ball_speed over impact_speed; the ball's width cancels", append(w.ratioTerms(), ball, speed),
		func(v []float64) float64 { return v[len(v)-2] / v[len(v)-1] * v[0] })
	return nil
}

// ratioTerms is what remains of the two scales in a ratio of speeds: only how
// much larger the sticker's plane looks than the ball's when both come from one
// ruler, else both scales.
func (w *work) ratioTerms() []Input {
	n := nearness(w.in.Offset, w.in.Distance)
	u := n.U / n.Value
	if w.in.MarkerScale.From != w.in.BallScale.From {
		u = math.Hypot(relative(w.in.MarkerScale), relative(w.in.BallScale))
	}
	return []Input{{Symbol: "n", Name: "scale of the sticker's plane over the ball's, over the value used", Unit: "1", Value: 1, U: u}}
}

// headSpeed is the motion just before impact and the uncertainty of its speed, which
// includes that of the moment and of the sticker's speed against the shaft; reason tells
// why there is none.
func (w *work) headSpeed() (m path.Motion, u float64, reason string, err error) {
	e := w.stroke.Event(track.Impact)
	if e.Status != track.Measured {
		return m, 0, "needs the impact: " + e.Reason, nil
	}
	var at [3]path.Motion
	for i, t := range []float64{e.T, e.T - e.U, e.T + e.U} {
		c, err := path.NewCurve(w.in.Putter, []float64{t}, w.in.FrameExposure(), w.in.Smoothing)
		if err != nil {
			return m, 0, "", fmt.Errorf("measuring the speed at impact: %w", err)
		}
		if at[i], err = c.At(t); err != nil {
			return m, 0, "the marker was not seen well enough just before impact", nil
		}
	}
	joint := w.in.Joint.USpeed(e.T, w.in.FrameExposure())
	return at[0], math.Hypot(math.Hypot(at[0].U(1), joint), (at[2].VX-at[1].VX)/2), "", nil
}
