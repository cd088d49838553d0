package scene

import (
	"fmt"
	"math"
	"sort"

	"strokereel/overlay"
	"strokereel/track"
)

// Trail is the path of the putter head up to the moment. Before impact it is a
// line of dots, one per Beat, so that their spacing shows the speed; after
// impact it is a whole line. Its older end thins out.
type Trail struct {
	Line overlay.Line
	Beat float64 // s of the clip's clock from dot to dot before impact
	Keep float64 // s after which a piece is gone
	Full float64 // s for which a piece stays as wide as it was

	samples []track.Sample // seen ones, times rising
	impact  float64        // s, +Inf when not known
}

// longestGap is how long, in s, the head may go unseen before the line is
// broken rather than drawn on: 5 frames at 60 frames/s.
const longestGap = 5.0 / 60

// NewTrail draws a path in px of the clip's upright picture. An impact that is
// not known leaves the whole path in the form of before.
func NewTrail(samples []track.Sample, impact track.Event) (*Trail, error) {
	t := &Trail{Line: overlay.DefaultLine(), Beat: 1.0 / 30, Keep: 2.5, Full: 1.2, impact: math.Inf(1)}
	last := math.Inf(-1)
	for _, s := range samples {
		if !(s.T > last) {
			return nil, fmt.Errorf("drawing the path of the putter head: times must rise, frame %d is at %g s after %g s", s.Frame, s.T, last)
		}
		last = s.T
		if !s.Seen {
			continue
		}
		if !finite(s.X + s.Y) {
			return nil, fmt.Errorf("drawing the path of the putter head: frame %d is seen but has no position", s.Frame)
		}
		t.samples = append(t.samples, s)
	}
	if impact.Known() {
		t.impact = impact.T
	}
	return t, nil
}

// Draw draws the path up to the moment.
func (t *Trail) Draw(c *overlay.Canvas, m overlay.Moment) {
	from, to := m.T-t.Keep, m.T
	t.dots(c, m, from, math.Min(to, t.impact))
	if to > t.impact {
		t.line(c, m, math.Max(from, t.impact), to)
	}
}

// fade is how much of its width a piece of an age (s) has kept, 0 to 1.
func (t *Trail) fade(age float64) float64 {
	if age <= t.Full || t.Keep <= t.Full {
		return 1
	}
	return math.Max(0, (t.Keep-age)/(t.Keep-t.Full))
}

// dots draws the path as dots at whole multiples of the beat, which stay where
// they are from frame to frame.
func (t *Trail) dots(c *overlay.Canvas, m overlay.Moment, from, to float64) {
	if !(t.Beat > 0) || len(t.samples) == 0 {
		return
	}
	var last overlay.Point
	drawn := false
	// Counted from the first sample, so that the choice of dots does not change
	// as the older end moves on.
	for k := math.Ceil(t.samples[0].T / t.Beat); k*t.Beat <= to; k++ {
		x, y, ok := t.at(k * t.Beat)
		p := m.View.At(x, y)
		if !ok || drawn && p.Distance(last) < c.Px(2*t.Line.Width+2*t.Line.Casing) {
			continue // a resting putter would heap them up
		}
		last, drawn = p, true
		if k*t.Beat >= from {
			l, wide := t.Line, overlay.Share(t.fade(m.T-k*t.Beat))
			l.Casing *= wide
			c.Mark(p, overlay.Disc, 0.75*t.Line.Width*wide, l)
		}
	}
}

// pieces is in how many steps a line thins out.
const pieces = 20

// line draws the path as a line, in pieces of one width each, older ones first.
func (t *Trail) line(c *overlay.Canvas, m overlay.Moment, from, to float64) {
	begin := from
	for i := 1; i <= pieces; i++ {
		// The last piece is the part that still has its full width.
		end := to
		if i < pieces {
			end = math.Min(to, m.T-t.Keep+(t.Keep-t.Full)*float64(i)/(pieces-1))
		}
		if end <= begin {
			continue
		}
		k := overlay.Share(t.fade(m.T - end))
		l := t.Line
		l.Width, l.Casing = l.Width*k, l.Casing*k
		for _, run := range t.runs(begin, end) {
			points := make([]overlay.Point, len(run))
			for j, s := range run {
				points[j] = m.View.At(s.X, s.Y)
			}
			c.Stroke(l, points...)
		}
		begin = end
	}
}

// clearPieces is in how many boxes labels are kept off the path.
const clearPieces = 24

// KeepClear keeps labels off the path that is shown.
func (t *Trail) KeepClear(c *overlay.Canvas, m overlay.Moment) []overlay.Box {
	var boxes []overlay.Box
	from := m.T - t.Keep
	if len(t.samples) > 0 {
		from = math.Max(from, t.samples[0].T)
	}
	step := (m.T - from) / clearPieces
	var last []overlay.Point
	for k := range clearPieces + 1 {
		x, y, ok := t.at(from + float64(k)*step)
		if !ok {
			last = nil
			continue
		}
		p := m.View.At(x, y)
		boxes = append(boxes, overlay.Span(append(last, p)...).Grow(c.Px(t.Line.Width+t.Line.Casing)))
		last = []overlay.Point{p}
	}
	return boxes
}

// runs cuts the path between two times at its gaps, with its ends interpolated.
func (t *Trail) runs(from, to float64) [][]track.Sample {
	var runs [][]track.Sample
	var run []track.Sample
	add := func(s track.Sample) {
		if n := len(run); n > 0 && s.T-run[n-1].T > longestGap {
			runs = append(runs, run)
			run = nil
		}
		run = append(run, s)
	}
	if x, y, ok := t.at(from); ok {
		add(track.Sample{T: from, X: x, Y: y, Seen: true})
	}
	for i := t.after(from); i < len(t.samples) && t.samples[i].T < to; i++ {
		add(t.samples[i])
	}
	if x, y, ok := t.at(to); ok {
		add(track.Sample{T: to, X: x, Y: y, Seen: true})
	}
	return append(runs, run)
}

// after is the index of the first sample later than a time.
func (t *Trail) after(at float64) int {
	return sort.Search(len(t.samples), func(i int) bool { return t.samples[i].T > at })
}

// at interpolates the path; ok is false where the head was not seen.
func (t *Trail) at(at float64) (x, y float64, ok bool) {
	i := t.after(at)
	if i == 0 {
		return 0, 0, false
	}
	p := t.samples[i-1]
	if p.T == at {
		return p.X, p.Y, true
	}
	if i == len(t.samples) || t.samples[i].T-p.T > longestGap {
		return 0, 0, false
	}
	q := t.samples[i]
	k := (at - p.T) / (q.T - p.T)
	return p.X + k*(q.X-p.X), p.Y + k*(q.Y-p.Y), true
}
