package practice

import (
	"cmp"
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
	Times  *Times            // nil when the stroke's times are not known
	Wanted []scene.WantedRow // lengths of the drills, to be drawn into the player's own picture
	// Picture is the player's own picture with them in it, a JPEG; nil without one.
	Picture []byte
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
	given := map[string]bool{}
	for _, d := range b.Drills {
		numbers, basis, ok := f.of(d.When)
		if !ok {
			continue
		}
		given[d.When] = true
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
	if given[Lengths] {
		s.Wanted = append(s.Wanted, f.tees())
	}
	if given[Ladder] {
		s.Wanted = append(s.Wanted, f.drawn()...)
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
	from, basis := f.after, "Measured after the lesson: "
	if w, ok := f.wished(); ok {
		from, basis = w.Values, fmt.Sprintf("For a putt of %s %s: ", metres(w.DistanceM), w.Text)
		if w.DistanceM == 0 {
			basis = fmt.Sprintf("For a ball as fast as in the lesson, %s: ", w.Text)
		}
	}
	b, t := from[back], from[through]
	if !length(b) || !length(t) {
		return nil, "", false
	}
	return map[string]string{"back": centimetres(*b.Value), "through": centimetres(*t.Value)},
		basis + listed(from, back, through), true
}

// Names of the lengths that tees are set by.
const back, through = "backstroke_length", "follow_through_length"

// tees are the same lengths for the picture.
func (f facts) tees() scene.WantedRow {
	from := f.after
	if w, ok := f.wished(); ok {
		from = w.Values
	}
	return wantedRow("tees", from)
}

func wantedRow(name string, of map[string]lesson.Measure) scene.WantedRow {
	return scene.WantedRow{Name: name, Back: of[back].Computed(back), Through: of[through].Computed(through)}
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

// ladder are the distances with the player's own way of doing them, short to long.
func (f facts) ladder() []lesson.Budget {
	var own []lesson.Budget
	for _, b := range f.rolling.Budgets {
		known := slices.ContainsFunc(own, func(o lesson.Budget) bool { return o.DistanceM == b.DistanceM })
		if !known && b.DistanceM > 0 && b.Reason == "" && length(b.Values[back]) {
			own = append(own, b)
		}
	}
	slices.SortFunc(own, func(a, b lesson.Budget) int { return cmp.Compare(a.DistanceM, b.DistanceM) })
	return own
}

func (f facts) rungs() []Rung {
	var out []Rung
	for _, b := range f.ladder() {
		out = append(out, Rung{metres(b.DistanceM), spoken(back, b.Values), spoken(through, b.Values)})
	}
	return out
}

// mostDrawn is how many rungs the picture has room for.
const mostDrawn = 3

// drawn are the rungs for the picture: of many the shortest, one in the middle
// and the longest.
func (f facts) drawn() []scene.WantedRow {
	rungs := f.ladder()
	if n := len(rungs); n > mostDrawn {
		rungs = []lesson.Budget{rungs[0], rungs[n/2], rungs[n-1]}
	}
	var out []scene.WantedRow
	for _, b := range rungs {
		out = append(out, wantedRow(metres(b.DistanceM), b.Values))
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
func spoken(id string, of map[string]lesson.Measure) string { return scene.Bare(of[id].Computed(id)) }

func centimetres(m float64) string { return strconv.Itoa(int(math.Round(100*m))) + " cm" }
func metres(m float64) string      { return strconv.FormatFloat(math.Round(m*100)/100, 'f', -1, 64) + " m" }
func seconds(s float64) string     { return strconv.FormatFloat(s, 'f', -1, 64) + " s" }
