package reel

import (
	"slices"

	"strokereel/overlay"
	"strokereel/overlay/scene"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// strokeElements are the path of the putter head and the lengths on the ground; of
// clips side by side the lengths leave room for the line of the other.
func strokeElements(src Source, s lesson.Stroke, f lesson.Findings, panes int) ([]overlay.Element, error) {
	sign := roleOf(src.Role).Sign()
	putter := lesson.Of(f.Observed, track.Putter).Track
	trail, err := scene.NewTrail(during(putter.Samples, s), s.Event(track.Impact))
	if err != nil {
		return nil, err
	}
	trail.Line.Colour = sign.Colour
	out := []overlay.Element{trail}
	if x, y, ok := address(putter, s.Event(track.Start).T); ok {
		out = append(out, scene.NewGhost(x, y))
	}
	g := src.Ground.scene()
	for _, l := range []struct {
		id, from, to string
		make         func(scene.Ground, track.Measure, track.Event, track.Event) (*scene.Length, error)
	}{
		{"backstroke_length", track.Start, track.Top, scene.NewBackstroke},
		{"follow_through_length", track.Impact, track.Stop, scene.NewFollowThrough},
	} {
		m := s.Measure(l.id)
		if m.Status != track.Measured && m.Status != track.AtLeast || !s.Event(l.to).Known() {
			continue
		}
		line, err := l.make(g, m, s.Event(l.from), s.Event(l.to))
		if err != nil {
			return nil, err
		}
		line.Line, line.Form = line.Line.Signed(sign), scene.Large
		if panes > 1 {
			line.Form, line.Under = scene.Stacked, scene.CompareStep
		}
		out = append(out, line)
	}
	return append(out, bodyMarks(s, f)...), nil
}

// bodyMarks are the Y of arms and shaft and what is said on the body, when any
// of it was followed.
func bodyMarks(s lesson.Stroke, f lesson.Findings) []overlay.Element {
	start := s.Event(track.Start)
	var address []overlay.Object
	for _, o := range f.Observed {
		if o.Track.Object == track.Putter || o.Track.Object == track.Ball {
			continue
		}
		// The last sighting before the start.
		for i := len(o.Track.Samples) - 1; i >= 0; i-- {
			if q := o.Track.Samples[i]; q.Seen && q.T < start.T && q.T > start.T-settled {
				address = append(address, overlay.Object{Name: o.Track.Object, X: q.X, Y: q.Y, U: q.U})
				break
			}
		}
	}
	if len(address) == 0 || !start.Known() {
		return nil
	}
	var events []track.Event
	for _, name := range track.EventNames {
		events = append(events, s.Event(name))
	}
	return scene.BodyMarks(address, events, s.Measure)
}

// during keeps what was seen from shortly before the start on: the path of the
// stroke and not of the waggles before it.
func during(samples []track.Sample, s lesson.Stroke) []track.Sample {
	from := s.Event(track.Start).T - settled
	for i, q := range samples {
		if q.T >= from {
			return samples[i:]
		}
	}
	return nil
}

// timers are captions of the moments, the hold and the tempo, as far as they
// were measured.
func timers(s lesson.Stroke) []overlay.Element {
	var events []track.Event
	for _, name := range track.EventNames {
		events = append(events, s.Event(name))
	}
	captions := scene.NewCaptions(events)
	captions.Slot = overlay.TopLeft // the head may be in the middle
	var out []overlay.Element
	if h, err := scene.NewHold(s.Event(track.Stop), s.Measure("hold_time")); err == nil {
		out = append(out, h)
	}
	if t, err := scene.NewTempo(s.Event(track.Impact), s.Measure("tempo"), s.Measure("backstroke_time"), s.Measure("downstroke_time")); err == nil {
		t.Slot = overlay.TopRight
		t.Show = max(0, s.Event(track.Stop).T-s.Event(track.Impact).T)
		out = append(out, t)
	}
	return append(out, captions) // last: where the head is in its way it goes below those
}

// compared lays the lengths of both clips on the ground of one, its own first.
// Without both it is nil.
func compared(src Source, panes []Pane, sources []Source, found []lesson.Findings) (overlay.Element, error) {
	var rows []scene.Compared
	for _, p := range panes {
		s := sources[p.Source]
		if s.Stroke < 0 {
			return nil, nil
		}
		stroke := found[p.Source].Report.Strokes[s.Stroke]
		row := scene.Compared{Role: roleOf(s.Role), Back: stroke.Measure("backstroke_length"), Through: stroke.Measure("follow_through_length")}
		if s.Role == src.Role {
			rows = slices.Insert(rows, 0, row)
		} else {
			rows = append(rows, row)
		}
	}
	c, err := scene.NewCompare(src.Ground.scene(), rows...)
	if err != nil {
		return nil, err
	}
	return c, nil
}

func (g *Ground) scene() scene.Ground { return scene.Ground{X: g.X, Y: g.Y, DX: g.DX, DY: g.DY} }
