package scene

import (
	"math"
	"testing"

	"strokereel/track"
)

func TestShow(t *testing.T) {
	m := func(id, unit string, v, u95 float64) track.Measure {
		return track.Measure{ID: id, Unit: unit, Value: v, U95: u95, Status: track.Measured}
	}
	with := func(m track.Measure, status, reason string) track.Measure {
		m.Status, m.Reason = status, reason
		return m
	}
	for _, v := range []struct {
		name string
		in   track.Measure
		want string
	}{
		{"one digit of the uncertainty", m("backstroke_length", "m", 0.2412, 0.0052), "24.1 cm ± 0.5"},
		{"two digits when the first is 1", m("backstroke_length", "m", 0.2412, 0.0012), "24.12 cm ± 0.12"},
		{"an uncertainty that rounds up to 1", m("backstroke_length", "m", 0.2412, 0.0096), "24.1 cm ± 1.0"},
		{"an uncertainty that rounds up to 2", m("backstroke_length", "m", 0.2412, 0.00197), "24.1 cm ± 0.2"},
		{"an uncertainty above ten", m("lead_wrist_top", "deg", 4.2, 31), "4° ± 31"},
		{"a negative value", m("look_up_after_stop", "s", -0.314, 0.04), "−0.31 s ± 0.04"},
		{"a negative value that rounds to nothing", m("head_shift", "m", -0.0004, 0.01), "0.0 cm ± 1.0"},
		{"an uncertainty too small to read", m("", "s", 2.66052, 0.0008), "2.661 s ± 0.001"},
		{"a speed", m("impact_speed", "m/s", 1.2312, 0.024), "1.23 m/s ± 0.02"},
		{"a tempo", m("tempo", "1", 2.01, 0.06), "2.01 : 1 ± 0.06"},
		{"a ratio", m("through_to_back", "1", 1.527, 0.043), "1.53 ± 0.04"},
		{"a word", track.Measure{ID: "y_kept", Word: "too_close", Status: track.Measured}, "too close to tell"},
		{"cut short, rounded down", with(m("hold_time", "s", 1.639, 0.005), track.AtLeast, ""), "at least 1.63 s"},
		{"cut short, exactly on a digit", with(m("hold_time", "s", 1.64, 0.04), track.AtLeast, ""), "at least 1.60 s"},
		{"predicted, outward", track.Measure{ID: "roll_distance", Unit: "m", Value: 2.3, Lo95: 2.12, Hi95: 2.61, Status: track.Predicted}, "expected 2.1 to 2.7 m"},
		{"not symmetric", track.Measure{ID: "recoil", Unit: "m", Value: 0.006, Lo95: 0.0043, Hi95: 0.0101, Status: track.Measured}, "0.4 to 1.1 cm"},
		{"not measured", with(m("recoil", "m", 0, 0), track.NotMeasured, "the clip ended"), "– the clip ended"},
		{"a value that is no number", m("recoil", "m", math.NaN(), 0.01), "–"},
		{"a value without uncertainty", m("recoil", "m", 0.01, 0), "–"},
	} {
		t.Run(v.name, func(t *testing.T) {
			if got := Show(v.in).String(); got != v.want {
				t.Errorf("got %q, want %q", got, v.want)
			}
		})
	}
	for _, v := range []struct {
		name string
		in   track.Measure
		want string
	}{
		{"predicted", track.Measure{Unit: "m", Value: 0.25, Lo95: 0.228, Hi95: 0.274, Status: track.Predicted}, "22 to 28 cm"},
		{"a wish", track.Measure{Unit: "m", Value: 0.25, Lo95: 0.25, Hi95: 0.25, Status: track.Predicted}, "25 cm"},
		{"a wish of half a centimetre", track.Measure{Unit: "m", Value: 0.255, Lo95: 0.255, Hi95: 0.255, Status: track.Predicted}, "25.5 cm"},
		{"measured", m("backstroke_length", "m", 0.2412, 0.0052), "24.1 cm ± 0.5"},
		{"predicted without a value", track.Measure{Unit: "m", Status: track.Predicted, Value: math.NaN()}, "–"},
	} {
		if got := Bare(v.in); got != v.want {
			t.Errorf("%s: got %q, want %q", v.name, got, v.want)
		}
	}
	if got := Show(track.Measure{Value: 3, U95: 1}); got.Text != wordDash {
		t.Errorf("a measure without a status is shown as %q", got)
	}
}

func TestChangeWord(t *testing.T) {
	m := func(unit string, v, u95 float64) track.Measure {
		return track.Measure{Unit: unit, Value: v, U95: u95, Status: track.Measured}
	}
	atLeast := m("s", 1.2, 0.1)
	atLeast.Status = track.AtLeast
	unclear := m("s", 0.05, 0.1)
	unclear.Status = track.AtLeast
	for _, v := range []struct {
		name, id   string
		change     track.Measure
		comparable bool
		want       string
	}{
		{"longer", "backstroke_length", m("m", 0.03, 0.007), true, "longer"},
		{"shorter", "backstroke_length", m("m", -0.03, 0.007), true, "shorter"},
		{"inside", "backstroke_length", m("m", -0.007, 0.0071), true, wordSame},
		{"inside though not the same putt", "backstroke_length", m("m", -0.007, 0.0071), false, wordSame},
		{"not the same putt", "backstroke_length", m("m", 0.03, 0.007), false, wordNoClaim},
		{"faster", "ball_speed", m("m/s", 0.3, 0.07), true, "faster"},
		{"a ratio", "tempo", m("1", -0.3, 0.07), true, "lower"},
		{"later", "look_up_after_stop", m("s", 0.3, 0.07), true, "later"},
		{"a hold that was cut short", "hold_time", atLeast, true, "longer"},
		{"a hold cut short too early", "hold_time", unclear, true, wordNoClaim},
		{"not measured", "hold_time", track.Measure{Status: track.NotMeasured}, true, wordNoClaim},
	} {
		t.Run(v.name, func(t *testing.T) {
			if got := ChangeWord(v.id, v.change, v.comparable); got != v.want {
				t.Errorf("got %q, want %q", got, v.want)
			}
		})
	}
}

func TestEveryMeasureAndEventHasWords(t *testing.T) {
	for _, name := range track.EventNames {
		if EventName(name) == name {
			t.Errorf("the event %q has no caption", name)
		}
		for _, id := range stillMeasures[name] {
			if MeasureName(id) == id {
				t.Errorf("the measure %q has no name", id)
			}
		}
	}
}
