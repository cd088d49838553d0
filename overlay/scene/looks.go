package scene

import (
	"math"
	"strconv"

	"strokereel/overlay"
	"strokereel/track"
)

// Looks shows what finders looked at in one frame, for people who check the
// finding: a dashed box where something was looked for, a ring round what was
// taken, a crossed ring with a number round what was not. What the numbers mean is
// told beside the picture.
type Looks struct {
	Sticker, Ball, Refused overlay.Line
	Box                    overlay.Line

	glances []track.Glance
}

// NewLooks shows the glances of one frame. Those not taken are numbered from 1.
func NewLooks(glances []track.Glance) *Looks {
	line := overlay.DefaultLine()
	line.Width, line.Casing = 0.0032, 0.0018
	l := &Looks{Sticker: line, Ball: line, Refused: line, Box: line, glances: glances}
	l.Sticker.Colour, l.Ball.Colour, l.Refused.Colour = overlay.Yellow, overlay.Sky, overlay.Vermilion
	l.Box.Colour, l.Box.Width, l.Box.Dash = overlay.Chalk, 0.0022, []overlay.Share{0.008, 0.006}
	return l
}

// leastRing keeps rings round small things apart from their middle, as a share.
const leastRing overlay.Share = 0.008

// Draw draws boxes and rings.
func (l *Looks) Draw(c *overlay.Canvas, m overlay.Moment) {
	for _, g := range l.glances {
		if g.W > 0 {
			p, q := m.View.At(g.X-g.W, g.Y-g.H), m.View.At(g.X+g.W, g.Y+g.H)
			c.Rectangle(overlay.Span(p, q), l.Box)
		}
		ring, at := l.ring(c, m, g)
		switch {
		case g.Taken() && g.Finder == track.Ball:
			c.Circle(at, ring, l.Ball)
		case g.Taken():
			c.Circle(at, ring, l.Sticker)
		default:
			if g.Found {
				c.Circle(at, ring, l.Refused)
			}
			d := ring * math.Sqrt2 / 2
			c.Stroke(l.Refused, at.Add(-d, -d), at.Add(d, d))
			c.Stroke(l.Refused, at.Add(-d, d), at.Add(d, -d))
		}
	}
}

// ring is where a glance ended and how large its ring is, px.
func (l *Looks) ring(c *overlay.Canvas, m overlay.Moment, g track.Glance) (r float64, at overlay.Point) {
	at = m.View.At(g.X, g.Y)
	if g.Found {
		at = m.View.At(g.FX, g.FY)
	}
	return math.Max(g.Radius*m.View.Scale, c.Px(leastRing)), at
}

// Labels number what was not taken.
func (l *Looks) Labels(c *overlay.Canvas, m overlay.Moment) []overlay.Label {
	var out []overlay.Label
	n := 0
	for _, g := range l.glances {
		if g.Taken() {
			continue
		}
		n++
		_, at := l.ring(c, m, g)
		if !overlay.Around(at, 0).Within(c.Frame()) {
			continue
		}
		key := strconv.Itoa(n)
		run := overlay.Run{Text: key, Size: 0.024, Weight: overlay.Medium, Colour: overlay.Chalk}
		out = append(out, overlay.Label{Key: "look " + key, Rows: []overlay.Row{{run}}, At: at, Side: overlay.Above})
	}
	return out
}
