package practice

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"strokereel/pipeline/lesson"
	"strokereel/track"
)

func measured(v, u95 float64, unit string) lesson.Measure {
	return lesson.MeasureOf(track.Measure{Value: v, U95: u95, Unit: unit, Status: track.Measured})
}

func expected(v, lo, hi float64, unit string) lesson.Measure {
	return lesson.MeasureOf(track.Measure{Value: v, Lo95: lo, Hi95: hi, Unit: unit, Status: track.Predicted})
}

// lessonOf is an invented lesson with a hold and a look-up after it, and with
// distances asked for.
func lessonOf(hold, look float64, distances bool) lesson.Comparison {
	var c lesson.Comparison
	for id, m := range map[string]lesson.Measure{
		"backstroke_length": measured(0.241, 0.006, "m"), "follow_through_length": measured(0.282, 0.008, "m"),
		"backstroke_time": measured(0.62, 0.01, "s"), "downstroke_time": measured(0.31, 0.01, "s"),
		"hold_time": measured(hold, 0.015, "s"), "look_up_after_impact": measured(look, 0.03, "s"),
	} {
		c.Differences = append(c.Differences, lesson.Difference{ID: id, After: m})
	}
	if distances {
		budget := func(d float64, text string, back, through lesson.Measure) lesson.Budget {
			return lesson.Budget{DistanceM: d, Text: text, Values: map[string]lesson.Measure{"backstroke_length": back, "follow_through_length": through}}
		}
		c.Rolling = &lesson.Rolling{Green: lesson.GreenFound{Text: "the green speed given; no roll was measured"}, Budgets: []lesson.Budget{
			budget(6, "as this player strikes", expected(0.36, 0.33, 0.39, "m"), expected(0.42, 0.38, 0.46, "m")),
			budget(6, "with a backstroke of 30 cm", expected(0.30, 0.30, 0.30, "m"), expected(0.44, 0.39, 0.49, "m")),
			budget(3, "as this player strikes", expected(0.25, 0.23, 0.27, "m"), expected(0.29, 0.26, 0.32, "m")),
			{DistanceM: 39, Text: "as this player strikes", Reason: "too far"},
		}}
	}
	return c
}

