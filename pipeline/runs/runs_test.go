package runs

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"strokereel/pipeline"
	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
)

// studio is a folder of clips, with a measurer that reads no pictures.
type studio struct {
	t        *testing.T
	dir      string
	measured []string // names of clips, in order
	after    func()   // each clip
}

func newStudio(t *testing.T, names ...string) *studio {
	s := &studio{t: t, dir: t.TempDir()}
	for _, n := range names {
		s.put("clips/"+n, "film "+n)
	}
	return s
}

func (s *studio) put(name, text string) {
	s.t.Helper()
	path := filepath.Join(s.dir, filepath.FromSlash(name))
	if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, []byte(text), 0o644)); err != nil {
		s.t.Fatal(err)
	}
}

func (s *studio) measure(c pipeline.Reading, ctx context.Context, set settings.Settings) (*pipeline.Result, error) {
	file := c.File
	if strings.Contains(file, "broken") {
		return nil, &clip.Refusal{Code: clip.Unreadable, File: file, Text: "is damaged", Hint: "copy it again"}
	}
	s.measured = append(s.measured, filepath.Base(file))
	if s.after != nil {
		s.after()
	}
	return &pipeline.Result{Report: lesson.Report{Schema: lesson.ReportSchema, Clip: lesson.Clip{File: filepath.Base(file), SHA256: c.SHA256},
		Strokes: []lesson.Stroke{}, Warnings: []lesson.Warning{}, MadeBy: lesson.MadeBy{Changed: set.Changed(settings.Measuring()...)}}}, ctx.Err()
}

// run measures all clips into a run and returns how many were measured now.
func (s *studio) run(name string, sets ...string) (*Run, int, error) {
	s.t.Helper()
	clips, err := Find(filepath.Join(s.dir, "clips"))
	if err != nil {
		s.t.Fatal(err)
	}
	s.measured = nil
	all, err := Measure(context.Background(), Job{Dir: filepath.Join(s.dir, "runs"), Clips: clips, Lanes: 1, measure: s.measure,
		Today: time.Date(2026, 1, 17, 0, 0, 0, 0, time.UTC), Profiles: []Profile{{name, settings.Default(), sets}}})
	if err != nil {
		return nil, len(s.measured), err
	}
	return all[0], len(s.measured), nil
}

func (s *studio) must(name string, want int, sets ...string) *Run {
	s.t.Helper()
	r, n, err := s.run(name, sets...)
	if err != nil {
		s.t.Fatal(err)
	}
	if n != want {
		s.t.Errorf("run %s with %v: %d clips measured, want %d", name, sets, n, want)
	}
	return r
}

func TestRunDoesOnlyWhatChanged(t *testing.T) {
	s := newStudio(t, "a.mp4", "S-014/before.mp4", "S-014/after.mp4", "notes.txt", ".trash/old.mp4")
	r := s.must("plain", 3)
	s.must("plain", 0)
	s.must("other", 3, "track.phase.stop_distance=3")
	s.put("clips/a.mp4", "another film")
	s.must("plain", 1)
	s.must("plain", 3, "track.phase.stop_distance=3")
	s.must("plain", 3)

	again, err := Open(filepath.Join(s.dir, "runs"), "plain")
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range again.Clips {
		names = append(names, e.Name)
		if _, _, err := again.Report(e); err != nil {
			t.Error(err)
		}
	}
	if want := []string{"S-014/after.mp4", "S-014/before.mp4", "a.mp4"}; !slices.Equal(names, want) {
		t.Errorf("clips %v, want %v", names, want)
	}
	if again.Settings != r.Settings || len(again.Changed) != 0 {
		t.Errorf("the run says settings %s, %v", again.Settings, again.Changed)
	}
}

func TestBrokenOffRunGoesOn(t *testing.T) {
	s := newStudio(t, "a.mp4", "b.mp4", "c.mp4")
	s.after = func() {
		if len(s.measured) == 2 {
			panic("pulled the plug")
		}
	}
	r := s.must("plain", 3)
	if e := r.Clips[1]; !strings.Contains(e.Failed, "pulled the plug") || r.Clips[0].Failed != "" || r.Clips[2].Failed != "" {
		t.Errorf("clips %+v", r.Clips)
	}
	if _, _, err := r.Report(r.Clips[1]); err == nil {
		t.Error("a clip that failed has a report")
	}
	s.after = nil
	s.must("plain", 1)
}

func TestRunTakesTheSheetAndSetsWin(t *testing.T) {
	s := newStudio(t, "S-014/before.mp4")
	s.put("clips/S-014/lesson.yaml", "sticker_colour: blue\n")
	colour := func(r *Run) string {
		t.Helper()
		report, _, err := r.Report(r.Clips[0])
		if err != nil {
			t.Fatal(err)
		}
		return report.MadeBy.Changed["track.marker.colour"]
	}
	if got := colour(s.must("sheet", 1)); got != "blue" {
		t.Errorf("colour %q, want the sheet's", got)
	}
	if got := colour(s.must("set", 1, "track.marker.colour=red")); got != "red" {
		t.Errorf("colour %q, want the one that was set", got)
	}
}

func TestClipsThatFailAreNamedAndTheOthersGoOn(t *testing.T) {
	s := newStudio(t, "a.mp4", "broken.mp4", "S-015/after.mp4")
	s.put("clips/S-015/student.yaml", "student: S-015\nage: adult\nconsent:\n  bench: {given: no, by: S-015, on: 2026-01-10}\n")
	r := s.must("plain", 1)
	failed := map[string]string{}
	for _, e := range r.Clips {
		failed[e.Name] = e.Failed
	}
	if failed["a.mp4"] != "" || failed["broken.mp4"] != "is damaged: copy it again" || !strings.Contains(failed["S-015/after.mp4"], "consent to bench was refused") {
		t.Errorf("failed: %v", failed)
	}
}

func TestRunRefusesWhatIsNotIts(t *testing.T) {
	s := newStudio(t, "a.mp4")
	s.put("runs/mine/diary.txt", "dear diary")
	if _, _, err := s.run("mine"); err == nil || !strings.Contains(err.Error(), "in the way") {
		t.Errorf("a folder of other things is taken for a run: %v", err)
	}
	for _, name := range []string{"", "a/b", ".seen", ".."} {
		if _, _, err := s.run(name); err == nil {
			t.Errorf("%q is taken for a name", name)
		}
	}
	s.must("plain", 1)
	held, err := hold(filepath.Join(s.dir, "runs", "plain"))
	if err != nil {
		t.Fatal(err)
	}
	defer held.Close()
	if _, _, err := s.run("plain"); err == nil || !strings.Contains(err.Error(), "another process") {
		t.Errorf("two processes measure one run: %v", err)
	}
	if _, err := Open(s.dir, "none"); err == nil {
		t.Error("a run that is not there is opened")
	}
}

func TestFindRefusesTwoClipsOfOneName(t *testing.T) {
	s := newStudio(t, "S-014/before.mp4", "S-015/before.mp4")
	at := func(n string) string { return filepath.Join(s.dir, "clips", n) }
	if _, err := Find(at("S-014"), at("S-015")); err == nil || !strings.Contains(err.Error(), "name a folder that holds both") {
		t.Errorf("got %v", err)
	}
	if c, err := Find(at("S-014/before.mp4")); err != nil || len(c) != 1 || c[0].Name != "before.mp4" {
		t.Errorf("one file: %v, %v", c, err)
	}
	if _, err := Find(t.TempDir()); err == nil {
		t.Error("an empty folder is fine")
	}
}
