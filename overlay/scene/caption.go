package scene

import (
	"sort"

	"strokereel/overlay"
	"strokereel/track"
)

// Captions names the moments of the stroke as they come: the address until the
// start, then each event for a while or until the next.
type Captions struct {
	Slot overlay.Slot
	Show float64 // s of the clip's clock a caption stays
	// Lead is how much earlier than its event a caption comes, s: half a frame,
	// so that the frame nearest to the event has it.
	Lead float64

	start  float64
	events []track.Event
}

// NewCaptions keeps the events whose time is known.
func NewCaptions(events []track.Event) *Captions {
	c := &Captions{Slot: overlay.TopMiddle, Show: 0.7, Lead: 1.0 / 120}
	for _, e := range events {
		switch {
		case e.Status != track.Measured:
		case e.Name == track.Start:
			c.start = e.T
		default:
			c.events = append(c.events, e)
		}
	}
	sort.SliceStable(c.events, func(i, j int) bool { return c.events[i].T < c.events[j].T })
	return c
}

// text is the caption of a moment, empty when there is none.
func (c *Captions) text(t float64) string {
	if t < c.start {
		return EventName(track.Start)
	}
	for i := len(c.events) - 1; i >= 0; i-- {
		if begin := c.events[i].T - c.Lead; t >= begin {
			if t < begin+c.Show {
				return EventName(c.events[i].Name)
			}
			return ""
		}
	}
	return ""
}

// Draw draws nothing but the label.
func (c *Captions) Draw(*overlay.Canvas, overlay.Moment) {}

// Labels returns the caption of the moment.
func (c *Captions) Labels(_ *overlay.Canvas, m overlay.Moment) []overlay.Label {
	text := c.text(m.T)
	if text == "" {
		return nil
	}
	return []overlay.Label{{Key: "caption", Slot: c.Slot,
		Rows: []overlay.Row{{{Text: text, Size: overlay.Large, Weight: overlay.Bold, Colour: overlay.Chalk}}}}}
}
