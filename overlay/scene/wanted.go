package scene

import (
	"errors"
	"fmt"
	"image/color"

	"strokereel/overlay"
	"strokereel/track"
)

// WantedRow is what one putt asks of the stroke, or where tees are to stand; a
// length that is not known leaves its side empty.
type WantedRow struct {
	Name          string // such as "3 m"
	Back, Through track.Measure
}

// Wanted lays wanted lengths on the ground below the address: a line for each
// putt, with a bar over what is not known of its ends, and its numbers in a column
// at either edge of the picture. The first row stands out by upright lines at its
// ends, which the putter head is to reach.
type Wanted struct {
	Line  overlay.Line
	Drop  overlay.Share // from the ground point to the first line
	Step  overlay.Share // from line to line
	Reach overlay.Share // how high the upright lines are

	ground Ground
	rows   []WantedRow
}

// NewWanted draws the rows in order.
func NewWanted(g Ground, rows ...WantedRow) (*Wanted, error) {
	if err := g.Validate(); err != nil {
		return nil, err
	}
	w := &Wanted{Line: overlay.DefaultLine(), Drop: 0.05, Step: 0.074, Reach: 0.15, ground: g, rows: append([]WantedRow(nil), rows...)}
	for _, r := range rows {
		for _, m := range []track.Measure{r.Back, r.Through} {
			lo, hi := ends(m)
			if wanted(m) && !(lo >= 0 && lo <= m.Value && m.Value <= hi && finite(hi)) {
				return nil, fmt.Errorf("drawing the wanted length %q: needs a length within its interval (got %g m, %g to %g m)", m.ID, m.Value, lo, hi)
			}
		}
	}
	if back, through := w.Longest(); back+through == 0 {
		return nil, errors.New("drawing wanted lengths: there is none")
	}
	return w, nil
}

// wanted reports whether a measure is a length to be drawn.
func wanted(m track.Measure) bool { return known(m) || m.Status == track.Predicted }

// ends are the ends of a measure's 95 % interval.
func ends(m track.Measure) (lo, hi float64) {
	if m.Lo95 != 0 || m.Hi95 != 0 {
		return m.Lo95, m.Hi95
	}
	return max(m.Value-m.U95, 0), m.Value + m.U95
}

// side is one end of a row.
type side struct {
	dir     float64 // -1 away from the target, 1 toward it
	measure track.Measure
}

// each calls f with every end that is known.
func (w *Wanted) each(f func(row int, s side)) {
	for i, r := range w.rows {
		for _, s := range []side{{-1, r.Back}, {1, r.Through}} {
			if wanted(s.measure) {
				f(i, s)
			}
		}
	}
}

// Height is how much room below the ground point the rows take.
func (w *Wanted) Height() overlay.Share {
	return w.Drop + w.Step*overlay.Share(len(w.rows)-1) + w.Step/2
}

// Longest is how far back and through the lines go, m.
func (w *Wanted) Longest() (back, through float64) {
	w.each(func(_ int, s side) {
		if _, hi := ends(s.measure); s.dir < 0 {
			back = max(back, hi)
		} else {
			through = max(through, hi)
		}
	})
	return back, through
}

// at returns a place on a row's line.
func (w *Wanted) at(c *overlay.Canvas, m overlay.Moment, row int, x float64) overlay.Point {
	dx, dy := w.ground.across(m)
	d := c.Px(w.Drop) + float64(row)*c.Px(w.Step)
	return w.ground.at(m, x).Add(dx*d, dy*d)
}

// Draw draws the address line, the lengths with their intervals, the names of the
// rows over the address line, and the columns of numbers.
func (w *Wanted) Draw(c *overlay.Canvas, m overlay.Moment) {
	dx, dy := w.ground.across(m)
	up := c.Px(w.Reach)
	c.Stroke(w.thin(), w.at(c, m, 0, 0).Add(-dx*up/3, -dy*up/3), w.at(c, m, len(w.rows)-1, 0))
	w.each(func(row int, s side) {
		end := w.at(c, m, row, s.dir*s.measure.Value)
		if row == 0 {
			upright := w.Line
			upright.Width, upright.Dash = w.Line.Width*0.75, []overlay.Share{0.014, 0.012}
			c.Stroke(upright, end, end.Add(-dx*up, -dy*up))
		}
		w.number(c, m, row, s)
		c.Stroke(w.Line, w.at(c, m, row, 0), end)
		w.interval(c, m, row, s)
	})
	for i, r := range w.rows {
		if r.Name != "" {
			name := w.text(r.Name, w.Line.Colour)
			w.write(c, w.at(c, m, i, 0).Add(-c.Width(name)/2, 0), name)
		}
	}
	for _, h := range []struct {
		dir  float64
		word string
	}{{-1, wordBack}, {1, wordThrough}} {
		word := overlay.Quiet(h.word)
		at := w.at(c, m, 0, 0).Add(-dx*c.Px(w.Step), -dy*c.Px(w.Step))
		at.X = w.column(c, m, h.dir, word)
		w.write(c, at, word)
	}
}

