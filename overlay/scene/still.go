package scene

import (
	"fmt"
	"image"
	"slices"

	"strokereel/overlay"
	"strokereel/track"
)

// StillData is what is known about one event of a stroke.
type StillData struct {
	Event  track.Event    // the one the still shows
	Moment overlay.Moment // of the picture; its time is the frame's
	Role   overlay.Role
	// Ground is nil when nothing gives the scale; lengths are then not drawn.
	Ground   *Ground
	Putter   []track.Sample // path of the marker, px of the clip's upright picture
	Events   []track.Event  // all of the stroke
	Measures map[string]track.Measure
	Address  []overlay.Object // the body at address, none when it was not seen
	Notice   string           // why numbers are missing, in plain words
}

// stillMeasures are what a still says beside its picture.
var stillMeasures = map[string][]string{
	track.Start:   {"still_time", "stance_width", "ball_position", "head_over_ball", "elbow_bend_lead", "elbow_bend_trail"},
	track.Top:     {"backstroke_length", "backstroke_time", "lead_wrist_top", "elbow_spread_top", "shoulder_rock_top"},
	track.Impact:  {"impact_speed", "ball_speed", "downstroke_time", "tempo", "shaft_lean_change", "lead_wrist_impact", "elbow_spread_impact"},
	track.Stop:    {"follow_through_length", "through_to_back", "follow_through_time", "lead_wrist_finish", "elbow_spread_finish", "y_kept"},
	track.HoldEnd: {"hold_time", "recoil"},
	track.LookUp:  {"look_up_after_impact", "look_up_after_stop", "head_shift", "head_rise"},
}

// Still draws the annotated picture of one event on img: its name, its time,
// the path so far, the lengths reached by then and the measures that belong to
// it.
func Still(img *image.RGBA, s StillData) error {
	if !s.Event.Known() {
		return fmt.Errorf("drawing the still of %q: its moment is not known: %s", s.Event.Name, s.Event.Reason)
	}
	if !s.Moment.View.Usable() {
		return fmt.Errorf("drawing the still of %q: the picture has no place on the canvas", s.Event.Name)
	}
	c, err := overlay.NewCanvas(img.Rect.Dx(), img.Rect.Dy())
	if err != nil {
		return err
	}
	if err := c.Begin(img); err != nil {
		return err
	}
	// The frame nearest to the event may be a little early; the still is of the
	// event.
	m := s.Moment
	m.T = max(m.T, s.Event.T)
	elements, err := s.elements()
	if err != nil {
		return err
	}
	if left := overlay.Draw(c, m, elements...); slices.Contains(left, panelKey) {
		return fmt.Errorf("drawing the still of %q: its text has no room beside the ball, the hands and the putter head", s.Event.Name)
	}
	return c.Err()
}

// elements are what a still is made of, the most important labels first.
func (s StillData) elements() ([]overlay.Element, error) {
	sign := s.Role.Sign()
	trail, err := NewTrail(s.Putter, s.event(track.Impact))
	if err != nil {
		return nil, err
	}
	trail.Keep, trail.Full = 60, 60 // a still shows the whole stroke so far
	trail.Line.Colour = sign.Colour
	elements := []overlay.Element{s.panel()}
	if s.Notice != "" {
		elements = append(elements, NewNotice(s.Notice))
	}
	elements = append(elements, trail)
	elements = append(elements, s.bodyMarks()...)
	if x, y, ok := s.address(); ok {
		elements = append(elements, NewGhost(x, y))
	}
	if s.Ground == nil {
		return elements, nil
	}
	lengths, err := s.lengths(sign)
	return append(elements, lengths...), err
}

// marks are the measures that are drawn on the body, by event.
var marks = map[string]struct{ wrist, elbows string }{
	track.Top:    {"lead_wrist_top", "elbow_spread_top"},
	track.Impact: {"lead_wrist_impact", "elbow_spread_impact"},
	track.Stop:   {"lead_wrist_finish", "elbow_spread_finish"},
}

// BodyMarks are the Y and what is said on the body at the events given: the arc
// at the lead wrist, the bar between the elbows, the eyes. What was not measured
// is left out.
func BodyMarks(address []overlay.Object, events []track.Event, measure func(id string) track.Measure) []overlay.Element {
	elements := []overlay.Element{NewWye(address)}
	for _, e := range events {
		if e.Name == track.LookUp {
			if eyes, err := NewEyes(e, measure("look_up_after_impact")); err == nil {
				elements = append(elements, eyes)
			}
		}
		ids := marks[e.Name]
		if w, err := NewWrist(e, measure(ids.wrist), address); err == nil {
			elements = append(elements, w)
		}
		if b, err := NewElbows(e, measure(ids.elbows)); err == nil {
			elements = append(elements, b)
		}
	}
	return elements
}

func (s StillData) bodyMarks() []overlay.Element {
	if len(s.Address) == 0 {
		return nil
	}
	events := []track.Event{s.Event}
	if s.Event.Name != track.LookUp {
		events = append(events, s.event(track.LookUp))
	}
	elements := BodyMarks(s.Address, events, func(id string) track.Measure {
		m := s.Measures[id]
		m.ID = id
		return m
	})
	for _, e := range elements { // the plate says what they are
		switch e := e.(type) {
		case *Wrist:
			e.Brief = true
		case *Elbows:
			e.Brief = true
		case *Eyes:
			e.Brief = true
		}
	}
	return elements
}

// settled is how long before the start, s, the marker is taken to be at address.
const settled = 0.3

// address is the mean position of the marker just before the start, clip px.
func (s StillData) address() (x, y float64, ok bool) {
	start := s.event(track.Start)
	n := 0.0
	for _, q := range s.Putter {
		if start.Known() && q.Seen && q.T <= start.T && q.T >= start.T-settled {
			x, y, n = x+q.X, y+q.Y, n+1
		}
	}
	return x / max(n, 1), y / max(n, 1), n > 0
}

// lengths are the lines on the ground that were reached by the event.
func (s StillData) lengths(sign overlay.Sign) ([]overlay.Element, error) {
	var elements []overlay.Element
	for _, d := range drawnLengths {
		if !s.reached(d.id) {
			continue
		}
		m := s.Measures[d.id]
		m.ID = d.id
		l, err := d.make(*s.Ground, m, s.event(d.from), s.event(d.to))
		if err != nil {
			return nil, err
		}
		l.Line = l.Line.Signed(sign)
		elements = append(elements, l)
	}
	return elements, nil
}

// drawnLengths are the measures that are drawn on the ground.
var drawnLengths = []struct {
	id, from, to string
	make         func(Ground, track.Measure, track.Event, track.Event) (*Length, error)
}{
	{"backstroke_length", track.Start, track.Top, NewBackstroke},
	{"follow_through_length", track.Impact, track.Stop, NewFollowThrough},
}

// reached reports whether a length is drawn on the ground: it is known and its
// end had come by the event.
func (s StillData) reached(id string) bool {
	for _, d := range drawnLengths {
		if end := s.event(d.to); d.id == id {
			return s.Ground != nil && known(s.Measures[id]) && end.Known() && end.T <= s.Event.T
		}
	}
	return false
}

func (s StillData) event(name string) track.Event {
	for _, e := range s.Events {
		if e.Name == name {
			return e
		}
	}
	return track.Event{Name: name, Status: track.NotMeasured}
}
