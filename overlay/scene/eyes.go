package scene

import (
	"fmt"

	"strokereel/overlay"
	"strokereel/track"
)

// Eyes is the mark at the head: down until the look-up, then when it was.
type Eyes struct {
	Line  overlay.Line
	Size  overlay.Share
	Show  float64 // s of the clip's clock that the look-up is shown for
	Brief bool    // only the mark
	// The words stand beside the head; with Away beside all its room, so that they
	// do not move with it; with Head in the lower right corner of the canvas's part
	// for text, which is so high.
	Away *Stance
	Head float64

	look  track.Event
	after track.Measure // look_up_after_impact
}

// NewEyes needs the moment of the look-up; one that is only known to be later
// than the clip is "down" throughout.
func NewEyes(look track.Event, after track.Measure) (*Eyes, error) {
	if !look.Known() {
		return nil, fmt.Errorf("drawing the eyes: the look-up is not known: %s", look.Reason)
	}
	return &Eyes{Line: overlay.DefaultLine(), Size: 0.013, Show: 1.5, look: look, after: after}, nil
}

// head is the place that stands for the head.
func head(m overlay.Moment) (overlay.Object, bool) {
	if o, ok := m.Find(track.Cap); ok {
		return o, true
	}
	return m.Find(track.HeadCrown)
}

func (e *Eyes) down(t float64) bool { return e.look.Status == track.AtLeast || t < e.look.T }

// Draw draws a mark at the head, pointing down or open.
func (e *Eyes) Draw(c *overlay.Canvas, m overlay.Moment) {
	o, ok := head(m)
	if !ok || !e.down(m.T) && m.T > e.look.T+e.Show {
		return
	}
	shape := overlay.Ring
	if e.down(m.T) {
		shape = overlay.Disc
	}
	c.Mark(m.At(o), shape, e.Size, e.Line)
}

// Labels says what the mark means, beside the head. What does not move with the
// head stays when a picture does not show it.
func (e *Eyes) Labels(c *overlay.Canvas, m overlay.Moment) []overlay.Label {
	o, ok := head(m)
	if !ok && e.Away == nil && e.Head == 0 || e.Brief || m.T > e.look.T+e.Show {
		return nil
	}
	if area, known := m.Find(HeadArea); known {
		o = area
	}
	label := overlay.Label{Key: "eyes", Side: overlay.Right, Stay: true, Rows: []overlay.Row{overlay.Quiet(wordDown)}}
	if !e.down(m.T) {
		label.Rows = stacked(EventName(track.LookUp), signed(e.after))
	}
	switch label.At = m.At(o).Add(o.Radius*m.View.Scale, 0); {
	case e.Head > 0:
		label.At, label.Side = overlay.Point{X: c.Safe().X1, Y: e.Head + c.Px(eyesGap)}, overlay.Above
		if !e.down(m.T) {
			label.Rows = []overlay.Row{append(overlay.Quiet(EventName(track.LookUp)+" "), shortRow(signed(e.after))...)}
		}
	case e.Away != nil:
		label.At = e.Away.besideHead(m)
	}
	return []overlay.Label{label}
}

// eyesGap is how far below the part for text the point lies above which the words
// stand, so that they keep a little from its edge.
const eyesGap overlay.Share = 0.016
