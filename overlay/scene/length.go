package scene

import (
	"fmt"
	"math"

	"strokereel/overlay"
	"strokereel/track"
)

// Length is a length on the ground, from the address mark to the top or to the
// finish: it grows with the putter and gets its number when its end is reached.
type Length struct {
	Form     Form
	Under    overlay.Share // how much further below the line its label stands
	Line     overlay.Line
	Sign     *overlay.Sign // of the clip's role, before the label
	TickStep float64       // m, from small tick to small tick
	Drop     overlay.Share // how far below the ground point the line lies

	ground  Ground
	measure track.Measure
	from    float64 // s, when it begins to grow
	to      float64 // s, when its end is reached
	dir     float64 // -1 away from the target, 1 toward it
}

// Form is how a length is said.
type Form int

// The forms.
const (
	InARow  Form = iota // name and value beside one another, below the line's end
	Stacked             // the name over the value, below its own half of the stroke
	Large               // likewise, with a large value
)

// rows is a length in words; what stands beside a line is narrow in any form.
func (f Form) rows(m track.Measure, beside bool) []overlay.Row {
	name, v := MeasureName(m.ID), Show(m)
	if f == InARow && !beside {
		return []overlay.Row{valueRow(name, v)}
	}
	rows := stacked(name, v)
	if f == Large {
		rows[1][0].Size = overlay.Large
	}
	return rows
}

// NewBackstroke draws the backstroke's length from the address mark to the top.
func NewBackstroke(g Ground, m track.Measure, start, top track.Event) (*Length, error) {
	return newLength(g, m, start, top, -1)
}

// NewFollowThrough draws the length of the follow-through, which counts from
// the address mark like the backstroke.
func NewFollowThrough(g Ground, m track.Measure, impact, stop track.Event) (*Length, error) {
	return newLength(g, m, impact, stop, 1)
}

func newLength(g Ground, m track.Measure, from, to track.Event, dir float64) (*Length, error) {
	if err := g.Validate(); err != nil {
		return nil, err
	}
	if m.Status != track.Measured && m.Status != track.AtLeast {
		return nil, fmt.Errorf("drawing the length %q: it was not measured: %s", m.ID, m.Reason)
	}
	if !(m.Value >= 0) || math.IsInf(m.Value, 0) || !(m.U95 >= 0) {
		return nil, fmt.Errorf("drawing the length %q: needs a length and an uncertainty (got %g m and %g m)", m.ID, m.Value, m.U95)
	}
	if !to.Known() {
		return nil, fmt.Errorf("drawing the length %q: the moment %q is not known: %s", m.ID, to.Name, to.Reason)
	}
	l := &Length{Line: overlay.DefaultLine(), TickStep: 0.1, Drop: lineDrop,
		ground: g, measure: m, from: math.Inf(1), to: to.T, dir: dir}
	if from.Known() {
		l.from = from.T
	}
	return l, nil
}

// reach is how long the line is at a moment, m; ok is false before it begins.
func (l *Length) reach(m overlay.Moment) (reach float64, ok bool) {
	if m.T >= l.to {
		return l.measure.Value, true
	}
	p, seen := m.Find(track.Putter)
	if m.T < l.from || !seen {
		return 0, false
	}
	return math.Min(math.Max(l.dir*l.ground.along(p), 0), l.measure.Value), true
}

// at returns a place of the line on the canvas.
func (l *Length) at(c *overlay.Canvas, m overlay.Moment, reach float64) overlay.Point {
	dx, dy := l.ground.across(m)
	d := c.Px(l.Drop)
	return l.ground.at(m, l.dir*reach).Add(dx*d, dy*d)
}

// Draw draws the line with its ticks and, at its end, its interval.
func (l *Length) Draw(c *overlay.Canvas, m overlay.Moment) {
	reach, ok := l.reach(m)
	if !ok {
		return
	}
	c.Stroke(l.Line, l.at(c, m, 0), l.at(c, m, reach))
	for k := 1; float64(k)*l.TickStep < reach-1e-9 && l.TickStep > 0; k++ {
		l.tick(c, m, float64(k)*l.TickStep, 0.008)
	}
	l.tick(c, m, 0, 0.018)
	l.tick(c, m, reach, 0.018)
	if m.T >= l.to {
		l.interval(c, m)
	}
}

