package site

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"strokereel/overlay/scene"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// Measures whose progress is shown. Ratios hold for putts of any length; lengths
// and times are compared only between putts at the same ball speed, as in the
// lesson's own comparison.
var progressOf = []struct {
	id      string
	anyPutt bool
}{
	{"tempo", true}, {"backstroke_length", false}, {"follow_through_length", false},
	{"through_to_back", true}, {"hold_time", false}, {"ball_speed", true},
}

// progress is one measure over a student's lessons.
type progress struct {
	id     string
	Name   string
	Points []point
	Left   []string // which lessons are left out, and why
}

// point is the typical putt of one lesson, before or after.
type point struct {
	at    time.Time
	After bool
	m     track.Measure
}

func (p point) Day() string   { return p.at.Format("2 January 2006") }
func (p point) Value() string { return scene.Show(p.m).String() }

// progressIn gathers the charts of a student's lessons, oldest first. A measure
// seen on fewer than two days has no progress.
func progressIn(records []Record) []progress {
	dated := slices.DeleteFunc(slices.Clone(records), func(r Record) bool { return r.time().IsZero() })
	slices.SortStableFunc(dated, func(a, b Record) int { return a.time().Compare(b.time()) })
	var out []progress
	for _, c := range progressOf {
		p := progress{id: c.id, Name: scene.MeasureName(c.id)}
		speed := referenceSpeed(dated, c.id)
		var elsewhere, open, days int
		for _, r := range dated {
			seen := false
			for _, after := range []bool{false, true} {
				putt := r.Before
				if after {
					putt = r.After
				}
				m := shown(c.id, putt[c.id])
				switch {
				case m.Status == track.AtLeast:
					open++
				case m.Status != track.Measured || m.Word != "":
				case !c.anyPutt && !sameSpeed(speed, putt):
					elsewhere++
				default:
					p.Points, seen = append(p.Points, point{r.time(), after, m}), true
				}
			}
			if seen {
				days++
			}
		}
		if elsewhere > 0 {
			p.Left = append(p.Left, fmt.Sprintf("%s left out: not at the ball speed of the latest lesson (%s).", putts(elsewhere), scene.Show(*speed)))
		}
		if open > 0 {
			p.Left = append(p.Left, putts(open)+" left out: the clip ended first.")
		}
		if days > 1 {
			out = append(out, p)
		}
	}
	return out
}

func putts(n int) string {
	if n == 1 {
		return "1 putt is"
	}
	return fmt.Sprintf("%d putts are", n)
}

func (r Record) time() time.Time {
	t, err := time.Parse(time.DateOnly, r.Date)
	if err != nil {
		return time.Time{}
	}
	return t
}

// referenceSpeed is the ball speed of the latest lesson in which the measure has
// a value, after rather than before; nil when no such putt has one.
func referenceSpeed(dated []Record, id string) *track.Measure {
	for _, r := range slices.Backward(dated) {
		for _, putt := range []map[string]lesson.Measure{r.After, r.Before} {
			s := shown("ball_speed", putt["ball_speed"])
			if putt[id].Status == track.Measured && s.Status == track.Measured {
				return &s
			}
		}
	}
	return nil
}

// sameSpeed reports whether a putt's ball speed agrees with the reference within
// their combined u95, the rule of lesson.Compare.
func sameSpeed(reference *track.Measure, putt map[string]lesson.Measure) bool {
	s := putt["ball_speed"].Computed("ball_speed")
	if reference == nil || s.Status != track.Measured {
		return false
	}
	change := lesson.Change(*reference, s)
	return change.Status == track.Measured && math.Abs(change.Value) <= change.U95
}

// Text says the chart in words, for those who do not see it.
func (p progress) Text() string {
	first, last := p.Points[0], p.Points[len(p.Points)-1]
	return fmt.Sprintf("%s over %d putts: %s on %s, %s on %s.", p.Name, len(p.Points), first.Value(), first.Day(), last.Value(), last.Day())
}

// file is the chart's file name without colours.
func (p progress) file() string { return strings.ReplaceAll(p.id, "_", "-") }
