package scene

import (
	"strings"

	"strokereel/overlay"
	"strokereel/track"
)

// panel is the plate of a still: the event, its time and the values that belong
// to it, then what has no value and why. It stands in the upper corner with more
// room beside the player.
type panel struct {
	role overlay.Role
	x    float64 // clip px, where the player stands
	rows []overlay.Row
	gaps []string
}

// panel gathers what the plate says. Lengths that are drawn on the ground have
// their number there. Measures that are missing for the same reason share it.
func (s StillData) panel() *panel {
	p := &panel{role: s.Role, rows: []overlay.Row{
		{{Text: EventName(s.Event.Name), Size: overlay.Large, Weight: overlay.Bold, Colour: overlay.Chalk}},
		overlay.Quiet(wordAt + " " + showTime(s.Event).String()),
	}}
	p.x, _, _ = s.address()
	names := map[string][]string{}
	var reasons []string
	for _, id := range stillMeasures[s.Event.Name] {
		m, ok := s.Measures[id]
		if !ok || s.reached(id) {
			continue
		}
		m.ID = id
		v := Show(m)
		if m.Status != track.NotMeasured || v.Reason == "" {
			p.rows = append(p.rows, spreadRow(MeasureName(id), v))
			continue
		}
		if names[v.Reason] == nil {
			reasons = append(reasons, v.Reason)
		}
		names[v.Reason] = append(names[v.Reason], MeasureName(id))
	}
	for _, r := range reasons {
		list := names[r]
		for i := range list[1:] {
			list[i+1] = strings.ToLower(list[i+1][:1]) + list[i+1][1:]
		}
		p.gaps = append(p.gaps, strings.Join(list, ", ")+" "+wordDash+" "+r)
	}
	return p
}

func (p *panel) Draw(*overlay.Canvas, overlay.Moment) {}

const panelKey = "panel"

// panelWide is how wide the text about missing values may be.
const panelWide overlay.Share = 0.62

func (p *panel) Labels(c *overlay.Canvas, m overlay.Moment) []overlay.Label {
	rows := append([]overlay.Row(nil), p.rows...)
	for _, g := range p.gaps {
		run := note(g)
		run.Size = smallest
		rows = append(rows, c.Wrap(run, c.Px(panelWide))...)
	}
	label := overlay.Label{Key: panelKey, Rows: rows, Slot: overlay.TopLeft}
	if m.View.At(p.x, 0).X < c.Frame().Centre().X {
		label.Slot = overlay.TopRight
	}
	if sign := p.role.Sign(); p.role != overlay.Plain {
		label.Sign = &sign
	}
	return []overlay.Label{label}
}
