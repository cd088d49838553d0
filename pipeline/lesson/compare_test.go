package lesson

import (
	"math"
	"testing"

	"strokereel/track"
)

func measured(v, u95 float64, unit string) track.Measure {
	return track.Measure{Value: v, U95: u95, Unit: unit, Status: track.Measured}
}

// clipWith is a clip of putts with these measures.
func clipWith(name string, putts ...map[string]track.Measure) Findings {
	f := Findings{Report: Report{Clip: Clip{File: name}}}
	for i, p := range putts {
		s := Stroke{Index: i, Kind: track.Putt, Measures: map[string]Measure{}}
		for id, m := range p {
			s.Measures[id] = MeasureOf(m)
		}
		f.Report.Strokes = append(f.Report.Strokes, s)
	}
	return f
}

func back(v float64) map[string]track.Measure {
	return map[string]track.Measure{"backstroke_length": measured(v, 0.01, "m")}
}

func TestChoose(t *testing.T) {
	two := back(0.30)
	two["tempo"] = measured(2, 0.03, "1")
	for _, c := range []struct {
		name           string
		clips          []Findings
		clip           string
		stroke, amount int
	}{
		{"the middle one of three", []Findings{clipWith("a", back(0.20), back(0.31)), clipWith("b", back(0.30))}, "b", 0, 3},
		{"the only one", []Findings{clipWith("a", back(0.2))}, "a", 0, 1},
		{"the first of two, both as far from their median", []Findings{clipWith("a", back(0.2), back(0.3))}, "a", 0, 2},
		{"one outside must not pull", []Findings{clipWith("a", back(0.30), back(0.31), back(0.32), back(3))}, "a", 1, 4},
		{"lacking a measure is a distance", []Findings{clipWith("a", back(0.30), two)}, "a", 1, 2},
		{"no putt", []Findings{clipWith("a")}, "a", -1, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Choose(c.clips)
			if got.Clip != c.clip || got.Stroke != c.stroke || got.Among != c.amount {
				t.Errorf("chose %+v", got)
			}
		})
	}
	practice := clipWith("a", back(0.3))
	practice.Report.Strokes[0].Kind = track.Practice
	if got := Choose([]Findings{practice}); got.Stroke != -1 {
		t.Errorf("a practice stroke was chosen: %+v", got)
	}
}

// A change has the combined u95 of both and no direction inside it.
func TestChange(t *testing.T) {
	atLeast := track.Measure{Value: 3, U95: 0.1, Unit: "s", Status: track.AtLeast}
	for _, c := range []struct {
		name          string
		before, after track.Measure
		status        string
		value, u95    float64
		direction     string
	}{
		{"smaller", measured(0.40, 0.03, "m"), measured(0.30, 0.04, "m"), track.Measured, -0.10, 0.05, Down},
		{"larger", measured(0.30, 0.03, "m"), measured(0.40, 0.04, "m"), track.Measured, 0.10, 0.05, Up},
		{"just inside the interval", measured(0.30, 0.03, "m"), measured(0.349, 0.04, "m"), track.Measured, 0.049, 0.05, WithinU95},
		{"at least as long, surely longer", measured(0.4, 0.1, "s"), atLeast, track.AtLeast, 2.6, math.Hypot(0.1, 0.1), Up},
		{"at least as long, perhaps shorter", measured(3.2, 0.1, "s"), atLeast, track.AtLeast, -0.2, math.Hypot(0.1, 0.1), NoClaim},
		{"at least before", atLeast, measured(0.4, 0.1, "s"), track.NotMeasured, 0, 0, NoClaim},
		{"uneven interval", track.Measure{Value: 2, Lo95: 1.7, Hi95: 2.1, Status: track.Measured}, measured(2, 0.4, "1"), track.Measured, 0, 0.5, WithinU95},
		{"missing", missing("x", "no ball"), measured(1, 1, "m"), track.NotMeasured, 0, 0, NoClaim},
		{"words", track.Measure{Word: "yes", Status: track.Measured}, track.Measure{Word: "no", Status: track.Measured}, track.NotMeasured, 0, 0, NoClaim},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Change(c.before, c.after)
			if got.Status != c.status || math.Abs(got.Value-c.value) > 1e-12 || math.Abs(got.U95-c.u95) > 1e-12 {
				t.Errorf("change %+v, want %s %g ± %g", got, c.status, c.value, c.u95)
			}
			if got.Status == track.NotMeasured && got.Reason == "" {
				t.Error("no reason is given")
			}
			if d := direction(got, true); d != c.direction {
				t.Errorf("direction %s, want %s", d, c.direction)
			}
		})
	}
}

func putt(ballSpeed, back, through float64) map[string]track.Measure {
	return map[string]track.Measure{
		"ball_speed": measured(ballSpeed, 0.05, "m/s"), "backstroke_length": measured(back, 0.005, "m"),
		"follow_through_length": measured(through, 0.01, "m"), "tempo": measured(2, 0.03, "1"),
	}
}

func TestCompareLikeWithLike(t *testing.T) {
	for _, c := range []struct {
		name             string
		before, after    float64 // ball speeds
		verdict          string
		length, perSpeed string // directions of backstroke_length and of it per ball speed
	}{
		{"the same putt", 2.20, 2.25, SamePutt, Down, Down},
		{"a much shorter putt with the same stroke per speed", 2.4, 1.6, NotSamePutt, NoClaim, WithinU95},
	} {
		t.Run(c.name, func(t *testing.T) {
			after := putt(c.after, 0.36*c.after/c.before, 0.5)
			if c.verdict == SamePutt {
				after = putt(c.after, 0.25, 0.5)
			}
			got := Compare([]Findings{clipWith("b", putt(c.before, 0.36, 0.5))}, []Findings{clipWith("a", after)})
			if got.LikeForLike.Verdict != c.verdict {
				t.Errorf("verdict %+v", got.LikeForLike)
			}
			found := map[string]string{}
			for _, d := range got.Differences {
				found[d.ID] = d.Direction
			}
			if found["backstroke_length"] != c.length || found[BackPerSpeed] != c.perSpeed {
				t.Errorf("directions %v", found)
			}
			if _, ok := found["hold_time"]; ok {
				t.Error("a measure nobody has is listed")
			}
		})
	}
	got := Compare([]Findings{clipWith("b", back(0.3))}, []Findings{clipWith("a", back(0.2))})
	if got.LikeForLike.Verdict != NotKnown || got.Differences[0].Direction != NoClaim {
		t.Errorf("without ball speeds: %+v", got)
	}
	if got = Compare([]Findings{clipWith("b")}, []Findings{clipWith("a", back(0.2))}); got.LikeForLike.Verdict != NotKnown || len(got.Differences) != 0 {
		t.Errorf("without a putt: %+v", got)
	}
}

// A length per ball speed carries both uncertainties.
func TestLengthPerBallSpeed(t *testing.T) {
	s := clipWith("x", map[string]track.Measure{"ball_speed": measured(2, 0.04, "m/s"), "backstroke_length": measured(0.3, 0.003, "m")}).Report.Strokes[0]
	m := value(s, BackPerSpeed)
	if math.Abs(m.Value-0.15) > 1e-9 || math.Abs(m.U95/m.Value-math.Hypot(0.02, 0.01)) > 1e-6 {
		t.Errorf("got %+v", m)
	}
}
