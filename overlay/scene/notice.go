package scene

import "strokereel/overlay"

// Notice is a plain sentence at the foot of the picture, such as why there are
// no numbers.
type Notice struct {
	Slot overlay.Slot
	Wide overlay.Share // of the frame's width, after which the text is broken

	text string
}

// NewNotice shows a text; an empty one shows nothing.
func NewNotice(text string) *Notice {
	return &Notice{Slot: overlay.BottomLeft, Wide: 0.8, text: text}
}

// Draw draws nothing but the label.
func (n *Notice) Draw(*overlay.Canvas, overlay.Moment) {}

// Labels returns the notice.
func (n *Notice) Labels(c *overlay.Canvas, _ overlay.Moment) []overlay.Label {
	if n.text == "" {
		return nil
	}
	run := overlay.Run{Text: n.text, Size: overlay.Small, Weight: overlay.Medium, Colour: overlay.Chalk}
	return []overlay.Label{{Key: "notice", Rows: balanced(c, run, float64(n.Wide)*c.Frame().W()), Slot: n.Slot, Stay: true}}
}

// balanced breaks a text to a width into rows about equally long.
func balanced(c *overlay.Canvas, run overlay.Run, width float64) []overlay.Row {
	rows := c.Wrap(run, width)
	for narrower := width; ; {
		narrower *= 0.96
		tried := c.Wrap(run, narrower)
		if len(tried) > len(rows) || c.Width(overlay.Row{run}) < narrower {
			return rows
		}
		rows = tried
	}
}
