package practice

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"strokereel/overlay/scene"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// Sheet is the page of one student.
type Sheet struct {
	Title  string
	Lines  []string
	Drills []Given
	Times  *Times // nil when the stroke's times are not known
}

// Given is a drill with the student's numbers in it.
type Given struct {
	Title, Basis string // Basis says what was measured, empty when nothing was needed
	Do           []string
	Often        string
	Check        []string
	Rungs        []Rung
	Sound        bool // the drill goes with the practice sound
}

// Rung is one distance of a ladder.
type Rung struct{ Distance, Back, Through string }

// Choose takes the drills whose case is met by what was measured after the lesson.
func (b Book) Choose(c lesson.Comparison) Sheet {
	f := facts{book: b, after: map[string]lesson.Measure{}, rolling: c.Rolling}
	for _, d := range c.Differences {
		f.after[d.ID] = d.After
	}
	s := Sheet{Times: f.times()}
	for _, d := range b.Drills {
		numbers, basis, ok := f.of(d.When)
		if !ok {
			continue
		}
		g := Given{Title: fill(d.Title, numbers), Basis: basis, Often: fill(d.Often, numbers), Sound: d.When == Tempo}
		for _, t := range d.Do {
			g.Do = append(g.Do, fill(t, numbers))
		}
		for _, t := range d.Check {
			g.Check = append(g.Check, fill(t, numbers))
		}
		if d.When == Ladder {
			g.Rungs = f.rungs()
		}
		s.Drills = append(s.Drills, g)
	}
	return s
}

// facts are what the cases are decided by.
type facts struct {
	book    Book
	after   map[string]lesson.Measure
	rolling *lesson.Rolling
}

// of returns the numbers of a case and what they rest on; ok is false when the
// case is not met.
func (f facts) of(when string) (numbers map[string]string, basis string, ok bool) {
	switch when {
	case Lengths:
		return f.gates()
	case Tempo:
		return f.tempo()
	case Hold:
		held, ok := f.measured("hold_time")
		return map[string]string{"held": f.short("hold_time"), "hold": seconds(f.book.Hold)},
			f.basis("hold_time"), ok && held < f.book.Hold
	case LookUp:
		late, ok := f.measured("look_up_after_impact")
		return map[string]string{"look_up": f.short("look_up_after_impact"), "eyes_down": seconds(f.book.EyesDown)},
			f.basis("look_up_after_impact"), ok && late < f.book.EyesDown
	case Ladder:
		if f.rolling == nil {
			return nil, "", false
		}
		return nil, "Computed from this player's strokes; green: " + f.rolling.Green.Text + ".", len(f.rungs()) > 0
	}
	return nil, "", when == Always
}

func (f facts) measured(id string) (float64, bool) {
	m := f.after[id]
	if m.Status != track.Measured || m.Value == nil {
		return 0, false
	}
	return *m.Value, true
}

// gates are the lengths a coach's wish asks for, else those measured after.
func (f facts) gates() (map[string]string, string, bool) {
	const back, through = "backstroke_length", "follow_through_length"
	from, basis := f.after, "Measured after the lesson: "
	if w, ok := f.wished(); ok {
		from, basis = w.Values, fmt.Sprintf("For a putt of %s m %s: ", metres(w.DistanceM), w.Text)
	}
	b, t := from[back], from[through]
	if !length(b) || !length(t) {
		return nil, "", false
	}
	return map[string]string{"back": centimetres(*b.Value), "through": centimetres(*t.Value)},
		basis + listed(from, back, through), true
}

// length reports whether a measure is a length to set tees by.
func length(m lesson.Measure) bool {
	return (m.Status == track.Measured || m.Status == track.Predicted) && m.Value != nil && *m.Value >= 0.005
}

// wished is the budget of the first distance that follows a wish of the coach.
// The first budget of a distance is the player's own way, the others are wishes,
// the length of the backstroke last.
func (f facts) wished() (lesson.Budget, bool) {
	if f.rolling == nil {
		return lesson.Budget{}, false
	}
	var found lesson.Budget
	ok := false
	for i, b := range f.rolling.Budgets {
		if i > 0 && b.DistanceM == f.rolling.Budgets[0].DistanceM && b.Text != f.rolling.Budgets[0].Text && b.Reason == "" {
			found, ok = b, true
		}
	}
	return found, ok
}

func (f facts) tempo() (map[string]string, string, bool) {
	t := f.times()
	if t == nil {
		return nil, "", false
	}
	return map[string]string{"back_time": f.short("backstroke_time"), "down_time": f.short("downstroke_time"),
		"tempo": strconv.FormatFloat(t.Back/t.Down, 'f', 1, 64) + " : 1"}, f.basis("backstroke_time", "downstroke_time"), true
}

func (f facts) times() *Times {
	back, okB := f.measured("backstroke_time")
	down, okD := f.measured("downstroke_time")
	if t := (Times{back, down}); okB && okD && t.Check() == nil {
		return &t
	}
	return nil
}

// rungs are the distances with the player's own way of doing them, short to long.
func (f facts) rungs() []Rung {
	var own []lesson.Budget
	for _, b := range f.rolling.Budgets {
		known := slices.ContainsFunc(own, func(o lesson.Budget) bool { return o.DistanceM == b.DistanceM })
		if !known && b.Reason == "" && length(b.Values["backstroke_length"]) {
			own = append(own, b)
		}
	}
	slices.SortFunc(own, func(a, b lesson.Budget) int { return int(math.Copysign(1, a.DistanceM-b.DistanceM)) })
	var out []Rung
	for _, b := range own {
		out = append(out, Rung{metres(b.DistanceM) + " m", spoken("backstroke_length", b.Values), spoken("follow_through_length", b.Values)})
	}
	return out
}

// basis says what was measured.
func (f facts) basis(ids ...string) string {
	return "Measured after the lesson: " + listed(f.after, ids...)
}

func listed(of map[string]lesson.Measure, ids ...string) string {
	var out []string
	for _, id := range ids {
		out = append(out, strings.ToLower(scene.MeasureName(id))+" "+spoken(id, of))
	}
	return strings.Join(out, ", ") + "."
}

// short is a measured value for a text; its interval stands in the basis.
func (f facts) short(id string) string { return scene.Show(f.after[id].Computed(id)).Text }

// spoken is a value with its interval.
func spoken(id string, of map[string]lesson.Measure) string {
	m := of[id].Computed(id)
	if m.Status == track.Predicted && m.Lo95 == m.Hi95 { // a wish, which is exact
		return centimetres(m.Value)
	}
	return strings.TrimPrefix(scene.Show(m).String(), "expected ")
}

func centimetres(m float64) string { return strconv.Itoa(int(math.Round(100*m))) + " cm" }
func metres(m float64) string      { return strconv.FormatFloat(math.Round(m*100)/100, 'f', -1, 64) }
func seconds(s float64) string     { return strconv.FormatFloat(s, 'f', -1, 64) + " s" }
