package site

import (
	"math"

	"strokereel/overlay/scene"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// Row is one measure of the page, in words.
type Row struct {
	Name          string
	Before, After string
	Change        string // what changed and by how much, or why nothing is said
	changed       bool
}

// mostChanges is how many changes the page says first: more than a handful
// nobody keeps in mind (our judgement).
const mostChanges = 5

// rows puts a comparison into words: first what surely changed, then all.
func rows(c *lesson.Comparison) (changed, all []Row) {
	if c == nil {
		return nil, nil
	}
	for _, d := range c.Differences {
		r := Row{Name: scene.MeasureName(d.ID), Before: value(d.ID, d.Before), After: value(d.ID, d.After), changed: d.Direction == lesson.Up || d.Direction == lesson.Down}
		r.Change = change(d)
		all = append(all, r)
		// Of the same putt a length says more than a length per ball speed.
		derived := d.ID == lesson.BackPerSpeed || d.ID == lesson.ThroughPerSpeed
		if r.changed && len(changed) < mostChanges && !(derived && c.LikeForLike.Verdict == lesson.SamePutt) {
			changed = append(changed, r)
		}
	}
	return changed, all
}

// value is a measure in words: its value and the half width of its interval, or
// why there is none.
func value(id string, m lesson.Measure) string { return scene.Show(shown(id, m)).String() }

// shown is a measure as a page shows it: a length per ball speed as the length
// at 1 m/s, which is the same number.
func shown(id string, m lesson.Measure) track.Measure {
	out := m.Computed(id)
	if out.Unit == "m/(m/s)" {
		out.Unit = "m"
	}
	return out
}

// change says a change with its interval in words: "longer by 7.1 to 8.6 cm".
func change(d lesson.Difference) string {
	id := d.ID
	if id == "tempo" {
		id = "" // a difference of ratios is a plain number
	}
	m := shown(id, d.Change)
	word := scene.ChangeWord(d.ID, m, d.Comparable)
	switch d.Direction {
	case lesson.WithinU95:
		return "no change that can be told from the uncertainty"
	case lesson.Up, lesson.Down:
		size := m
		size.Value = math.Abs(m.Value)
		if m.Status == track.Measured && m.Lo95 == 0 && m.Hi95 == 0 {
			size.Lo95, size.Hi95 = size.Value-m.U95, size.Value+m.U95
		}
		return word + " by " + scene.Show(size).Text
	}
	if m.Status == track.NotMeasured && m.Reason != "" {
		return "not compared: " + m.Reason
	}
	return "not compared: these were not the same putt"
}