func standardBook(t *testing.T) Book {
	t.Helper()
	b, err := Load(DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func titles(s Sheet) []string {
	var out []string
	for _, g := range s.Drills {
		out = append(out, g.Title)
	}
	return out
}

func TestChoose(t *testing.T) {
	b := standardBook(t)
	cut := lessonOf(0.8, 0.1, false)
	for i, d := range cut.Differences {
		if d.ID == "hold_time" {
			cut.Differences[i].After = lesson.MeasureOf(track.Measure{Value: 0.8, U95: 0.01, Unit: "s", Status: track.AtLeast, Reason: "the clip ends"})
		}
	}
	for _, c := range []struct {
		name string
		in   lesson.Comparison
		want []string
	}{
		{"all is short and distances are asked for", lessonOf(0.8, 0.1, true), []string{"Gates", "Own rhythm", "Hold the finish", "Eyes down", "Ladder", "Towards the end"}},
		{"a long hold and late eyes", lessonOf(2.4, 0.9, false), []string{"Gates", "Own rhythm", "Towards the end"}},
		{"eyes up before impact", lessonOf(2.4, -0.2, false), []string{"Gates", "Own rhythm", "Eyes down", "Towards the end"}},
		{"a hold that the clip cut short", cut, []string{"Gates", "Own rhythm", "Eyes down", "Towards the end"}},
		{"nothing measured", lesson.Comparison{}, []string{"Towards the end"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := titles(b.Choose(c.in)); !slices.Equal(got, c.want) {
				t.Errorf("got %v, want %v", got, c.want)
			}
		})
	}
}

// The tees stand where the stroke after the lesson ended, or where the coach
// wishes it to end.
func TestChooseNumbers(t *testing.T) {
	b := standardBook(t)
	own, wished := b.Choose(lessonOf(0.8, 0.1, false)).Drills[0], b.Choose(lessonOf(0.8, 0.1, true)).Drills[0]
	for _, c := range []struct{ text, want string }{
		{own.Do[0], "24 cm behind"}, {own.Do[0], "another 28 cm ahead"}, {own.Basis, "backstroke 24.1 cm ± 0.6, follow-through 28.2 cm ± 0.8"},
		{wished.Do[0], "30 cm behind"}, {wished.Do[0], "another 44 cm ahead"}, {wished.Basis, "For a putt of 6 m with a backstroke of 30 cm: backstroke 30 cm, follow-through 39 to 49 cm."},
	} {
		if !strings.Contains(c.text, c.want) {
			t.Errorf("%q lacks %q", c.text, c.want)
		}
	}
	rungs := b.Choose(lessonOf(0.8, 0.1, true)).Drills[4].Rungs
	if want := []Rung{{"3 m", "23 to 27 cm", "26 to 32 cm"}, {"6 m", "33 to 39 cm", "38 to 46 cm"}}; !slices.Equal(rungs, want) {
		t.Errorf("rungs %v, want %v", rungs, want)
	}
}

// The picture has the tees and of the ladder as much as it has room for, of those
// drills that are given.
func TestWanted(t *testing.T) {
	b := standardBook(t)
	names := func(s Sheet) (out []string) {
		for _, w := range s.Wanted {
			out = append(out, w.Name)
		}
		return out
	}
	many := lessonOf(0.8, 0.1, true)
	for _, d := range []float64{4, 5, 9} {
		k := many.Rolling.Budgets[0]
		k.DistanceM = d
		many.Rolling.Budgets = append(many.Rolling.Budgets, k)
	}
	noLadder := b
	noLadder.Drills = slices.DeleteFunc(slices.Clone(b.Drills), func(d Drill) bool { return d.When == Ladder })
	same := lessonOf(0.8, 0.1, true)
	same.Rolling.Budgets = same.Rolling.Budgets[:2]
	for i := range same.Rolling.Budgets {
		same.Rolling.Budgets[i].DistanceM = 0
	}
	for _, c := range []struct {
		name string
		book Book
		in   lesson.Comparison
		want []string
	}{
		{"tees and ladder", b, lessonOf(0.8, 0.1, true), []string{"tees", "3 m", "6 m"}},
		{"more rungs than room", b, many, []string{"tees", "3 m", "5 m", "9 m"}},
		{"no distances", b, lessonOf(0.8, 0.1, false), []string{"tees"}},
		{"a book without a ladder", noLadder, lessonOf(0.8, 0.1, true), []string{"tees"}},
		{"a wish for an equal roll", b, same, []string{"tees"}},
		{"nothing measured", b, lesson.Comparison{}, nil},
	} {
		if got := names(c.book.Choose(c.in)); !slices.Equal(got, c.want) {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
	}
	tees := b.Choose(lessonOf(0.8, 0.1, true)).Wanted[0]
	if tees.Back.Value != 0.30 || tees.Through.Value != 0.44 {
		t.Errorf("the tees stand at %+v", tees)
	}
	if got := b.Choose(same); !strings.HasPrefix(got.Drills[0].Basis, "For a ball as fast as in the lesson, with a backstroke of 30 cm: backstroke 30 cm") || slices.Contains(titles(got), "Ladder") {
		t.Errorf("for an equal roll: %q, %v", got.Drills[0].Basis, titles(got))
	}
}

func TestWritePage(t *testing.T) {
	for _, c := range []struct {
		name       string
		in         lesson.Comparison
		has, lacks []string
	}{
		{"a full sheet", lessonOf(0.8, 0.1, true), []string{"data:audio/wav;base64,UklGR", "data:image/jpeg;base64,/9j/", "<td>23 to 27 cm</td>", "for 2 s"}, []string{"ZgotmplZ", "src=\"practice"}},
		{"nothing measured", lesson.Comparison{}, []string{"Towards the end"}, []string{"<audio", "<table", "<img"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := standardBook(t).Choose(c.in)
			s.Title, s.Lines = "S-014 <b>", []string{"2026-01-10"}
			if c.in.Rolling != nil {
				s.Picture = []byte("\xff\xd8\xff")
			}
			var page bytes.Buffer
			if err := s.WritePage(&page); err != nil {
				t.Fatal(err)
			}
			// The cautions are there whatever was measured.
			for _, want := range append(c.has, "S-014 &lt;b&gt;", "2026-01-10", "ask a professional", "Look behind you", "rules of the place") {
				if !strings.Contains(page.String(), want) {
					t.Errorf("the page lacks %q", want)
				}
			}
			for _, not := range append(c.lacks, "http", "score") {
				if strings.Contains(strings.ReplaceAll(page.String(), "http-equiv", ""), not) {
					t.Errorf("the page has %q", not)
				}
			}
		})
	}
}
