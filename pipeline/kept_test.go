package pipeline

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"strokereel/pipeline/demo/demotest"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
)

// What is kept of a clip is used only while nothing that it follows from has
// changed, and nothing of it is missing.
func TestKept(t *testing.T) {
	file, _ := demotest.Film(t, demotest.CloseUp(t, "clean"))
	dir, s := t.TempDir(), settings.Default()
	r := measured(t, file)
	if err := r.Save(context.Background(), file, dir, s); err != nil {
		t.Fatal(err)
	}
	f, ok := Kept(file, dir, s, sheet.Correction{})
	if !ok || len(f.Report.Strokes) != 1 || f.File != file || len(f.Observed) != len(r.Observed) {
		t.Fatalf("kept %v: %d strokes, %d objects, want %d", ok, len(f.Report.Strokes), len(f.Observed), len(r.Observed))
	}
	blue := s
	blue.Track.Marker.Colour = "blue"
	renamed := filepath.Join(filepath.Dir(file), "other.mp4")
	copyTo := func(to, from string, more ...byte) {
		t.Helper()
		data, err := os.ReadFile(from)
		if err == nil {
			err = os.WriteFile(to, append(data, more...), 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	copyTo(renamed, file)
	for _, c := range []struct {
		name, file string
		s          settings.Settings
		fix        sheet.Correction
		spoil      string // a file of the results that is taken away
	}{
		{"other settings", file, blue, sheet.Correction{}, ""},
		{"another name", renamed, s, sheet.Correction{}, ""},
		{"another top", file, s, sheet.Correction{Strokes: []sheet.Stroke{{At: 1, Events: map[string]float64{"top": 1.2}}}}, ""},
		{"no clip", file + "x", s, sheet.Correction{}, ""},
		{"no path", file, s, sheet.Correction{}, PathFile},
		{"no tracks", file, s, sheet.Correction{}, TrackFile},
		{"no report", file, s, sheet.Correction{}, ReportFile},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.spoil != "" {
				path := filepath.Join(dir, c.spoil)
				aside := filepath.Join(t.TempDir(), c.spoil)
				copyTo(aside, path)
				if err := os.Remove(path); err != nil {
					t.Fatal(err)
				}
				defer copyTo(path, aside)
			}
			if _, ok := Kept(c.file, dir, c.s, c.fix); ok {
				t.Error("it was taken")
			}
		})
	}
	if _, ok := Kept(file, dir, s, sheet.Correction{}); !ok {
		t.Error("put back, it was not taken")
	}
	copyTo(file, file, 0)
	if _, ok := Kept(file, dir, s, sheet.Correction{}); ok {
		t.Error("of other bytes it was taken")
	}
}
