package scene

import (
	"fmt"
	"math"

	"strokereel/overlay"
	"strokereel/track"
)

// Hold is the timer of the hold: it counts from the stop in tenths of a second
// and never further than was measured. When the hold is over it says how long
// it was; when the clip ended first it says "at least".
type Hold struct {
	Slot overlay.Slot

	stop float64 // s
	hold track.Measure
	end  float64 // s after the stop at which counting ends
}

// NewHold needs the moment of the stop and the measured hold.
func NewHold(stop track.Event, hold track.Measure) (*Hold, error) {
	if !stop.Known() {
		return nil, fmt.Errorf("drawing the hold timer: the finish is not known: %s", stop.Reason)
	}
	if !known(hold) || !(hold.Value >= 0) || !(hold.U95 >= 0) {
		return nil, fmt.Errorf("drawing the hold timer: the hold was not measured: %s", hold.Reason)
	}
	h := &Hold{Slot: overlay.TopRight, stop: stop.T, hold: hold, end: hold.Value}
	if hold.Status == track.AtLeast {
		h.end = math.Max(0, hold.Value-hold.U95)
	}
	return h, nil
}

// Draw draws nothing but the label.
func (h *Hold) Draw(*overlay.Canvas, overlay.Moment) {}

// Labels returns the timer's reading.
func (h *Hold) Labels(_ *overlay.Canvas, m overlay.Moment) []overlay.Label {
	run := m.T - h.stop
	if run < 0 {
		return nil
	}
	name, v := wordHold, Value{Text: number(floorTo(run, 1), 1) + " s"}
	if run >= h.end {
		name, v = wordHeld, Show(h.hold)
	}
	row := overlay.Row{
		{Text: name + "  ", Size: overlay.Body, Weight: overlay.Regular, Colour: overlay.Mist},
		{Text: v.Text, Size: overlay.Large, Weight: overlay.Bold, Colour: overlay.Chalk},
	}
	return []overlay.Label{{Key: "hold", Slot: h.Slot, Rows: []overlay.Row{append(row, tail(v)...)}}}
}
