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
	s.Top = Place{X: -back, Y: nodes[at].y, U: u, Known: true}
	level := s.Top.X + mm(tm.o.TopDistance)
	uLine := tm.line(nodes[at].u, u).u()
	t1, u1, ok1 := cross(nodes[:at+1], alongX, level, uLine, false, false)
	t2, u2, ok2 := cross(nodes[at:], alongX, level, uLine, true, true)
	if !ok1 || !ok2 {
		s.Top.Known = tm.c.settled
		s.refuse(track.Top, "the end of the backstroke is not in the clip")
		return
	}
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

// findStart finds the address mean and the moment the putter left it, in turn:
// each needs the other.
func (tm *timing) findStart() {
	s := &tm.stroke
	if !tm.c.settled {
		s.refuse(track.Start, "the putter was not seen still before the stroke")
		return
	}
	last := tm.series[tm.c.address.to].t
	if !tm.meanUpTo(last-tm.o.OnsetTime/2, tm.c.x, tm.c.y) {
		s.refuse(track.Start, "the putter was not seen at address")
		return
	}
	for range 3 {
		level := s.Address.X - mm(tm.o.StartDistance)
		nodes, whole := tm.grid.stretch(s.Address.T1, tm.series[tm.c.top].t)
		if !whole && !tm.staysBack(nodes) {
			s.refuse(track.Start, "the putter was hidden at the start of the stroke")
			return
		}
		u := 0.0
		if t, _, ok := cross(nodes, alongX, level, 0, false, true); ok {
			u = tm.grid.at(index(t)).u
		}
		d := tm.line(u, s.Address.U)
		t, ut, ok := cross(nodes, alongX, level, d.u(), false, true)
		if !ok {
			s.refuse(track.Start, "the start of the stroke was not found")
			return
		}
		s.tell(track.Event{Name: track.Start, T: t, U: ut, Status: track.Measured, Terms: d.terms("mean position at address", s.Address.X, level, ut)})
		if !tm.meanUpTo(t-tm.o.OnsetTime, s.Address.X, s.Address.Y) {
			break
		}
	}
	start := s.Event(track.Start).T
	if still := start - s.Address.StillFrom; still < tm.o.FullStillTime && !s.Address.FromStart {
		s.warn(WarnShortStill, fmt.Sprintf("the putter was still for only %.1f s before the stroke", still))
	} else if still < tm.o.FullStillTime {
		s.warn(WarnShortStill, fmt.Sprintf("the clip shows the putter for only %.1f s before the stroke", still))
	}
}

// comesAndGoes is the fastest that a putter comes back to its address and goes again
// before a stroke, m/s: 60 mm to and fro in an eighth of a second.
const comesAndGoes = 1

// staysBack reports whether the start lies among the nodes though they end in a hole
// before the top: the putter is then too far back on either side of each hole to have
// come to its address and gone again meanwhile.
func (tm *timing) staysBack(nodes []node) bool {
	if len(nodes) == 0 {
		return false
	}
	back := func(n node) float64 { return tm.stroke.Address.X - n.x - mm(tm.o.StartDistance) }
	last := nodes[len(nodes)-1]
	for _, n := range tm.series[:tm.c.top+1] {
		if n.t <= last.t {
			continue
		}
		if math.Min(back(last), back(n)) <= comesAndGoes*(n.t-last.t)/2 {
			return false
		}
		last = n
	}
	return true
}

// meanUpTo takes the address mean over the rest that ends at t1, given a first
// idea of where that is; false when nothing can be taken.
func (tm *timing) meanUpTo(t1, x, y float64) bool {
	ser := tm.series
	i := len(ser) - 1
	for i >= 0 && ser[i].t > t1 {
		i--
	}
	j := tm.closeSince(i, x, y, 3)
	if i-j < 3 {
		return false
	}
	still := tm.closeSince(i, x, y, 1)
	a := Address{T0: ser[j+1].t, T1: ser[i].t, StillFrom: ser[min(still+1, i)].t, FromStart: still < 0}
	a.UStill = (a.StillFrom - a.T0) / math.Sqrt(3)
	a.Place = meanPlace(tm.in.Putter, a.T0, a.T1)
	tm.stroke.Address = a
	return a.Known
}

// closeSince is the index before the frames up to the i-th that show the putter within
// StillDistance of a place, or beyond by no more than so many standard uncertainties.
func (tm *timing) closeSince(i int, x, y, doubt float64) int {
	ser := tm.series
	j := i
	for j >= 0 && math.Hypot(ser[j].x-x, ser[j].y-y) <= mm(tm.o.StillDistance)+doubt*ser[j].u {
		if j < i && ser[j+1].t-ser[j].t > tm.in.Smoothing.MaxGap {
			break
		}
		j--
	}
	return j
}

// meanPlace is the mean of the raw samples. Tremor makes neighbouring samples
// alike, so that no more than one in a tenth of a second counts as new.
func meanPlace(p track.Path, t0, t1 float64) Place {
	const fresh = 0.1 // s
	var n, x, y, xx, noise float64
	for _, q := range p.Points {
		if q.Seen && q.T >= t0 && q.T <= t1 {
			n, x, y, xx, noise = n+1, x+q.X, y+q.Y, xx+q.X*q.X, noise+q.U*q.U
		}
	}
	if n < 2 {
		return Place{}
	}
	m := x / n
	scatter := math.Max(xx/n-m*m, noise/n)
	motion := math.Max(scatter-noise/n, 0)
	u := math.Sqrt(scatter/n + motion*math.Min(1, fresh/(t1-t0+fresh)))
	return Place{X: m, Y: y / n, U: u, Known: true}
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
