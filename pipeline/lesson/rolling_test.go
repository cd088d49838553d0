package lesson

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"strokereel/track"
	"strokereel/track/roll"
)

// stroked is a putt of a player with a gain of 1.8, 0.3 s down and 0.63 s back, a
// ratio of 1.6 and as far through as back.
func stroked(back float64) map[string]track.Measure {
	head := 1.8 * back / 0.3
	p := map[string]track.Measure{}
	for id, v := range map[string]float64{"backstroke_length": back, "follow_through_length": back, "backstroke_time": 0.63,
		"downstroke_time": 0.3, "impact_speed": head, "ball_speed": 1.6 * head} {
		p[id] = measured(v, 0.02*v, "")
	}
	return p
}

func putting(t *testing.T, speed float64) Putting {
	t.Helper()
	o := roll.DefaultOptions()
	g, err := roll.NewGreen(roll.Facts{Speed: speed}, o)
	if err != nil {
		t.Fatal(err)
	}
	return Putting{Green: g, Distances: []float64{2, 4}, ThroughToBack: 1.25, ToBack: 0.24, Options: o}
}

func TestRollOut(t *testing.T) {
	before := []Findings{clipWith("b.mp4", stroked(0.4))}
	after := []Findings{clipWith("a.mp4", stroked(0.2), stroked(0.25)), clipWith("a2.mp4", stroked(0.35))}
	p := putting(t, 9)
	r := RollOut(before, after, p)
	if len(r.Rolls) != 4 || len(r.Budgets) != 6 || r.Player.Strokes != 3 || !r.Player.SeveralLength || len(r.Published) == 0 {
		t.Fatalf("got %d rolls, %d budgets, player %+v", len(r.Rolls), len(r.Budgets), r.Player)
	}
	for _, v := range r.Rolls {
		if v.Predicted.Status != track.Predicted || v.Predicted.Lo95 == nil || v.Rolled != nil {
			t.Errorf("roll %+v", v)
		}
	}
	four, ok := r.Of(4)
	if !ok {
		t.Fatal("no budget for 4 m")
	}
	// By hand: 4 m on 9 ft takes about 2.9 m/s, 1.81 m/s of the head, 30 cm back.
	for id, want := range map[string]float64{"ball_speed": 2.85, HeadSpeed: 1.78, "backstroke_length": 0.297, "downstroke_time": 0.3} {
		v := four.Values[id]
		if v.Status != track.Predicted || math.Abs(*v.Value/want-1) > 0.03 || !(*v.Lo95 < want && want < *v.Hi95) {
			t.Errorf("%s: %.3f, %.3f to %.3f, want %.3f", id, *v.Value, *v.Lo95, *v.Hi95, want)
		}
	}
	ratio, shorter := r.Budgets[4], r.Budgets[5]
	if !strings.Contains(ratio.Text, "1.25 times") || math.Abs(*ratio.Values["backstroke_length"].Value*1.25-*ratio.Values["follow_through_length"].Value) > 1e-5 {
		t.Errorf("wished ratio %+v", ratio)
	}
	if shorter.Text != "with a backstroke of 24 cm" || *shorter.Values["backstroke_length"].Value != 0.24 || *shorter.Values["downstroke_time"].Value >= *four.Values["downstroke_time"].Value || *shorter.Values["ball_speed"].Value != *four.Values["ball_speed"].Value {
		t.Errorf("shorter %+v", shorter)
	}
}

// Wishes without a distance are for an equal roll: the ball of the lesson, on a
// green that nobody needs to know.
func TestEqualRoll(t *testing.T) {
	o := roll.DefaultOptions()
	unread, err := roll.NewGreen(roll.Facts{}, o)
	if err != nil {
		t.Fatal(err)
	}
	after := []Findings{clipWith("a.mp4", stroked(0.3), stroked(0.3))}
	r := RollOut([]Findings{clipWith("b.mp4", stroked(0.4))}, after, Putting{Green: unread, ThroughToBack: 1.2, ToBack: 0.2, Options: o})
	if len(r.Budgets) != 3 {
		t.Fatalf("budgets %+v", r.Budgets)
	}
	// By hand: 30 cm back in 0.3 s with a gain of 1.8 is a ball of 2.88 m/s; the same
	// from 20 cm takes 0.2 s.
	own, ratio, short := r.Budgets[0].Values, r.Budgets[1].Values, r.Budgets[2].Values
	for _, c := range []struct {
		name      string
		got       Measure
		want, tol float64
	}{
		{"ball", own["ball_speed"], 2.88, 1e-3}, {"own backstroke", own["backstroke_length"], 0.3, 2e-3},
		{"backstroke of a ratio", ratio["backstroke_length"], 0.25, 2e-3}, {"the same ball", short["ball_speed"], 2.88, 1e-3},
		{"shorter", short["backstroke_length"], 0.2, 0}, {"in less time", short["downstroke_time"], 0.2, 1e-3}, {"the same follow-through", short["follow_through_length"], 0.3, 2e-3},
	} {
		if c.got.Value == nil || math.Abs(*c.got.Value-c.want) > c.tol {
			t.Errorf("%s: %+v, want %g", c.name, c.got, c.want)
		}
	}
	data, err := json.Marshal(r)
	if err != nil || strings.Contains(string(data), "distance_m") || r.Rolls[0].Predicted.Status != track.NotMeasured {
		t.Errorf("a distance that nobody knows is told: %s, %v", data, err)
	}
	if r := RollOut(nil, after, Putting{Green: unread, Options: o}); len(r.Budgets) != 0 {
		t.Errorf("nothing was wished for: %+v", r.Budgets)
	}
}

