package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// budgeted runs budget --json and returns its values of the way n.
func budgeted(t *testing.T, n int, args ...string) map[string]lesson.Measure {
	t.Helper()
	code, out, side := strokereel(append([]string{"budget", "--json"}, args...)...)
	var r lesson.Rolling
	if err := json.Unmarshal([]byte(out), &r); code != exitDone || err != nil || len(r.Budgets) <= n {
		t.Fatalf("code %d, %v, %s%s", code, err, out, side)
	}
	return r.Budgets[n].Values
}

func TestBudget(t *testing.T) {
	typed := []string{"--back", "28cm", "--through", "30cm", "--ball-speed", "2.1", "--head-speed", "1.3", "--down-time", "0.3"}
	same := func(name string, a, b []string) {
		t.Helper()
		x, y := budgeted(t, 0, a...)["ball_speed"], budgeted(t, 0, b...)["ball_speed"]
		if math.Abs(*x.Value / *y.Value - 1) > 1e-4 {
			t.Errorf("%s: %g and %g m/s", name, *x.Value, *y.Value)
		}
	}
	same("units", []string{"--distance", "6m", "--green", "9"}, []string{"--distance", "600 cm", "--green", "9ft"})
	same("feet", []string{"--distance", "3.048", "--green", "9"}, []string{"--distance", "10ft", "--set", "sheet.green_speed=9"})
	same("a slope read both ways is level across it", []string{"--distance", "6m", "--up", "8", "--down", "10"}, []string{"--distance", "6m", "--green", "8.888889"})
	// By hand (friction 0.35, 7.5 rad/s): 3.5 m/s rolls 5.94 m on 9 ft.
	if v := budgeted(t, 0, "--distance", "6m", "--green", "9")["ball_speed"]; math.Abs(*v.Value-3.5) > 0.06 || *v.Lo95 > 3.4 || *v.Hi95 < 3.6 {
		t.Errorf("ball speed for 6 m: %g, %g to %g m/s", *v.Value, *v.Lo95, *v.Hi95)
	}
	up := budgeted(t, 0, "--distance", "6m", "--up", "8", "--down", "10", "--runs", "uphill")["ball_speed"]
	down := budgeted(t, 0, "--distance", "6m", "--up", "8", "--down", "10", "--runs", "downhill")["ball_speed"]
	if *up.Value < 1.05**down.Value {
		t.Errorf("uphill %g, downhill %g m/s", *up.Value, *down.Value)
	}
	args := append([]string{"--distance", "3m", "--green", "9", "--to-back", "20cm", "--ratio", "1.2"}, typed...)
	own, ratio, short := budgeted(t, 0, args...), budgeted(t, 1, args...), budgeted(t, 2, args...)
	if math.Abs(*ratio["backstroke_length"].Value*1.2-*own["follow_through_length"].Value) > 1e-5 || *short["backstroke_length"].Value != 0.2 {
		t.Errorf("wishes: %v, %v", ratio["backstroke_length"], short["backstroke_length"])
	}
	if *short["downstroke_time"].Value >= *own["downstroke_time"].Value {
		t.Error("a shorter backstroke takes as long")
	}
	unknown := budgeted(t, 0, "--distance", "3m", "--green", "9")["backstroke_length"]
	if unknown.Status != track.NotMeasured || unknown.Reason == "" {
		t.Errorf("a backstroke of nobody: %+v", unknown)
	}
}

func TestBudgetInWords(t *testing.T) {
	code, out, side := strokereel("budget", "--distance", "3m", "--green", "9", "--back", "28cm", "--ball-speed", "2.1", "--rolled", "2.1=2.0m", "--past", "40cm")
	for _, want := range []string{"green: ", "measured rolls (1)", "a scaled model", "3.4 m, as this player strikes", "Backstroke  ", "at the hole: 0.6", "[1] Marquardt 2007, Annual", "not as an aim"} {
		if code != exitDone || !strings.Contains(out, want) {
			t.Errorf("code %d, %q is missing in\n%s%s", code, want, out, side)
		}
	}
}

// Strokes come from the results of measure.
func TestBudgetFromResults(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "after-1")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	s := lesson.Stroke{Kind: track.Putt, Events: map[string]lesson.Event{}, Measures: map[string]lesson.Measure{}}
	for id, v := range map[string]float64{"backstroke_length": 0.28, "follow_through_length": 0.3, "ball_speed": 2.1, "impact_speed": 1.3, "downstroke_time": 0.3, "backstroke_time": 0.65} {
		s.Measures[id] = lesson.MeasureOf(track.Measure{Value: v, U95: 0.04 * v, Status: track.Measured})
	}
	r := lesson.Report{Schema: lesson.ReportSchema, Strokes: []lesson.Stroke{s}, Warnings: []lesson.Warning{}}
	data, err := r.Marshal()
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "report.json"), data, 0o600); err != nil {
		t.Fatal(err)
	}
	v := budgeted(t, 0, "--distance", "2m", "--green", "9", "--strokes", dir)
	// 2.1 m/s rolls about 2.1 m on 9 ft, so 2 m takes a little less than its 28 cm.
	if b := v["backstroke_length"]; b.Value == nil || *b.Value < 0.25 || *b.Value > 0.29 {
		t.Errorf("backstroke %+v", b)
	}
	if code, _, side := strokereel("budget", "--distance", "2m", "--green", "9", "--strokes", filepath.Dir(dir)); code != exitNoStart || !strings.Contains(side, "holds several clips: name one, such as \""+dir) {
		t.Errorf("code %d, %q", code, side)
	}
	if code, _, side := strokereel("budget", "--distance", "2m", "--green", "9", "--strokes", dir+"/none.json"); code != exitNoStart || !strings.Contains(side, "none.json") {
		t.Errorf("code %d, %q", code, side)
	}
}

func TestAbsurdBudgets(t *testing.T) {
	for _, c := range []struct{ args, want string }{
		{"", "say how far the putt is"},
		{"--distance 6m", "nothing is known of the green"},
		{"--distance 6m --green 0", "--green: the green speed must be between 3 and 20 ft (got 0)"},
		{"--distance 6m --green 40", "(got 40)"},
		{"--distance 6m --green NaN", "(got NaN)"},
		{"--distance 6m --green fast", "must be a green speed in ft such as 9"},
		{"--distance -1 --green 9", "must be a length above zero"},
		{"--distance NaN --green 9", "must be a length above zero"},
		{"--distance 900m --green 9", "the distance must be between 0.1 and 40 m"},
		{"--distance 6m --green 12 --slope -4", "would not stop on this slope"},
		{"--distance 6m --green 12 --slope steep", "must be a number of degrees"},
		{"--distance 6m --up 8", "needs --up and --down"},
		{"--distance 6m --green 9 --runs uphill", "needs --up and --down"},
		{"--distance 6m --green 9 --head-speed 1.5", "not told from head speed alone"},
		{"--distance 6m --green 9 --rolled 3m", "write ball speed and distance"},
		{"--distance 6m --green 9 --ratio 0", "must be a number above zero"},
		{"--distance 6m --green 9 now", "takes no argument"},
	} {
		code, out, side := strokereel(append([]string{"budget"}, strings.Fields(c.args)...)...)
		if code != exitUsage || out != "" || !strings.Contains(side, c.want) || !strings.Contains(side, "try: strokereel budget --help") {
			t.Errorf("%s: code %d, %q %q", c.args, code, out, side)
		}
	}
}
