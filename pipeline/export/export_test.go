package export

import (
	"bytes"
	"context"
	"encoding/csv"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"strokereel/pipeline/lesson"
	"strokereel/track"
	"strokereel/track/measure"
)

// python is Debian's: its packages are installed by scripts/setup --test.
const python = "/usr/bin/python3"

// outbox is a folder of results with all that a report can hold.
func outbox(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	n := lesson.Number
	full := lesson.Report{
		Schema: lesson.ReportSchema,
		Clip: lesson.Clip{File: "before, \"first\".mp4", SHA256: strings.Repeat("0a", 32), Width: 1920, Height: 1080, Frames: 3, DurationS: 0.05,
			CaptureRate: "60000/1001", Handedness: "right", HandednessSource: "ball", View: "face-on"},
		Camera:   lesson.Camera{ShakePx: lesson.Estimate{Value: n(0.25), U95: n(0.5), Source: "measured"}, Ruler: &lesson.Ruler{From: "ball", PxPerM: 512.34567, U95: 4.5, Plane: "marker"}},
		Warnings: []lesson.Warning{{Code: "low_rate", Text: "30 frames/s:\nset the phone to 60"}},
		MadeBy:   lesson.MadeBy{Version: "0.1.0", Settings: "0123456789abcdef", Changed: map[string]string{"track.marker.colour": "none", "track.phase.stop_distance": "2.50"}},
		Strokes: []lesson.Stroke{
			{Index: 0, Kind: track.Practice, Events: map[string]lesson.Event{track.Start: {TS: n(0), U95S: n(0.00412), Status: track.Measured}}, Measures: map[string]lesson.Measure{}},
			{Index: 1, Kind: track.Putt,
				Events: map[string]lesson.Event{
					track.Impact: {TS: n(2.39321), U95S: n(0.00091), Status: track.Measured, Witnesses: []lesson.Witness{{Name: "ball", TS: 2.39318, U95S: 0.001}, {Name: "sound", TS: 2.4, U95S: 0.04}}},
					track.Stop:   {Status: track.NotMeasured, Reason: "the sticker was hidden"},
				},
				Measures: map[string]lesson.Measure{
					"backstroke_length": {Value: n(0.241235), Unit: "m", U95: n(0.0031), Status: track.Measured, How: "along the line"},
					"hold_time":         {Value: n(1.5), Unit: "s", U95: n(0.02), Status: track.AtLeast},
					"roll_distance":     {Value: n(3.1), Unit: "m", Lo95: n(2.7), Hi95: n(3.6), Status: track.Predicted},
					"tempo":             {Unit: "1", Status: track.NotMeasured, Reason: "no top"},
					"y_kept":            {Word: "too_close", Status: track.Measured},
				},
				Uncertainty: map[string]lesson.Uncertainty{"backstroke_length": {U: 0.005, K: 1.96, Terms: []lesson.Term{
					{Name: "scale", Unit: "px/m", Value: 512.3, U: 2, Sensitivity: 0.002, Share: 0.64}, {Name: "place", Unit: "px", Value: 120, U: 1.5, Sensitivity: 0.002, Share: 0.36}}}}},
		},
	}
	tr := track.Track{Object: track.Putter, Samples: []track.Sample{{Frame: 0, X: 885.7725, Y: 902.75, U: 0.05, Seen: true}, {Frame: 1, T: 0.016667}, {Frame: 2, T: 0.033333, X: 880, Y: 902, U: 0.06, Seen: true}}}
	path := track.Path{Object: track.Putter, Points: []track.Point{{Frame: 0, X: 0.0000275, Y: -1e-7, Seen: true}}}
	put(t, filepath.Join(dir, "S-014", "before-1"), full, lesson.Observed{Track: tr, Path: path})
	refused := lesson.Report{Schema: lesson.ReportSchema, Clip: lesson.Clip{File: "after.mp4", Frames: 2}, Strokes: []lesson.Stroke{}, Warnings: []lesson.Warning{{Code: "no_ball", Text: "no ball"}}}
	put(t, filepath.Join(dir, "S-014", "after-1"), refused)
	put(t, filepath.Join(dir, ".work", "kept"), full)
	return dir
}