// A green that hardly is one is believed, and doubted in words (Lemons, USGA Green
// Section Record: 7 to 12 ft are usual, 6.5 ft was a mean of 1976-77).
func TestUnusualGreen(t *testing.T) {
	for speed, doubted := range map[float64]bool{3.5: true, 4.5: false, 9: false, 14: false, 16: true} {
		r := RollOut(nil, []Findings{clipWith("a.mp4", stroked(0.3))}, putting(t, speed))
		if got := strings.Contains(r.Green.Text, "rarely outside 4 to 15 ft"); got != doubted {
			t.Errorf("%g ft: %q", speed, r.Green.Text)
		}
	}
}

// Distances that balls really rolled make the player's own green, with or without
// a sheet; without either nothing is predicted, and the reason is told.
func TestOwnGreen(t *testing.T) {
	clips := []Findings{clipWith("a.mp4", stroked(0.2), stroked(0.25)), clipWith("b.mp4", stroked(0.3))}
	for _, c := range []struct {
		name     string
		speed    float64
		rolled   map[string][]float64
		measured int
		text     string
	}{
		{"a sheet", 9, nil, 0, "no roll was measured"},
		{"rolls only", 0, map[string][]float64{"a.mp4": {1.9, 2.9}, "b.mp4": {4.1}}, 3, "measured rolls (3)"},
		{"both", 9, map[string][]float64{"a.mp4": {1.9}, "other.mp4": {2}}, 1, "measured rolls (1)"},
		{"neither", 0, nil, 0, "nothing is known of the green"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := putting(t, c.speed)
			p.Rolled = c.rolled
			r := RollOut(nil, clips, p)
			if r.Green.Measured != c.measured || !strings.Contains(r.Green.Text, c.text) {
				t.Errorf("green %+v", r.Green)
			}
			known := c.speed > 0 || c.measured > 0
			if got := r.Rolls[0].Predicted.Status == track.Predicted; got != known {
				t.Errorf("predicted %v: %+v", got, r.Rolls[0])
			}
			if _, ok := r.Of(4); ok != known {
				t.Errorf("budget %v: %+v", ok, r.Budgets)
			}
			if known == (r.Budgets[0].Reason != "") {
				t.Errorf("reason %q", r.Budgets[0].Reason)
			}
			if c.measured == 3 {
				// The rolls are some 7 % longer than 9 ft would make them, so less speed is asked.
				b, _ := r.Of(4)
				if v := *b.Values["ball_speed"].Value; v < 2.5 || v > 2.9 {
					t.Errorf("ball speed for 4 m: %.2f m/s", v)
				}
			}
		})
	}
	if r := RollOut(nil, []Findings{clipWith("a.mp4")}, putting(t, 9)); len(r.Budgets) != 0 || !strings.Contains(r.Player.Text, "at least one stroke") {
		t.Errorf("without a stroke: %+v", r)
	}
}

// lesson.json holds sets and rolling beside what it always held.
func TestComparisonHoldsSetsAndRolling(t *testing.T) {
	before, after := []Findings{clipWith("b.mp4", stroked(0.4), stroked(0.41))}, []Findings{clipWith("a.mp4", stroked(0.3), stroked(0.31))}
	c := Compare(before, after)
	c.Rolling = RollOut(before, after, putting(t, 9))
	data, err := c.Marshal()
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Differences []any
		Sets        struct {
			Changes []struct{ ID, Verdict, Text string }
		}
		Rolling struct {
			Budgets []struct {
				DistanceM float64 `json:"distance_m"`
			}
		}
	}
	if err := json.Unmarshal(data, &got); err != nil || len(got.Differences) == 0 || len(got.Sets.Changes) == 0 || len(got.Rolling.Budgets) != 6 {
		t.Errorf("%v in %s", err, data)
	}
}
