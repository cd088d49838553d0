package scene

import (
	"fmt"

	"strokereel/overlay"
	"strokereel/track"
)

// Tempo says the times of backstroke and downstroke and their ratio once the
// ball has been struck.
type Tempo struct {
	Slot overlay.Slot
	Show float64 // s of the clip's clock it stays

	impact float64 // s
	rows   []overlay.Row
}

// NewTempo needs the moment of impact; of the measures it shows those that have
// a value, and the tempo must have one.
func NewTempo(impact track.Event, tempo, back, down track.Measure) (*Tempo, error) {
	if !impact.Known() || !known(tempo) {
		return nil, fmt.Errorf("drawing the tempo: it was not measured: %s%s", tempo.Reason, impact.Reason)
	}
	t := &Tempo{Slot: overlay.TopLeft, Show: 1.5, impact: impact.T}
	t.rows = []overlay.Row{valueRow(wordTempo, Show(tempo))}
	// Short names keep the plate narrow, beside the tag on a phone held upright.
	for _, r := range []struct {
		name string
		m    track.Measure
	}{{wordBackTime, back}, {wordDownTime, down}} {
		if known(r.m) {
			t.rows = append(t.rows, spreadRow(r.name, Show(r.m)))
		}
	}
	return t, nil
}

// Draw draws nothing but the label.
func (t *Tempo) Draw(*overlay.Canvas, overlay.Moment) {}

// Labels returns the plate while it is shown.
func (t *Tempo) Labels(_ *overlay.Canvas, m overlay.Moment) []overlay.Label {
	if m.T < t.impact || m.T >= t.impact+t.Show {
		return nil
	}
	return []overlay.Label{{Key: "tempo", Slot: t.Slot, Rows: t.rows}}
}
