package roll

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func TestAbsurdInputs(t *testing.T) {
	o := DefaultOptions()
	green := func(ft, slope float64) error {
		_, err := NewGreen(Facts{Speed: ft, Slope: slope * degree}, o)
		return err
	}
	nine, err := NewGreen(Facts{Speed: 9}, o)
	if err != nil {
		t.Fatal(err)
	}
	unread, err := NewGreen(Facts{}, o)
	if err != nil {
		t.Fatal(err)
	}
	distance := func(g Green, v, u float64) error { _, err := g.Distance(Quantity{v, u}); return err }
	speed := func(g Green, d float64) error { _, err := g.Speed(d); return err }
	nan := math.NaN()
	player, err := NewPlayer([]Stroke{{Back: Quantity{0.3, 0.003}, BallSpeed: Quantity{2, 0.04}}}, o)
	if err != nil {
		t.Fatal(err)
	}
	budget, err := player.Budget(nine, 4)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		got  error
		want string
	}{
		{"green of 40 ft", green(40, 0), "the green speed must be between 3 and 20 ft (got 40)"},
		{"green below zero", green(-1, 0), "the green speed must be between"},
		{"green that is no number", green(nan, 0), "the green speed must be between 3 and 20 ft (got NaN)"},
		{"slope of a roof", green(9, 30), "the slope must be between -6 and 6 degrees"},
		{"slope that is no number", green(9, nan), "the slope must be between"},
		{"downhill for ever", green(12, -4), "would not stop"},
		{"no green", distance(unread, 2, 0.1), "nothing is known of the green"},
		{"no green for a distance", speed(unread, 3), "nothing is known of the green"},
		{"distance of -1", speed(nine, -1), "the distance must be between 0.1 and 40 m (got -1)"},
		{"distance that is no number", speed(nine, nan), "the distance must be between"},
		{"distance without end", speed(nine, math.Inf(1)), "the distance must be between"},
		{"ball at rest", distance(nine, 0, 0), "needs a ball speed above zero"},
		{"speed that is no number", distance(nine, nan, 0.1), "needs a ball speed above zero"},
		{"readings the wrong way around", func() error { _, err := Uphill(10, 8, o); return err }(), "a ball rolls farther downhill"},
		{"a reading of 0", func() error { _, err := Uphill(0, 8, o); return err }(), "the green speed must be between"},
		{"a roll of -2", func() error { _, err := nine.Fit([]Measured{{Quantity{2, 0.04}, -2}}); return err }(), "the distance must be between"},
		{"a roll without a speed", func() error { _, err := nine.Fit([]Measured{{Quantity{}, 2}}); return err }(), "needs a measured speed"},
		{"no stroke", func() error { _, err := NewPlayer(nil, o); return err }(), "at least one stroke"},
		{"a stroke that is no number", func() error { _, err := NewPlayer([]Stroke{{Back: Quantity{nan, 0}}}, o); return err }(), "stroke 1: the backstroke length must be"},
		{"a backstroke of nothing", func() error { _, err := player.Shorter(budget, Exactly(0)); return err }(), "a backstroke must be between"},
		{"a ratio without a follow-through", func() error { _, err := player.WithRatio(budget, 1); return err }(), "needs a stroke of the player with its follow-through"},
		{"a shorter one without times", func() error { _, err := player.Shorter(budget, Exactly(0.2)); return err }(), "needs a stroke of the player with downstroke time"},
		{"friction upside down", func() error { o := o; o.FrictionMax = 0.1; return o.Validate() }(), "friction_max: must not be below"},
		{"scatter of zero", func() error { o := o; o.StrokeScatter = 0; return o.Validate() }(), "stroke_scatter: must be between"},
	} {
		if c.got == nil || !strings.Contains(c.got.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", c.name, c.got, c.want)
		}
	}
	if !errors.Is(green(12, -4), ErrNeverStops) {
		t.Error("a slope that never stops the ball is another error")
	}
	// Just flat enough by the means, not by what is not known of it.
	steep, err := NewGreen(Facts{Speed: 12, Slope: -3 * degree}, o)
	if err == nil {
		_, err = steep.Distance(Quantity{1.5, 0.02})
	}
	if !errors.Is(err, ErrNeverStops) {
		t.Errorf("a nearly endless roll: %v", err)
	}
	if o.Validate() != nil {
		t.Error("the defaults are refused")
	}
}
