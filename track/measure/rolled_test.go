package measure

import (
	"math"
	"strings"
	"testing"

	"strokereel/track"
	"strokereel/track/roll"
)

// A roll is predicted only from a ball speed and a green, and as an interval.
func TestRollDistance(t *testing.T) {
	green, err := roll.NewGreen(roll.Facts{Speed: 9}, roll.DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	speed := []Input{{Name: "launch speed", Value: 2, U: 0.04}}
	for _, c := range []struct {
		name   string
		green  roll.Green
		ball   bool
		status string
		reason string
	}{
		{"ball and green", green, true, track.Predicted, ""},
		{"no green", roll.Green{}, true, track.NotMeasured, "green speed"},
		{"no ball", green, false, track.NotMeasured, "no ball was struck"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := work{in: Clip{Green: c.green}, budgets: map[string]track.Budget{}, done: map[string]track.Measure{}}
			if c.ball {
				w.add("ball_speed", "m/s", "", speed, func(v []float64) float64 { return v[0] })
			} else {
				w.refuse("ball_speed", "no ball was struck")
			}
			w.roll()
			m := w.done["roll_distance"]
			if m.Status != c.status || !strings.Contains(m.Reason, c.reason) {
				t.Fatalf("got %+v", m)
			}
			// 2 m/s on 9 ft: 0.25 m of skid at a friction of 0.4 and 1.67 m of roll.
			if c.status == track.Predicted && (m.Lo95 > 1.92 || m.Hi95 < 1.92 || m.Hi95-m.Lo95 > 0.4*1.92 || math.Abs(m.Value-1.92) > 0.2) {
				t.Errorf("got %.2f, %.2f to %.2f m", m.Value, m.Lo95, m.Hi95)
			}
		})
	}
}