func put(t *testing.T, dir string, r lesson.Report, objects ...lesson.Observed) {
	t.Helper()
	data, err := r.Marshal()
	if err != nil {
		t.Fatal(err)
	}
	var tracks bytes.Buffer
	if err := lesson.WriteTracks(&tracks, objects); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{"report.json": data, "track.csv": tracks.Bytes()}
	if len(objects) > 0 {
		files["path.csv"] = tracks.Bytes()
	}
	for name, b := range files {
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func exported(t *testing.T, folder string) string {
	t.Helper()
	all, err := Find(folder)
	if err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "tables")
	if err := Write(context.Background(), all, out, true, nil); err != nil {
		t.Fatal(err)
	}
	return out
}

// TestAnotherProgramReadsTheTables has tables and reports compared by a program
// that shares nothing with this one.
func TestAnotherProgramReadsTheTables(t *testing.T) {
	folder := outbox(t)
	tables := exported(t, folder)
	// The results in the hidden folder are copies: not exported, and not compared.
	if err := os.RemoveAll(filepath.Join(folder, ".work")); err != nil {
		t.Fatal(err)
	}
	reread := func() (string, error) {
		out, err := exec.Command(python, "testdata/reread.py", tables, folder).CombinedOutput()
		return string(out), err
	}
	if out, err := reread(); err != nil || !strings.Contains(out, "of 2 reports compared, 0 differ") {
		t.Fatalf("%v (scripts/setup --test installs what it needs)\n%s", err, out)
	}
	// It must bark, at a digit and at a row.
	for _, c := range []struct{ file, from, to string }{
		{"measures.csv", "0.24124", "0.24125"},
		{"tracks.csv", "885.773", "885.774"},
		{"events.csv", "S-014/before-1,1,practice,start,0,0.00412,measured,\n", ""},
	} {
		path := filepath.Join(tables, c.file)
		good, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		bad := bytes.Replace(good, []byte(c.from), []byte(c.to), 1)
		if bytes.Equal(good, bad) {
			t.Errorf("%s holds no %q:\n%s", c.file, c.from, good)
			continue
		}
		if err := os.WriteFile(path, bad, 0o644); err != nil {
			t.Fatal(err)
		}
		if out, err := reread(); err == nil {
			t.Errorf("%s with %q for %q passes: %s", c.file, c.to, c.from, out)
		}
		if err := os.WriteFile(path, good, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func TestEveryNameIsInTheDictionary(t *testing.T) {
	f, err := os.Open(filepath.Join(exported(t, outbox(t)), DictionaryFile))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range append(slices.Clone(track.EventNames), measure.Names()...) {
		if !slices.ContainsFunc(rows, func(r []string) bool { return r[2] == name && r[4] != "" }) {
			t.Errorf("%s is not explained", name)
		}
	}
}

func TestFailedExportLeavesNothing(t *testing.T) {
	folder := outbox(t)
	if err := os.WriteFile(filepath.Join(folder, "S-014", "after-1", "track.csv"), []byte("no,tracks\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	all, err := Find(folder)
	if err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "tables")
	if err := Write(context.Background(), all, out, true, nil); err == nil || !strings.Contains(err.Error(), "after-1") {
		t.Errorf("got %v", err)
	}
	if left, err := os.ReadDir(out); err != nil || len(left) > 0 {
		t.Errorf("left %v, %v", left, err)
	}
	if _, err := Find(out); err == nil {
		t.Error("a folder without results is fine")
	}
	if _, err := Find(filepath.Join(folder, "S-014"), filepath.Join(folder, "S-014")); err == nil {
		t.Error("the same results twice are fine")
	}
}
