package phase

import (
	"fmt"
	"math"

	"strokereel/track"
	"strokereel/track/path"
)

// correlation is the time after which the noise of a smoothed position is new:
// half the shortest window.
const correlation = 0.036 // s

// timing is one stroke whose events are being found.
type timing struct {
	*finder
	c      candidate
	stroke Stroke
	grid   *grid // with a break at impact, once that is known
}

// stroke finds the events of one candidate.
func (f *finder) stroke(c candidate) (Stroke, error) {
	s := Stroke{Kind: track.Practice, Reversed: f.reversed, Launch: c.launch}
	if c.launch >= 0 {
		s.Kind = track.Putt
	}
	for _, name := range track.EventNames {
		s.Events = append(s.Events, track.Event{Name: name, Status: track.NotMeasured, Reason: "not looked for"})
	}
	s.refuse(track.LookUp, "needs the head's motion")
	tm := &timing{finder: f, c: c, stroke: s, grid: newGrid(f.curve)}
	if c.blind {
		tm.onlyBall()
		return tm.stroke, nil
	}
	tm.findTop()
	tm.findStart()
	tm.findImpact()
	if err := tm.breakAtImpact(); err != nil {
		return Stroke{}, err
	}
	tm.findStop()
	return tm.stroke, nil
}

func (tm *timing) onlyBall() {
	s := &tm.stroke
	s.Kind = track.Unusable
	s.Reason = "the putter was not seen swinging when the ball was struck"
	for _, name := range []string{track.Start, track.Top, track.Stop, track.HoldEnd} {
		s.refuse(name, s.Reason)
	}
	tm.fuse(tm.outsideWitnesses(tm.c.pass))
}

func alongX(n node) float64   { return n.x }
func backward(n node) float64 { return -n.x }

// findTop finds the largest backward position and the moments around it.
func (tm *timing) findTop() {
	s := &tm.stroke
	low := tm.series[tm.c.top].t
	from := low - 1
	if tm.c.settled {
		from = tm.series[tm.c.address.to].t
	}
	nodes := tm.around(low, from, tm.c.pass)
	if len(nodes) == 0 {
		s.refuse(track.Top, "the putter was not seen at the end of the backstroke")
		return
	}
	at, back, u := largest(nodes, backward, correlation)
	level := -back + mm(tm.o.TopDistance)
	uLine := tm.line(nodes[at].u, u).u()
	t1, u1, ok1 := cross(nodes[:at+1], alongX, level, uLine, false, false)
	t2, u2, ok2 := cross(nodes[at:], alongX, level, uLine, true, true)
	if !ok1 || !ok2 {
		s.refuse(track.Top, "the end of the backstroke is not in the clip")
		return
	}
	s.Top = Place{X: -back, Y: nodes[at].y, U: u, Known: true}
	tm.placeTop(t1, t2, u1, u2)
}

// doubt is what makes a position uncertain against a line that is itself
// uncertain, m: the fit, the line, and what frames share.
type doubt struct{ fit, line, shared float64 }

// line takes what a fit, and that to where a line lies, are uncertain by if all that
// frames err is their own.
func (tm *timing) line(fit, line float64) doubt {
	own := tm.in.own()
	return doubt{own * fit, own * line, tm.in.Slow}
}

func (d doubt) u() float64 { return math.Sqrt(d.fit*d.fit + d.line*d.line + d.shared*d.shared) }

// terms are what the uncertainty ut of a crossing's time is made of: a position
// that passes a level, which is counted from a place. The sensitivity is the time
// the path takes per metre around the level.
func (d doubt) terms(from string, at, level, ut float64) []track.Term {
	per := ut / d.u()
	return []track.Term{
		{Symbol: "x", Name: "position of the sticker, smoothed", Unit: "m", Value: level, U: d.fit, Sensitivity: per},
		{Symbol: "x_0", Name: from, Unit: "m", Value: at, U: d.line, Sensitivity: -per},
		{Symbol: "e", Name: "error that neighbouring frames share", Unit: "m", U: d.shared, Sensitivity: per},
	}
}

// placeTop applies the rule of the pause. Close to its limit the two rules give
// different moments; U then holds the doubt about which one applies.
func (tm *timing) placeTop(t1, t2, u1, u2 float64) {
	s, o := &tm.stroke, tm.o
	length, uLength := t2-t1, math.Hypot(u1, u2)
	first := track.Term{Symbol: "t_1", Name: "moment it is 1 mm short, going back", Unit: "s", Value: t1, U: u1, Sensitivity: 0.5}
	second := track.Term{Symbol: "t_2", Name: "moment it is 1 mm short, coming down", Unit: "s", Value: t2, U: u2, Sensitivity: 0.5}
	e := track.Event{Name: track.Top, T: (t1 + t2) / 2, U: uLength / 2, Status: track.Measured, Terms: []track.Term{first, second}}
	if length > o.PauseTime {
		second.Sensitivity = 1
		e.T, e.U, e.Terms = t2-o.PauseLead, u2, []track.Term{second}
		s.Pause = length
		s.warn(WarnPause, fmt.Sprintf("the putter paused for %.2f s at the end of the backstroke; the downstroke is timed from the end of the pause", length))
	}
	p := 0.5 * math.Erfc((o.PauseTime-length)/(uLength*math.Sqrt2)) // of a pause
	jump := length/2 - o.PauseLead
	choice := math.Sqrt(p*(1-p)) * math.Abs(jump)
	e.U = math.Hypot(e.U, choice)
	if choice > e.U/1000 {
		e.Terms = append(e.Terms, track.Term{Symbol: "p", Name: "whether this is a pause, timed by another rule", Unit: "s", U: choice, Sensitivity: 1})
	}
	s.tell(e)
}

// around returns the nodes without a hole that hold t, between two moments.
func (tm *timing) around(t, from, to float64) []node {
	after, _ := tm.grid.stretch(t, to)
	if len(after) == 0 {
		return nil
	}
	first := index(after[0].t)
	i := first
	for float64(i-1)*step >= from && tm.grid.at(i-1).ok {
		i--
	}
	before, _ := tm.grid.stretch(float64(i)*step, float64(first-1)*step)
	return append(before, after...)
}

// breakAtImpact looks at the curve afresh, now that the step of speed is known.
func (tm *timing) breakAtImpact() error {
	impact := tm.stroke.Event(track.Impact)
	if !impact.Known() {
		return nil
	}
	c, err := path.NewCurve(tm.in.Putter, []float64{impact.T}, tm.in.FrameExposure(), tm.in.Smoothing)
	if err != nil {
		return fmt.Errorf("timing the stroke at %.2f s: %w", impact.T, err)
	}
	tm.grid = newGrid(c)
	return nil
}
