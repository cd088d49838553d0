package bench

import (
	"slices"
	"testing"

	"strokereel/pipeline/demo"
)

// figure finds one figure of the exam.
func figure(t *testing.T, figures []Figure, name, what string) Figure {
	t.Helper()
	i := slices.IndexFunc(figures, func(f Figure) bool { return f.Case == name && f.Name == what })
	if i < 0 {
		t.Fatalf("no figure %q of case %q", what, name)
	}
	return figures[i]
}

func TestExamHoldsEachCaseToItsOwnLimits(t *testing.T) {
	off := func(name, measure string, share float64) Clip {
		return Clip{Case: name, Whole: 100, Seen: 100, SumSq: 4, Interval: 1. / 60, Strokes: 1, Wanted: 1, MSFrame: 1,
			Measures: []Value{{Name: measure, Got: 1 + share, U95: 0.001, Truth: 1, Reported: true}}}
	}
	figures := Exam([]Clip{off("clean", "backstroke_length", 0.010), off("rod", "backstroke_length", 0.010),
		off("glare", "impact_speed", 0.025), {Case: "still", Strokes: 1}, off("leaves-frame", "impact_speed", 0.5)})
	for _, c := range []struct {
		name, what string
		within     bool
	}{
		{"clean", "marker rms px", false}, // 0.2 px
		{"glare", "marker rms px", true},
		{"clean", "backstroke_length: p95 / limit", true},
		{"rod", "backstroke_length: p95 / limit", false},
		{"glare", "impact_speed: p95 / limit", false},
		{"still", "strokes reported", false},
		{"leaves-frame", "impact_speed: p95 / limit", true},
	} {
		if f := figure(t, figures, c.name, c.what); f.Within() != c.within {
			t.Errorf("%s, %s: %.3f with limit %s is within: %v, want %v", c.name, c.what, f.Value, f.limitText(), f.Within(), c.within)
		}
	}
}

func TestExamCountsRefusedClipsApart(t *testing.T) {
	good := Clip{Case: "dim", Whole: 100, Seen: 98, SumSq: 1, Strokes: 1, Wanted: 1}
	figures := Exam([]Clip{good, good, good, {Case: "dim", Whole: 100, Wanted: 1}})
	if f := figure(t, figures, "dim", "refused"); f.Value != 0.25 || f.Within() {
		t.Errorf("refused %.3f, within %v", f.Value, f.Within())
	}
	if f := figure(t, figures, "dim", "marker seen"); f.Value != 0.98 {
		t.Errorf("seen %.3f: a refused clip counts among the frames", f.Value)
	}
	for _, f := range Exam([]Clip{{Case: "dim", Whole: 100, Wanted: 1}}) {
		if f.Name == "marker seen" {
			t.Error("a case of which every clip is refused has a figure of its marker")
		}
	}
}

func TestCompareFindsWhatHasLeftItsLimit(t *testing.T) {
	clean := func(sumSq float64) []Clip {
		return []Clip{{Case: "clean", Whole: 100, Seen: 100, SumSq: sumSq, Strokes: 1, Wanted: 1, MSFrame: 5}}
	}
	lost := func(before, after float64) (n int) {
		for _, c := range Compare(clean(before), clean(after)) {
			if c.Lost() {
				n++
			}
		}
		return n
	}
	if n := lost(0.64, 1.44); n != 1 { // 0.08 to 0.12 px
		t.Errorf("%d figures have left their limits, want 1", n)
	}
	if n := lost(1.44, 1.69); n != 0 {
		t.Errorf("%d figures have left limits that they never kept", n)
	}
	if c := Compare(clean(1.44), clean(0.64)); len(c) == 0 || !c[0].Better() {
		t.Error("a smaller error is not called better")
	}
	if c := Compare(clean(1), clean(1)); len(c) != 0 {
		t.Errorf("equal runs differ: %v", c)
	}
}

func TestEveryCaseOfTheGeneratorIsJudged(t *testing.T) {
	for _, c := range demo.CaseNames() {
		if len(Exam([]Clip{{Case: c.Name, Wanted: 1, Strokes: 1}})) == 0 {
			t.Errorf("case %q has no figures", c.Name)
		}
	}
}
