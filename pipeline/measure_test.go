package pipeline

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"strokereel/pipeline/demo"
	"strokereel/pipeline/demo/demotest"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track"
)

// measured reads a clip with the default settings.
func measured(t *testing.T, file string) *Result {
	t.Helper()
	r, err := Measure(context.Background(), file, settings.Default(), nil)
	if err != nil {
		t.Fatal(err)
	}
	keepsToSchema(t, r)
	for _, s := range r.Report.Strokes {
		if err := s.AddsUp(); err != nil {
			t.Errorf("stroke %d: %v", s.Index+1, err)
		}
	}
	return r
}

func keepsToSchema(t *testing.T, r *Result) {
	t.Helper()
	data, err := r.Report.Marshal()
	if err != nil {
		t.Fatal(err)
	}
	schema, err := jsonschema.UnmarshalJSON(bytes.NewReader(lesson.Schema))
	if err != nil {
		t.Fatal(err)
	}
	report, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("report.schema.json", schema); err != nil {
		t.Fatal(err)
	}
	if err := c.MustCompile("report.schema.json").Validate(report); err != nil {
		t.Errorf("the report breaks its schema: %v", err)
	}
}

// agrees compares the only stroke with the truth.
func agrees(t *testing.T, r *Result, truth demo.StrokeTruth) {
	t.Helper()
	if len(r.Report.Strokes) != 1 || r.Report.Strokes[0].Kind != track.Putt || r.Measured() != 1 {
		t.Fatalf("strokes %+v, want one putt; warnings %v", r.Report.Strokes, r.Report.Warnings)
	}
	got := r.Report.Strokes[0]
	for _, name := range []string{track.Start, track.Top, track.Impact, track.Stop, track.HoldEnd} {
		e, want := got.Events[name], *truth.Events[name]
		if e.TS == nil || e.Status != track.Measured {
			t.Errorf("%s is not measured: %+v", name, e)
		} else if math.Abs(*e.TS-want) > 1/60. {
			t.Errorf("%s at %.4f s, want %.4f s within a frame", name, *e.TS, want)
		}
	}
	for name, share := range map[string]float64{"backstroke_length": 0.04, "follow_through_length": 0.04, "ball_speed": 0.05, "tempo": 0.05} {
		m, want := got.Measures[name], truth.Measures[name].Value
		if m.Value == nil {
			t.Errorf("%s is not measured: %s", name, m.Reason)
		} else if math.Abs(*m.Value/want-1) > share {
			t.Errorf("%s is %.4f, want %.4f within %.0f %%", name, *m.Value, want, 100*share)
		}
	}
}

// u95 is a measure's half width of the interval.
func u95(t *testing.T, m lesson.Measure) float64 {
	t.Helper()
	if m.U95 == nil {
		t.Fatalf("no interval: %+v", m)
	}
	return *m.U95
}

// TestMeasureAPuttEitherWay films one putt and its mirror image.
func TestMeasureAPuttEitherWay(t *testing.T) {
	if testing.Short() {
		return
	}
	spec := demotest.CloseUp(t, "clean")
	file, truth := demotest.Film(t, spec)
	right := measured(t, file)
	agrees(t, right, truth.Strokes[0])
	if got := right.Report.Clip; got.Handedness != "right" || got.HandednessSource != "ball" || got.Frames != len(truth.Frames) {
		t.Errorf("clip %+v, want a right-hander's of %d frames", got, len(truth.Frames))
	}
	if got := right.Report.Camera.Ruler; got == nil || math.Abs(got.PxPerM/truth.MarkerPxPerM-1) > 0.02 || got.From != track.RulerBall {
		t.Errorf("ruler %+v, want %.1f px/m from the ball", got, truth.MarkerPxPerM)
	}
	if v := right.Verdict(); v.Usability != Usable {
		t.Errorf("verdict %v", v)
	}
	saves(t, right, file)
	repeats(t, right, file)
	measuresSlow(t, file, func(r *Result) { agrees(t, r, truth.Strokes[0]) })

	spec.Camera.Mirrored = true
	file, truth = demotest.Film(t, spec)
	left := measured(t, file)
	agrees(t, left, truth.Strokes[0])
	if got := left.Report.Clip.Handedness; got != "left" {
		t.Errorf("handedness %q of a left-hander", got)
	}
	for _, name := range []string{"backstroke_length", "follow_through_length", "ball_speed", "impact_speed", "tempo", "backstroke_time"} {
		a, b := right.Report.Strokes[0].Measures[name], left.Report.Strokes[0].Measures[name]
		if a.Value == nil || b.Value == nil {
			t.Errorf("%s is not measured either way: %+v, %+v", name, a, b)
		} else if math.Abs(*a.Value-*b.Value) > math.Hypot(u95(t, a), u95(t, b)) {
			t.Errorf("%s is %.4f to the right and %.4f to the left", name, *a.Value, *b.Value)
		}
	}
}

// saves checks the files of a result folder, and that a second Save replaces
// those of an earlier run and nothing else.
func saves(t *testing.T, r *Result, file string) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "before")
	want := []string{PathFile, ReportFile, "stroke-1-hold_end.png", "stroke-1-impact.png", "stroke-1-start.png", "stroke-1-stop.png", "stroke-1-top.png", TrackFile}
	save := func() {
		t.Helper()
		if err := r.Save(context.Background(), file, dir, settings.Default()); err != nil {
			t.Fatal(err)
		}
	}
	save()
	if got := filesIn(t, dir); !slices.Equal(got, want) {
		t.Errorf("saved %v, want %v", got, want)
	}
	for _, name := range []string{ReportFile, "stroke-2-top.png", "notes.txt"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte("of an earlier run"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	save()
	want = slices.Sorted(slices.Values(append(want, "notes.txt")))
	if got := filesIn(t, dir); !slices.Equal(got, want) {
		t.Errorf("after the second time: %v, want %v", got, want)
	}
	data, err := os.ReadFile(filepath.Join(dir, ReportFile))
	if err != nil {
		t.Fatal(err)
	}
	var report lesson.Report
	if err := json.Unmarshal(data, &report); err != nil || report.Clip.SHA256 != r.Report.Clip.SHA256 {
		t.Errorf("the report was not replaced: %v, %.60q", err, data)
	}
}

func filesIn(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	slices.Sort(out)
	return out
}

// TestMeasureRefuses films what cannot be measured: no stroke, and the reason.
func TestMeasureRefuses(t *testing.T) {
	if testing.Short() {
		return
	}
	for _, c := range []struct{ name, code string }{
		{"no-sticker", "no_sticker"}, {"no-ball", "no_ball"}, {"nobody", "nothing_moves"}, {"still", "nothing_moves"},
	} {
		t.Run(c.name, func(t *testing.T) {
			spec := demotest.CloseUp(t, c.name)
			spec.Duration = min(spec.Duration, 1.8) // the stroke up to the impact
			file, _ := demotest.Film(t, spec)
			r := measured(t, file)
			if len(r.Report.Strokes) != 0 || r.Measured() != 0 {
				t.Errorf("strokes given: %+v", r.Report.Strokes)
			}
			if !slices.ContainsFunc(r.Report.Warnings, func(w lesson.Warning) bool { return w.Code == c.code && w.Text != "" }) {
				t.Errorf("warnings %v, want the code %s", r.Report.Warnings, c.code)
			}
			if v := r.Verdict(); v.Usability != FilmAgain || len(v.Reasons) == 0 {
				t.Errorf("verdict %v, want to film again and why", v)
			}
		})
	}
}
