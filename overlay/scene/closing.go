package scene

import (
	"fmt"

	"strokereel/overlay"
	"strokereel/track"
)

// MostRows is how many rows a closing page can hold and still be read.
const MostRows = 7

// ChangeRow is one line of what changed.
type ChangeRow struct {
	ID                    string // of the measure
	Before, After, Change track.Measure
	Word                  string // see ChangeWord
}

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
	p.Y += c.Px(0.015)
	for _, n := range k.Notes {
		p = paragraph(c, p, b.W(), note(n))
	}
}

// Columns of the wide page: where they begin, as shares of its width.
const (
	colBefore = 0.25
	colAfter  = 0.43
	colChange = 0.61
	colWord   = 0.80
	colSpace  = 0.015
)

// wide lays the rows out as a table.
func (k *Closing) wide(c *overlay.Canvas, b overlay.Box, p overlay.Point) overlay.Point {
	at := func(share float64) overlay.Point { return overlay.Point{X: b.X0 + share*b.W(), Y: p.Y} }
	width := func(from, to float64) float64 { return (to - from - colSpace) * b.W() }
	heading := func(share float64, role overlay.Role) {
		c.DrawSign(at(share).Add(0, c.Height(overlay.Quiet(""))/2), role.Sign())
		c.Write(at(share).Add(c.Px(0.068), 0), overlay.Quiet(RoleName(role)))
	}
	heading(colBefore, overlay.Before)
	heading(colAfter, overlay.After)
	c.Write(at(colChange), overlay.Quiet(wordChange))
	p.Y += c.Px(0.056)
	high := c.Px(0.105)
	if n := float64(len(k.rows)); n > 0 {
		high = min(high, (b.Y1-c.Px(0.09)-p.Y)/n)
	}
	for _, r := range k.rows {
		rule(c, b.X0, b.X1, p.Y)
		p.Y += c.Px(0.012)
		name := overlay.Run{Text: MeasureName(r.ID), Size: overlay.Small, Weight: overlay.Medium, Colour: overlay.Chalk}
		paragraph(c, at(0).Add(0, c.Px(0.006)), width(0, colBefore), name)
		column(c, at(colBefore), width(colBefore, colAfter), cell(r.ID, r.Before))
		column(c, at(colAfter), width(colAfter, colChange), cell(r.ID, r.After))
		from := colWord
		if r.missing() != "" {
			from = colChange // a reason needs the room, and there is no change
		} else {
			column(c, at(colChange), width(colChange, colWord), changeCell(r))
		}
		column(c, at(from).Add(0, c.Px(0.006)), b.W(), remark(c, r.remark(), width(from, 1+colSpace))...)
		p.Y += high - c.Px(0.012)
	}
	rule(c, b.X0, b.X1, p.Y)
	return p
}

// tall lays the rows out below one another, each in three lines.
func (k *Closing) tall(c *overlay.Canvas, b overlay.Box, p overlay.Point) overlay.Point {
	for _, r := range k.rows {
		rule(c, b.X0, b.X1, p.Y)
		p.Y += c.Px(0.016)
		name := overlay.Row{{Text: MeasureName(r.ID), Size: overlay.Small, Weight: overlay.Medium, Colour: overlay.Chalk}}
		below := column(c, p, b.W(), name)
		half, indent := b.W()/2, c.Px(0.068)
		for i, side := range []struct {
			role overlay.Role
			m    track.Measure
		}{{overlay.Before, r.Before}, {overlay.After, r.After}} {
			q := below.Add(float64(i)*half, 0)
			row := cell(r.ID, side.m)
			c.DrawSign(q.Add(0, c.Height(row)/2), side.role.Sign())
			column(c, q.Add(indent, 0), half-indent-c.Px(0.01), row)
		}
		last := append(changeCell(r), overlay.Run{Text: "   " + r.remark(), Size: overlay.Small, Weight: overlay.Regular, Colour: overlay.Mist})
		below = column(c, below.Add(0, c.Height(last)), b.W(), last)
		p.Y = below.Y + c.Px(0.018)
	}
	rule(c, b.X0, b.X1, p.Y)
	return p
}

// cell is a value in a table: a missing one is a dash, its reason goes to the
// remark.
func cell(id string, m track.Measure) overlay.Row {
	m.ID = id
	v := Show(m)
	v.Reason = ""
	return append(overlay.Row{{Text: v.Text, Size: overlay.Body, Weight: overlay.Bold, Colour: overlay.Chalk}}, tail(v)...)
}

// changeCell is a change with its sign.
func changeCell(r ChangeRow) overlay.Row {
	id := r.ID
	if id == "tempo" {
		id = "" // a difference of ratios is a plain number
	}
	row := cell(id, r.Change)
	if r.Change.Status == track.Measured && r.Change.Word == "" && r.Change.Value > 0 && row[0].Text != wordDash {
		row[0].Text = "+" + row[0].Text
	}
	return row
}

// mostLines is how many lines of a remark a row of the table holds.
const mostLines = 2

// remark breaks a remark to a width; one that is longer than its row is set
// smaller, and what is still too long is cut.
func remark(c *overlay.Canvas, text string, width float64) []overlay.Row {
	run := note(text)
	rows := c.Wrap(run, width)
	if len(rows) > 1 {
		run.Size = smallest
		rows = c.Wrap(run, width)
	}
	if len(rows) > mostLines {
		rows = rows[:mostLines]
		rows[mostLines-1][0].Text += " …"
	}
	return rows
}

// remark is the word for a change, or why a value is missing.
func (r ChangeRow) remark() string {
	if why := r.missing(); why != "" {
		return why
	}
	return r.Word
}

// missing is why a value of the row is missing, empty when none is.
func (r ChangeRow) missing() string {
	for _, m := range []track.Measure{r.Before, r.After, r.Change} {
		if m.Status == track.NotMeasured && m.Reason != "" {
			return m.Reason
		}
	}
	return ""
}
