package scene

import (
	"fmt"

	"strokereel/overlay"
)

// MostRows is how many rows a closing page can hold and still be read.
const MostRows = 7

// Closing is the last page of a reel: what changed, with intervals.
type Closing struct {
	Title string
	Notes []string // such as that these were not the same putt

	rows []ChangeRow
}

// NewClosing refuses more rows than can be read.
func NewClosing(title string, rows []ChangeRow, notes ...string) (*Closing, error) {
	if len(rows) > MostRows {
		return nil, fmt.Errorf("drawing the closing page: it holds %d rows at most (got %d)", MostRows, len(rows))
	}
	return &Closing{Title: title, Notes: notes, rows: append([]ChangeRow(nil), rows...)}, nil
}

// Draw draws the page; the moment does not matter.
func (k *Closing) Draw(c *overlay.Canvas, _ overlay.Moment) {
	b := page(c)
	p := column(c, overlay.Point{X: b.X0, Y: b.Y0 - c.Px(0.02)}, b.W(), overlay.Row{title(k.Title)}).Add(0, c.Px(0.01))
	if c.Tall() {
		p = k.tall(c, b, p.Add(0, c.Px(0.02)))
	} else {
		p = k.wide(c, b, p)
	}
	k.notes(c, b, p.Add(0, c.Px(0.015)))
}

// notes writes the notes, in smaller type when they would not fit.
func (k *Closing) notes(c *overlay.Canvas, b overlay.Box, p overlay.Point) {
	for _, size := range []overlay.Share{overlay.Small, smallest} {
		var rows []overlay.Row
		high := 0.0
		for _, n := range k.Notes {
			run := note(n)
			run.Size = size
			rows = append(rows, c.Wrap(run, b.W())...)
		}
		for _, r := range rows {
			high += c.Height(r)
		}
		if p.Y+high <= b.Y1 || size == smallest {
			column(c, p, b.W(), rows...)
			return
		}
	}
}

// columns of the wide page, where they begin and where the last ends, as shares
// of its width: name, before, after, change, word.
var columns = [...]float64{0, 0.225, 0.395, 0.565, 0.75, 1.015}

const columnSpace = 0.015

// wide lays the rows out as a table.
func (k *Closing) wide(c *overlay.Canvas, b overlay.Box, p overlay.Point) overlay.Point {
	at := func(i int, dy overlay.Share) overlay.Point {
		return overlay.Point{X: b.X0 + columns[i]*b.W(), Y: p.Y + c.Px(dy)}
	}
	width := func(from, to int) float64 { return (columns[to] - columns[from] - columnSpace) * b.W() }
	if len(k.rows) == 0 {
		return p
	}
	for i, role := range []overlay.Role{overlay.Before, overlay.After} {
		c.DrawSign(at(i+1, 0).Add(0, c.Height(overlay.Quiet(""))/2), role.Sign())
		c.Write(at(i+1, 0).Add(c.Px(signIndent), 0), overlay.Quiet(RoleName(role)))
	}
	c.Write(at(3, 0), overlay.Quiet(wordChange))
	p.Y += c.Px(0.058)

	small := 1.0
	for _, r := range k.rows {
		for i, cell := range r.cells() {
			small = min(small, width(i+1, i+2)/c.Width(cell))
		}
	}
	high := min(c.Px(0.105), (b.Y1-c.Px(notesHigh)-p.Y)/float64(len(k.rows)))
	for _, r := range k.rows {
		rule(c, b.X0, b.X1, p.Y)
		name := overlay.Run{Text: MeasureName(r.ID), Size: overlay.Small, Weight: overlay.Medium, Colour: overlay.Chalk}
		column(c, at(0, 0.016), width(0, 1), overlay.Row{name})
		cells, word := r.cells(), 4
		if r.missing() != "" {
			cells, word = cells[:2], 3 // a reason needs the room, and there is no change
		}
		for i, cell := range cells {
			c.Write(at(i+1, 0.011), shrink(cell, small))
		}
		column(c, at(word, 0.016), b.W(), remark(c, r.remark(), width(word, 5))...)
		p.Y += high
	}
	rule(c, b.X0, b.X1, p.Y)
	return p
}

// notesHigh is the room kept for notes below the table, signIndent that of a
// sign before its text.
const (
	notesHigh  overlay.Share = 0.10
	signIndent overlay.Share = 0.068
)

// tall lays the rows out below one another, each in three lines.
func (k *Closing) tall(c *overlay.Canvas, b overlay.Box, p overlay.Point) overlay.Point {
	if len(k.rows) == 0 {
		return p
	}
	high := min(c.Px(0.205), (b.Y1-1.4*c.Px(notesHigh)-p.Y)/float64(len(k.rows)))
	for _, r := range k.rows {
		rule(c, b.X0, b.X1, p.Y)
		k.block(c, b, p.Add(0, c.Px(0.014)), r)
		p.Y += high
	}
	rule(c, b.X0, b.X1, p.Y)
	return p
}

// block writes one row of the tall page: name, before and after, change.
func (k *Closing) block(c *overlay.Canvas, b overlay.Box, p overlay.Point, r ChangeRow) {
	p = column(c, p, b.W(), overlay.Row{{Text: MeasureName(r.ID), Size: overlay.Small, Weight: overlay.Medium, Colour: overlay.Chalk}})
	half, indent := b.W()/2, c.Px(signIndent)
	cells := r.cells()
	for i, role := range []overlay.Role{overlay.Before, overlay.After} {
		q := p.Add(float64(i)*half, 0)
		c.DrawSign(q.Add(0, c.Height(cells[i])/2), role.Sign())
		column(c, q.Add(indent, 0), half-indent-c.Px(0.01), cells[i])
	}
	p.Y += c.Height(cells[0])
	if r.missing() != "" {
		column(c, p, b.W(), remark(c, r.remark(), b.W())...)
		return
	}
	c.Write(p, cells[2])
	word := p.Add(c.Width(cells[2])+c.Px(0.03), c.Px(0.007))
	column(c, word, b.X1-word.X, overlay.Row{note(r.remark())})
}