// thin is the look of lines that only order the picture.
func (w *Wanted) thin() overlay.Line {
	l := w.Line
	l.Width, l.Colour, l.Casing, l.Dash = 0.0025, overlay.Mist, 0.0015, nil
	return l
}

// interval draws a bar over what is not known of an end, and the end itself.
func (w *Wanted) interval(c *overlay.Canvas, m overlay.Moment, row int, s side) {
	lo, hi := ends(s.measure)
	bar := w.Line
	bar.Width = w.Line.Width * 2.4
	c.Stroke(bar, w.at(c, m, row, s.dir*lo), w.at(c, m, row, s.dir*hi))
	dx, dy := w.ground.across(m)
	d := c.Px(0.020)
	end := w.at(c, m, row, s.dir*s.measure.Value)
	c.Stroke(w.Line, end.Add(-dx*d, -dy*d), end.Add(dx*d, dy*d))
}

// number writes the number of an end into its column and ties it to the end.
func (w *Wanted) number(c *overlay.Canvas, m overlay.Moment, row int, s side) {
	number := w.text(Bare(s.measure), overlay.Chalk)
	at, end := w.at(c, m, row, 0), w.at(c, m, row, s.dir*s.measure.Value)
	at.X = w.column(c, m, s.dir, number)
	plate := overlay.Span(at, at.Add(c.Width(number), 0)).Grow(c.Px(pad))
	if from := plate.Nearest(end); from.Distance(end) > c.Px(pad) {
		c.Stroke(w.thin(), from, end)
	}
	w.write(c, at, number)
}

// column is where a row of text begins at the edge of the picture to which a
// direction points.
func (w *Wanted) column(c *overlay.Canvas, m overlay.Moment, dir float64, text overlay.Row) float64 {
	edge := c.Safe()
	if w.ground.at(m, dir).X < w.ground.at(m, 0).X {
		return edge.X0 + c.Px(pad)
	}
	return edge.X1 - c.Px(pad) - c.Width(text)
}

// Column is how wide the columns at the edges of a canvas are, px; the plates
// behind them reach a little further.
func (w *Wanted) Column(c *overlay.Canvas) (wide float64) {
	w.each(func(_ int, s side) {
		wide = max(wide, c.Width(w.text(Bare(s.measure), overlay.Chalk)))
	})
	return wide + c.Px(pad+overlay.Margin)
}

// pad is how far a plate reaches beyond its text on either side.
const pad overlay.Share = 0.012

func (w *Wanted) text(text string, colour color.RGBA) overlay.Row {
	return overlay.Row{{Text: text, Size: overlay.Body, Weight: overlay.Bold, Colour: colour}}
}

// write writes a row on a plate, from p on and as much above as below it.
func (w *Wanted) write(c *overlay.Canvas, p overlay.Point, row overlay.Row) {
	high := c.Height(row) / 2
	c.Plate(overlay.Box{X0: p.X - c.Px(pad), Y0: p.Y - high, X1: p.X + c.Width(row) + c.Px(pad), Y1: p.Y + high})
	c.Write(p.Add(0, -high), row)
}

// KeepClear keeps labels off the rows.
func (w *Wanted) KeepClear(c *overlay.Canvas, m overlay.Moment) []overlay.Box {
	first, last := w.at(c, m, 0, 0), w.at(c, m, len(w.rows)-1, 0)
	d := c.Px(w.Step)
	return []overlay.Box{{X0: c.Frame().X0, Y0: min(first.Y, last.Y) - 1.5*d, X1: c.Frame().X1, Y1: max(first.Y, last.Y) + d/2}}
}
