package scene

import (
	"fmt"
	"math"

	"strokereel/overlay"
	"strokereel/track"
)

// atEvent is how long before and after its event, s of the clip's clock, a mark
// on the body is shown: what it says is true of that moment only.
const atEvent = 0.06

// Wrist is the arc at the lead wrist at one event: from where the shaft would
// be had the wrist kept its angle of address, to where it is.
type Wrist struct {
	Line   overlay.Line
	Radius overlay.Share
	Brief  bool // only the value, where a plate says the rest

	event   track.Event
	change  track.Measure
	address []overlay.Object
}

// NewWrist needs the change measured at the event and the joints at address.
func NewWrist(event track.Event, change track.Measure, address []overlay.Object) (*Wrist, error) {
	if err := markable(event, change); err != nil {
		return nil, fmt.Errorf("drawing the lead wrist: %w", err)
	}
	line := overlay.DefaultLine()
	line.Colour = overlay.Chalk
	return &Wrist{Line: line, Radius: 0.085, event: event, change: change, address: address}, nil
}

// markable reports why a measure of an event cannot be marked.
func markable(event track.Event, m track.Measure) error {
	if !event.Known() {
		return fmt.Errorf("the moment %q is not known: %s", event.Name, event.Reason)
	}
	if m.Status != track.Measured || math.IsNaN(m.Value) || math.IsInf(m.Value, 0) {
		return fmt.Errorf("%q was not measured: %s", m.ID, m.Reason)
	}
	return nil
}

func shown(event track.Event, t float64) bool { return math.Abs(t-event.T) <= atEvent }

// arc is the wrist's place on the canvas and the two directions, rad.
func (w *Wrist) arc(m overlay.Moment) (at overlay.Point, kept, now float64, ok bool) {
	if !shown(w.event, m.T) {
		return at, 0, 0, false
	}
	then := m
	then.Objects = w.address
	arm, shaft, ok := directions(m)
	arm0, shaft0, known := directions(then)
	o, seen := m.Find(LeadWrist)
	if !ok || !known || !seen {
		return at, 0, 0, false
	}
	kept = arm + shaft0 - arm0
	return m.At(o), kept, kept + math.Mod(shaft-kept+3*math.Pi, 2*math.Pi) - math.Pi, true
}

// directions are those of the lead forearm and of the shaft, both downward, rad.
func directions(m overlay.Moment) (arm, shaft float64, ok bool) {
	var p [4]overlay.Point
	for i, name := range []string{LeadElbow, LeadWrist, track.ShaftTop, track.ShaftFoot} {
		o, found := m.Find(name)
		if !found {
			return 0, 0, false
		}
		p[i] = m.At(o)
	}
	return math.Atan2(p[1].Y-p[0].Y, p[1].X-p[0].X), math.Atan2(p[3].Y-p[2].Y, p[3].X-p[2].X), true
}

// arcSteps is how many pieces an arc is drawn in.
const arcSteps = 24

// Draw draws the arc and a faint line to where the shaft would be.
func (w *Wrist) Draw(c *overlay.Canvas, m overlay.Moment) {
	at, kept, now, ok := w.arc(m)
	if !ok {
		return
	}
	r := c.Px(w.Radius)
	faint := w.Line
	faint.Width, faint.Casing, faint.Opacity, faint.Colour = 0.0035, 0.0025, 0.7, overlay.Mist
	c.Stroke(faint, at, at.Add(1.5*r*math.Cos(kept), 1.5*r*math.Sin(kept)))
	var pts []overlay.Point
	for i := range arcSteps + 1 {
		a := kept + (now-kept)*float64(i)/arcSteps
		pts = append(pts, at.Add(r*math.Cos(a), r*math.Sin(a)))
	}
	c.Stroke(w.Line, pts...)
}

// Labels says the change with its sign.
func (w *Wrist) Labels(c *overlay.Canvas, m overlay.Moment) []overlay.Label {
	at, kept, now, ok := w.arc(m)
	if !ok {
		return nil
	}
	a, r, side := (kept+now)/2, c.Px(w.Radius), overlay.Right
	if trail, ok := m.Find(TrailElbow); ok && m.At(trail).X > at.X {
		side = overlay.Left // a left-hander
	}
	return []overlay.Label{{Key: "wrist", Slot: overlay.Near, Side: side, At: at.Add(r*math.Cos(a), r*math.Sin(a)),
		Rows: named(wordWrist, signed(w.change), w.Brief)}}
}

// KeepClear keeps labels off the forearm and the arc.
func (w *Wrist) KeepClear(c *overlay.Canvas, m overlay.Moment) []overlay.Box {
	at, kept, now, ok := w.arc(m)
	if !ok {
		return nil
	}
	r := c.Px(w.Radius)
	pts := []overlay.Point{at}
	for _, a := range []float64{kept, (kept + now) / 2, now} {
		pts = append(pts, at.Add(r*math.Cos(a), r*math.Sin(a)))
	}
	return []overlay.Box{overlay.Span(pts...)}
}

// named is a value below its name, narrow so that it finds room beside the body,
// or alone.
func named(name string, v Value, brief bool) []overlay.Row {
	if brief {
		return []overlay.Row{shortRow(Value{Text: v.Text})}
	}
	return stacked(name, v)
}

// signed is a change with its sign.
func signed(m track.Measure) Value {
	v := Show(m)
	if m.Value > 0 && v.Text != wordDash {
		v.Text = "+" + v.Text
	}
	return v
}

// Elbows is the bar between the elbows at one event with its ratio to address.
type Elbows struct {
	Line  overlay.Line
	End   overlay.Share // half-width of the marks at its ends
	Brief bool          // only the value

	event track.Event
	ratio track.Measure
}

// NewElbows needs the ratio measured at the event.
func NewElbows(event track.Event, ratio track.Measure) (*Elbows, error) {
	if err := markable(event, ratio); err != nil {
		return nil, fmt.Errorf("drawing the elbows: %w", err)
	}
	return &Elbows{Line: overlay.DefaultLine(), End: 0.012, event: event, ratio: ratio}, nil
}

func (e *Elbows) ends(m overlay.Moment) (a, b overlay.Point, ok bool) {
	p, ok1 := m.Find(LeadElbow)
	q, ok2 := m.Find(TrailElbow)
	return m.At(p), m.At(q), ok1 && ok2 && shown(e.event, m.T)
}

// Draw draws the bar.
func (e *Elbows) Draw(c *overlay.Canvas, m overlay.Moment) {
	a, b, ok := e.ends(m)
	if !ok {
		return
	}
	c.Stroke(e.Line, a, b)
	for _, p := range []overlay.Point{a, b} {
		c.Mark(p, overlay.Square, e.End, e.Line)
	}
}

// Labels says the ratio.
func (e *Elbows) Labels(_ *overlay.Canvas, m overlay.Moment) []overlay.Label {
	a, b, ok := e.ends(m)
	if !ok {
		return nil
	}
	side := overlay.Left
	if b.X > a.X {
		side = overlay.Right
	}
	return []overlay.Label{{Key: "elbows", Slot: overlay.Near, Side: side, At: b, Rows: named(wordElbows, Show(e.ratio), e.Brief)}}
}

// KeepClear keeps labels off the bar.
func (e *Elbows) KeepClear(c *overlay.Canvas, m overlay.Moment) []overlay.Box {
	a, b, ok := e.ends(m)
	if !ok {
		return nil
	}
	return []overlay.Box{overlay.Span(a, b).Grow(c.Px(e.End))}
}