// tick draws an upright stroke of half-height h at a place of the line.
func (l *Length) tick(c *overlay.Canvas, m overlay.Moment, reach float64, h overlay.Share) {
	dx, dy := l.ground.across(m)
	d := c.Px(h)
	p := l.at(c, m, reach)
	t := l.Line
	t.Dash, t.Width = nil, l.Line.Width*0.75
	c.Stroke(t, p.Add(-dx*d, -dy*d), p.Add(dx*d, dy*d))
}

// Of the bar of an interval: how far it lies below the line, from where on it is
// wide enough to be seen, and by how much a label goes out of its way.
const (
	barDrop  overlay.Share = 0.024
	barLeast overlay.Share = 0.024
	barHigh  overlay.Share = 0.010
)

// bar is the 95 % interval of the line's end, below it; ok is false when it is too
// narrow to be seen.
func (l *Length) bar(c *overlay.Canvas, m overlay.Moment) (p, q overlay.Point, ok bool) {
	dx, dy := l.ground.across(m)
	d := c.Px(barDrop)
	p = l.at(c, m, l.measure.Value-l.measure.U95).Add(dx*d, dy*d)
	q = l.at(c, m, l.measure.Value+l.measure.U95).Add(dx*d, dy*d)
	return p, q, p.Distance(q) >= c.Px(barLeast)
}

// interval draws the bar with whiskers.
func (l *Length) interval(c *overlay.Canvas, m overlay.Moment) {
	p, q, ok := l.bar(c, m)
	if !ok {
		return
	}
	dx, dy := l.ground.across(m)
	t := l.Line
	t.Dash, t.Width, t.Casing = nil, 0.003, 0.002
	w := c.Px(0.006)
	c.Stroke(t, p, q)
	for _, e := range []overlay.Point{p, q} {
		c.Stroke(t, e.Add(-dx*w, -dy*w), e.Add(dx*w, dy*w))
	}
}

// Labels says the length once its end is reached.
func (l *Length) Labels(c *overlay.Canvas, m overlay.Moment) []overlay.Label {
	if m.T < l.to {
		return nil
	}
	end := l.at(c, m, l.measure.Value)
	label := overlay.Label{
		Key: l.measure.ID, Rows: l.Form.rows(l.measure, false), Sign: l.Sign, At: end, Side: overlay.Below, Stay: true,
	}
	if l.Form != InARow {
		label.At = underHalf(c, label, l.at(c, m, 0), end, l.outside(c, m))
		label.At.Y += l.ground.dip(m) + c.Px(l.Under)
		if _, _, barred := l.bar(c, m); barred {
			label.At.Y += c.Px(barHigh)
		}
	}
	if _, h := c.Size(label); label.At.Y+h+c.Px(overlay.LabelGap) > c.Safe().Y1 {
		// No room between the line and the edge: beside its end, and narrow.
		label.At, label.Side, label.Rows = end, l.outside(c, m), l.Form.rows(l.measure, true)
	}
	return []overlay.Label{label}
}

// halfGap is the room between the labels of the two halves of a stroke.
const halfGap overlay.Share = 0.016

// underHalf is the place of which a label stands below: the middle of a line, or
// so far out from the address mark that there is room for that of the other half.
func underHalf(c *overlay.Canvas, label overlay.Label, zero, end overlay.Point, out overlay.Side) overlay.Point {
	w, _ := c.Size(label)
	far := math.Max(zero.Distance(end), w+c.Px(halfGap)) / 2
	if out == overlay.Left {
		far = -far
	}
	return overlay.Point{X: zero.X + far, Y: zero.Y}
}

// outside is the side of the line's end that is away from the address mark.
func (l *Length) outside(c *overlay.Canvas, m overlay.Moment) overlay.Side {
	if l.at(c, m, 1).X < l.at(c, m, 0).X {
		return overlay.Left
	}
	return overlay.Right
}

// lineDrop is how far below the ground point lines lie.
const lineDrop overlay.Share = 0.014

// lineClear is how far labels stay from the line, which its ticks cross;
// lineBeside how far from its ends.
const (
	lineClear  overlay.Share = 0.024
	lineBeside overlay.Share = 0.012
)

// KeepClear keeps labels off the line.
func (l *Length) KeepClear(c *overlay.Canvas, m overlay.Moment) []overlay.Box {
	reach, ok := l.reach(m)
	if !ok {
		return nil
	}
	b := overlay.Span(l.at(c, m, 0), l.at(c, m, reach)).Grow(c.Px(lineClear))
	side := c.Px(lineClear - lineBeside)
	return []overlay.Box{{X0: b.X0 + side, Y0: b.Y0, X1: b.X1 - side, Y1: b.Y1}}
}
