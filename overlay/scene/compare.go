package scene

import (
	"fmt"

	"strokereel/overlay"
	"strokereel/track"
)

// Compared is what one clip adds to a comparison; a length that is not known
// leaves its side empty.
type Compared struct {
	Role          overlay.Role
	Back, Through track.Measure
}

// Compare lays the lengths of several clips below one another on the ground,
// at the scale of the picture and from one address mark. The first row are those
// of the clip it lies on, where a Length would be; only they are said.
type Compare struct {
	Line overlay.Line
	Drop overlay.Share // from the ground point to the first line

	ground Ground
	rows   []Compared
}

// CompareStep is from line to line.
const CompareStep overlay.Share = 0.034

// NewCompare draws the rows in order.
func NewCompare(g Ground, rows ...Compared) (*Compare, error) {
	if err := g.Validate(); err != nil {
		return nil, err
	}
	for _, r := range rows {
		for _, m := range []track.Measure{r.Back, r.Through} {
			if known(m) && (!(m.Value >= 0) || !finite(m.Value)) {
				return nil, fmt.Errorf("comparing the length %q: needs a length (got %g m)", m.ID, m.Value)
			}
		}
	}
	return &Compare{Line: overlay.DefaultLine(), Drop: lineDrop, ground: g, rows: append([]Compared(nil), rows...)}, nil
}

// at returns a place on a row's line.
func (k *Compare) at(c *overlay.Canvas, m overlay.Moment, row int, x float64) overlay.Point {
	dx, dy := k.ground.across(m)
	d := c.Px(k.Drop) + float64(row)*c.Px(CompareStep)
	return k.ground.at(m, x).Add(dx*d, dy*d)
}

// ends calls f with the signed place (m) of every end that is known.
func (k *Compare) ends(f func(row int, r Compared, x float64, m track.Measure)) {
	for i, r := range k.rows {
		if known(r.Back) {
			f(i, r, -r.Back.Value, r.Back)
		}
		if known(r.Through) {
			f(i, r, r.Through.Value, r.Through)
		}
	}
}

// Draw draws the address line and the lengths of each clip.
func (k *Compare) Draw(c *overlay.Canvas, m overlay.Moment) {
	thin := k.Line
	thin.Width, thin.Colour = k.Line.Width/2, overlay.Mist
	if len(k.rows) > 0 {
		dx, dy := k.ground.across(m)
		d := c.Px(0.022)
		c.Stroke(thin, k.at(c, m, 0, 0).Add(-dx*d, -dy*d), k.at(c, m, len(k.rows)-1, 0).Add(dx*d, dy*d))
	}
	k.ends(func(row int, r Compared, x float64, _ track.Measure) {
		c.Stroke(k.Line.Signed(r.Role.Sign()), k.at(c, m, row, 0), k.at(c, m, row, x))
	})
	k.ends(func(row int, r Compared, x float64, _ track.Measure) {
		l := k.Line
		l.Colour = r.Role.Sign().Colour
		c.Mark(k.at(c, m, row, x), r.Role.Sign().Shape, 0.011, l)
	})
}

// Labels says the lengths of the first row, below all lines.
func (k *Compare) Labels(c *overlay.Canvas, m overlay.Moment) []overlay.Label {
	var labels []overlay.Label
	k.ends(func(row int, r Compared, x float64, measure track.Measure) {
		if row > 0 {
			return
		}
		zero, end := k.at(c, m, 0, 0), k.at(c, m, 0, x)
		out := overlay.Right
		if end.X < zero.X {
			out = overlay.Left
		}
		label := overlay.Label{Key: measure.ID, Rows: Stacked.rows(measure, true), Side: overlay.Below, Stay: true}
		label.At = underHalf(c, label, zero, end, out)
		label.At.Y += k.ground.dip(m) + float64(len(k.rows)-1)*c.Px(CompareStep)
		labels = append(labels, label)
	})
	return labels
}

// KeepClear keeps labels off the lines.
func (k *Compare) KeepClear(c *overlay.Canvas, m overlay.Moment) []overlay.Box {
	var boxes []overlay.Box
	k.ends(func(row int, _ Compared, x float64, _ track.Measure) {
		boxes = append(boxes, overlay.Span(k.at(c, m, row, 0), k.at(c, m, row, x)).Grow(c.Px(0.016)))
	})
	return boxes
}
