package overlay

import (
	"image/color"
	"strings"
)

// Sizes of type, as shares of the shorter side: the smallest is still read when
// a frame is shown 360 px wide.
const (
	Small Share = 0.038
	Body  Share = 0.046
	Large Share = 0.062
	Title Share = 0.088
)

// Run is a piece of text in one look.
type Run struct {
	Text   string
	Size   Share
	Weight Weight
	Colour color.RGBA
}

// Row is pieces of text on one baseline.
type Row []Run

// Tab in a row of a label sends what follows to the right edge of its plate.
var Tab = Run{Text: "\t"}

// split parts a row at its tab.
func (r Row) split() (left, right Row) {
	for i, run := range r {
		if run == Tab {
			return r[:i], r[i+1:]
		}
	}
	return r, nil
}

// Say returns a row of plain body text.
func Say(text string) Row { return Row{{text, Body, Medium, Chalk}} }

// Quiet returns a row of text that stands back.
func Quiet(text string) Row { return Row{{text, Small, Regular, Mist}} }

// Width is how wide a row is, in px.
func (c *Canvas) Width(r Row) float64 {
	var w float64
	for _, run := range r {
		rw, err := c.face.width(run.Weight, c.Px(run.Size), run.Text)
		c.keep(err)
		w += rw
	}
	return w
}

// Height is the height of a row from one baseline to the next, in px.
func (c *Canvas) Height(r Row) float64 {
	var size Share
	for _, run := range r {
		size = max(size, run.Size)
	}
	return leading * c.Px(size)
}

const (
	leading = 1.28 // baseline to baseline, in sizes of type
	ascent  = 0.95 // top of the row to its baseline, in sizes of type
)

// Write sets a row with its top left corner at p. The caller sees to what is
// behind it: a plate or a page.
func (c *Canvas) Write(p Point, r Row) {
	x, base := p.X, p.Y+c.Height(r)*ascent/leading
	for _, run := range r {
		px := c.Px(run.Size)
		c.keep(c.face.draw(c.img, c.ink(run.Colour), run.Weight, px, run.Text, x, base))
		w, err := c.face.width(run.Weight, px, run.Text)
		c.keep(err)
		x += w
	}
}

// Wrap breaks a text at its spaces into rows no wider than width px; a word
// that is wider stands alone.
func (c *Canvas) Wrap(run Run, width float64) []Row {
	var rows []Row
	line := ""
	for _, word := range strings.Fields(run.Text) {
		longer := word
		if line != "" {
			longer = line + " " + word
		}
		if line != "" && c.Width(Row{{longer, run.Size, run.Weight, run.Colour}}) > width {
			rows = append(rows, Row{{line, run.Size, run.Weight, run.Colour}})
			longer = word
		}
		line = longer
	}
	if line != "" {
		rows = append(rows, Row{{line, run.Size, run.Weight, run.Colour}})
	}
	return rows
}

// keep remembers the first error.
func (c *Canvas) keep(err error) {
	if c.err == nil {
		c.err = err
	}
}
