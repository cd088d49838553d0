package lesson

import (
	"math"
	"strings"
	"testing"

	"strokereel/track"
)

// setOf is a clip of putts with these tempos and one ball speed.
func setOf(name string, speed float64, tempos ...float64) []Findings {
	var putts []map[string]track.Measure
	for _, v := range tempos {
		putts = append(putts, map[string]track.Measure{"tempo": measured(v, 0.03, "1"), "ball_speed": measured(speed, 0.02, "m/s")})
	}
	return []Findings{clipWith(name, putts...)}
}

func TestGather(t *testing.T) {
	for _, c := range []struct {
		name          string
		before, after []float64
		verdict, text string
		change, u95   float64
		needed        int
	}{
		// By hand: means 2.0 and 2.5, SD 0.1 each; t(4) = 2.776, u = 0.1 sqrt(2/3).
		{"a large change", []float64{1.9, 2.0, 2.1}, []float64{2.4, 2.5, 2.6}, Changed, "3 putts each: the change is more", 0.5, 0.2267, 0},
		{"three are too few", []float64{1.9, 2.0, 2.1}, []float64{2.05, 2.15, 2.25}, TooFew, "3 putts each are too few to say: about 5 before and 5 after", 0.15, 0.2267, 5},
		{"no change to speak of", []float64{1.9, 2.0, 2.1}, []float64{1.91, 2.01, 2.11}, WithinSpread, "within the spread", 0.01, 0.2267, 0},
		{"one putt", []float64{2.0}, []float64{2.4, 2.5, 2.6}, TooFew, "1 and 3 putts: a spread needs at least two", 0, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := Gather(setOf("b", 2, c.before...), setOf("a", 2, c.after...))
			var got SetChange
			for _, k := range s.Changes {
				if k.ID == "tempo" {
					got = k
				}
			}
			if got.Verdict != c.verdict || !strings.Contains(got.Text, c.text) || got.Needed != c.needed {
				t.Errorf("got %+v", got)
			}
			if c.u95 > 0 {
				if math.Abs(*got.Change.Value-c.change) > 1e-6 || math.Abs(*got.Change.U95-c.u95) > 1e-3 {
					t.Errorf("change %g ± %g", *got.Change.Value, *got.Change.U95)
				}
			} else if got.Change.Status != track.NotMeasured || got.Change.Reason == "" {
				t.Errorf("change %+v", got.Change)
			}
		})
	}
	if Gather(nil, []Findings{clipWith("a")}) != nil {
		t.Error("a lesson without a putt has sets")
	}
}

// SD and coefficient of variation of 1.9, 2.0, 2.1, with chi-squared of 2
// degrees of freedom: 0.0506 and 7.378 (tables).
func TestSpread(t *testing.T) {
	s := Gather(setOf("b", 2, 1.9, 2.0, 2.1), nil).Before
	for _, k := range s {
		if k.ID != "tempo" {
			continue
		}
		for name, v := range map[string][2]float64{"mean": {*k.Mean.Value, 2}, "sd": {*k.SD.Value, 0.1}, "cv": {*k.Variation.Value, 0.05},
			"low": {*k.SD.Lo95, 0.1 * math.Sqrt(2/7.378)}, "high": {*k.SD.Hi95, 0.1 * math.Sqrt(2/0.0506)}} {
			if math.Abs(v[0]-v[1]) > 1e-3 {
				t.Errorf("%s %g, want %g", name, v[0], v[1])
			}
		}
		return
	}
	t.Error("no tempo")
}

// A ladder of lengths is no set of equal putts; its tempo still counts.
func TestUnlikePutts(t *testing.T) {
	ladder := append(setOf("b1", 1.2, 2, 2.1), setOf("b2", 2.4, 1.9)...)
	s := Gather(ladder, setOf("a", 2, 2, 2.1))
	for _, k := range s.Changes {
		if silent := k.Change.Status == track.NotMeasured; silent != (k.ID == "ball_speed") {
			t.Errorf("%s: %+v", k.ID, k)
		}
	}
}
