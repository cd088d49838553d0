package scene

import (
	"fmt"
	"strings"

	"strokereel/overlay"
	"strokereel/track"
)

// Reading shows where things were found in a frame, for people who check the
// finding: a cross at each place, a ring as large as the thing, and its name with
// the uncertainty of the place.
type Reading struct {
	Line  overlay.Line
	Size  overlay.Share // half-width of the crosses
	Names []string      // of the objects shown; none shows all
}

// NewReading shows the objects of these names.
func NewReading(names ...string) *Reading {
	l := overlay.DefaultLine()
	l.Width, l.Casing, l.Colour = 0.005, 0.003, overlay.Yellow
	return &Reading{Line: l, Size: 0.03, Names: names}
}

func (r *Reading) shown(m overlay.Moment) []overlay.Object {
	var out []overlay.Object
	for _, o := range m.Objects {
		wanted := len(r.Names) == 0
		for _, n := range r.Names {
			wanted = wanted || n == o.Name
		}
		if wanted {
			out = append(out, o)
		}
	}
	return out
}

// Draw draws crosses and rings.
func (r *Reading) Draw(c *overlay.Canvas, m overlay.Moment) {
	for _, o := range r.shown(m) {
		if o.Radius > 0 {
			c.Circle(m.At(o), o.Radius*m.View.Scale, r.Line)
		}
		c.Cross(m.At(o), r.Size, r.Line)
	}
}

// Labels names what was found.
func (r *Reading) Labels(c *overlay.Canvas, m overlay.Moment) []overlay.Label {
	var out []overlay.Label
	for _, o := range r.shown(m) {
		text := fmt.Sprintf("%s ± %s px", strings.ReplaceAll(o.Name, "_", " "), number(track.Coverage*o.U, 2))
		out = append(out, overlay.Label{Key: "reading " + o.Name, Rows: []overlay.Row{overlay.Quiet(text)}, At: m.At(o), Side: overlay.Above})
	}
	return out
}
