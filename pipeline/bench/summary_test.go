package bench

import (
	"slices"
	"strings"
	"testing"
)

// clip is a clip whose start is off by an error, with a u95.
func clip(off, u95 float64, reported bool) Clip {
	return Clip{Case: "clean", Interval: 1. / 60, Whole: 100, Seen: 100, SumSq: 1, Strokes: 1, Wanted: 1,
		Events: []Value{{Name: "start", Got: 2 + off, U95: u95, Truth: 2, Reported: reported}}}
}

func TestSummariseFindsBrokenLimits(t *testing.T) {
	good := slices.Repeat([]Clip{clip(0.002, 0.004, true)}, 38)
	for _, c := range []struct {
		name  string
		clips []Clip
		want  string // part of the only complaint; empty for none
	}{
		{"all within", good, ""},
		{"one in twenty over", append(slices.Clone(good), clip(0.02, 0.03, true), clip(0.02, 0.03, true)), ""},
		{"three of forty-one over", append(slices.Clone(good), clip(0.02, 0.03, true), clip(0.02, 0.03, true), clip(0.02, 0.03, true)), "3 of 41 errors are over"},
		{"wide intervals", slices.Repeat([]Clip{clip(0.002, 0.02, true)}, 20), "median u95"},
		{"too few reported", append(slices.Clone(good), slices.Repeat([]Clip{clip(0, 0, false)}, 4)...), "nothing reported for 4 of 42"},
	} {
		broken := Summarise(c.clips).Broken
		if c.want == "" && len(broken) > 0 || c.want != "" && (len(broken) != 1 || !strings.Contains(broken[0], c.want)) {
			t.Errorf("%s: got %q, want %q", c.name, broken, c.want)
		}
	}
}

func TestSummariseComplainsOfStrokesThatAreNotThere(t *testing.T) {
	s := Summarise([]Clip{{Case: "nobody", Seed: 3, Strokes: 1}})
	if len(s.Broken) != 1 || !strings.Contains(s.Broken[0], "nobody seed 3") {
		t.Errorf("got %q", s.Broken)
	}
}

func TestQuantileIsTheSmallestThatEnoughDoNotExceed(t *testing.T) {
	v := []float64{5, 1, 4, 2, 3}
	for q, want := range map[float64]float64{0.5: 3, 0.8: 4, 0.81: 5, 1: 5, 0.01: 1} {
		if got := quantile(v, q); got != want {
			t.Errorf("quantile %g is %g, want %g", q, got, want)
		}
	}
}
