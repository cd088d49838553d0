package scene

import (
	"strings"

	"strokereel/overlay"
	"strokereel/track"
)

// ChangeRow is one line of what changed.
type ChangeRow struct {
	ID                    string // of the measure
	Before, After, Change track.Measure
	Word                  string // see ChangeWord
}

// cell is a value in a table: a missing one is a dash, its reason goes to the
// remark.
func cell(id string, m track.Measure) overlay.Row {
	m.ID = id
	v := Show(m)
	v.Reason = ""
	return append(overlay.Row{{Text: v.Text, Size: overlay.Body, Weight: overlay.Bold, Colour: overlay.Chalk}}, tail(v)...)
}

// cells are the values of a row: before, after, change.
func (r ChangeRow) cells() []overlay.Row {
	return []overlay.Row{cell(r.ID, r.Before), cell(r.ID, r.After), changeCell(r)}
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
		cut(c, rows[mostLines-1], width)
	}
	return rows
}

// cut ends a row with dots, without the words that leave no room for them.
func cut(c *overlay.Canvas, r overlay.Row, width float64) {
	words := strings.Fields(r[0].Text)
	for ; len(words) > 0; words = words[:len(words)-1] {
		r[0].Text = strings.Join(words, " ") + " …"
		if c.Width(r) <= width {
			return
		}
	}
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
