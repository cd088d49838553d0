package sheet

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"strokereel/pipeline/settings"
)

func TestGreenOfTheSheet(t *testing.T) {
	for _, c := range []struct {
		name, text   string
		speed, slope float64
	}{
		{"one speed", "green_speed_ft: 9.5\n", 9.5, 0},
		{"two readings, along the hill", "green_speed_up_ft: 8\ngreen_speed_down_ft: 10\n", 8.888889, 0},
		// Brede 1990, USGA Green Section Record 28(6), 10-12: the harmonic mean. The
		// slope by hand: (1.8288^2 / 4) (1/8 - 1/10) / 0.3048 m = 0.0686 m/s^2, over 6/7
		// of 9.81 m/s^2 (half way between a sphere's 5/7 and 1).
		{"uphill", "green_speed_up_ft: 8\ngreen_speed_down_ft: 10\nputt_runs: uphill\n", 8.888889, 0.46730},
		{"downhill", "green_speed_up_ft: 8\ngreen_speed_down_ft: 10\nputt_runs: downhill\n", 8.888889, -0.46730},
		{"nothing", "student: S-014\n", 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, err := ParseSheet([]byte(c.text))
			if err != nil {
				t.Fatal(err)
			}
			got, err := s.Settings(settings.Default())
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(got.Sheet.GreenSpeed-c.speed) > 1e-5 || math.Abs(got.Sheet.Slope-c.slope) > 1e-4 {
				t.Errorf("green %g ft, slope %g", got.Sheet.GreenSpeed, got.Sheet.Slope)
			}
			if g, err := got.Green(); err != nil || g.Known() != (c.speed > 0) {
				t.Errorf("known %v, %v", g.Known(), err)
			}
		})
	}
}

func TestRolled(t *testing.T) {
	s, err := ParseSheet([]byte("rolled_m:\n  a.mp4: 3.2\n  b.mp4: [2.9, 3.3]\n  c.mp4:\n"))
	if want := map[string][]float64{"a.mp4": {3.2}, "b.mp4": {2.9, 3.3}}; err != nil || !reflect.DeepEqual(s.Rolled, want) {
		t.Errorf("got %v, %v", s.Rolled, err)
	}
	for _, c := range []struct{ text, want string }{
		{"rolled_m:\n  a.mp4: -1\n", "must be a number from 0.1 to 40"},
		{"rolled_m:\n  a.mp4: [2, far]\n", "must be a number from 0.1 to 40"},
		{"green_speed_up_ft: 8\n", "belong together"},
		{"green_speed_up_ft: 10\ngreen_speed_down_ft: 8\n", "must not be above"},
		{"green_speed_up_ft: 8\ngreen_speed_down_ft: 9\ngreen_speed_ft: 9\n", "not all three"},
		{"putt_runs: uphill\n", "needs green_speed_up_ft"},
		{"putt_runs: sideways\n", "must be one of level, uphill, downhill"},
	} {
		if _, err := ParseSheet([]byte(c.text)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: got %v, want %q", c.text, err, c.want)
		}
	}
}

func TestPuttingOfASheet(t *testing.T) {
	s, err := ParseSheet([]byte("green_speed_ft: 9\nputt_distance_m: 3\nwanted_distances_m: [6, 9]\nwanted_backstroke_m: 0.24\nrolled_m:\n  after.mp4: [2.9, 3.1]\n"))
	if err != nil {
		t.Fatal(err)
	}
	own, err := s.Settings(settings.Default())
	if err != nil {
		t.Fatal(err)
	}
	p, err := s.Putting(own)
	if err != nil {
		t.Fatal(err)
	}
	if want := []float64{3, 6, 9}; !slices.Equal(p.Distances, want) || p.ToBack != 0.24 || len(p.Rolled["after.mp4"]) != 2 || p.Green.Reading().Value == 0 {
		t.Errorf("got %+v, wanted distances %v", p, want)
	}
	if p, err := (Sheet{}).Putting(settings.Default()); err != nil || p != nil {
		t.Errorf("a sheet that says nothing of the green: %+v, %v", p, err)
	}
	wish, err := ParseSheet([]byte("wanted_backstroke_m: 0.24\n"))
	if err != nil {
		t.Fatal(err)
	}
	if p, err := wish.Putting(settings.Default()); err != nil || p == nil || p.ToBack != 0.24 || p.Green.Known() {
		t.Errorf("a wish on a green that nobody read: %+v, %v", p, err)
	}
	for _, absurd := range []string{"wanted_distances_m: [-1]", "wanted_distances_m: .nan", "wanted_distances_m: [.inf]", "putt_distance_m: -1", "green_speed_ft: 0", "green_speed_ft: 40",
		"green_speed_up_ft: 0\ngreen_speed_down_ft: 9", "wanted_through_to_back: 0", "wanted_backstroke_m: -0.2", "rolled_m: {a.mp4: .nan}"} {
		if _, err := ParseSheet([]byte(absurd + "\n")); err == nil || !strings.Contains(err.Error(), "must be a number from") {
			t.Errorf("%s: %v", absurd, err)
		}
	}
}
