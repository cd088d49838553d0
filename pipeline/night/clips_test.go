package night

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"strokereel/pipeline/demo"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// emptyBox may stand at the end of an mp4 file: another file, the same film
// (ISO/IEC 14496-12, 8.1.2).
const emptyBox = "\x00\x00\x00\x08free"

// TestRealClips measures a rendered clip of 720p twice, beside one cut short and
// a text with the name of a clip.
func TestRealClips(t *testing.T) {
	b := newBox(t)
	spec, err := demo.Case("low-rate", 1)
	must(t, err)
	st := &spec.Strokes[0] // two seconds are enough for a stroke and quickly drawn
	st.Onset, st.BackTime, st.DownTime, st.Pause, st.Waggles = 0.7, 0.45, 0.22, 0, nil
	spec.Duration = 2
	path := filepath.Join(t.TempDir(), "clip.mp4")
	must(t, demo.Render(context.Background(), spec, path))
	clip, err := os.ReadFile(path)
	must(t, err)
	must(t, os.Mkdir(filepath.Join(b.in, "S-014"), 0o755))
	for name, data := range map[string][]byte{"before.mp4": clip, "after.mp4": append(clip[:len(clip):len(clip)], emptyBox...), "after 2.mp4": clip[:len(clip)/3]} {
		must(t, os.WriteFile(filepath.Join(b.in, "S-014", name), data, 0o644))
	}
	data, err := os.ReadFile(demo.TruthPath(path))
	must(t, err)
	var truth demo.Truth
	must(t, json.Unmarshal(data, &truth))
	b.put("S-014/after 3.mp4", "not a film")
	copied := filepath.Join(b.in, "S-014", "from a messenger after.mp4")
	if out, err := exec.Command("ffmpeg", "-v", "error", "-i", path, "-vf", "scale=640:360", "-crf", "36", "-an", copied).CombinedOutput(); err != nil {
		t.Fatalf("ffmpeg: %v: %s", err, out)
	}
	const marked = 0.75 // s, near the start of the stroke
	b.put("S-014/corrections.yaml", fmt.Sprintf("clips:\n  before.mp4:\n    strokes:\n      events_s: {start: %v}\n", marked))
	originals := tree(t, b.in)

	j := b.job()
	j.measure, j.Settings.Night.ClipTime = nil, 20
	m, err := Run(context.Background(), j)
	must(t, err)
	wantStates(t, m, "S-014=done+2")
	if notes := strings.Join(m.Lessons[0].Notes, " "); !strings.Contains(notes, "from a messenger after.mp4 is left out: it is the film ") {
		t.Errorf("notes %q", notes)
	}
	if len(m.Lessons[0].Result.Films) != 1 {
		t.Errorf("films %v", m.Lessons[0].Result.Films)
	}
	for _, c := range m.Lessons[0].Result.Clips {
		if c.State != usable {
			continue
		}
		dir := filepath.Join(b.out, "S-014", c.Folder)
		r, err := readReport(filepath.Join(dir, "report.json"))
		must(t, err)
		if _, err := os.Stat(filepath.Join(dir, pictureFile)); err != nil {
			t.Error(err)
		}
		if got, want := impactOf(t, r), *truth.Strokes[0].Events["impact"]; math.Abs(got-want) > 1/60. {
			t.Errorf("%s: impact at %.4f s, want %.4f s within a frame", c.Name, got, want)
		}
	}
	wantMarked := func() {
		t.Helper()
		r, err := readReport(filepath.Join(b.out, "S-014", "before-1", "report.json"))
		must(t, err)
		start := r.Strokes[0].Events[track.Start]
		if start.TS == nil || *start.TS != marked || len(start.Witnesses) == 0 || start.Witnesses[0].Name != "person" {
			t.Errorf("a person's start is not in the report: %+v", start)
		}
	}
	wantMarked()
	for name, hash := range tree(t, b.in) {
		if originals[name] != hash {
			t.Errorf("%s has changed", name)
		}
	}
	if m, err = Run(context.Background(), j); err != nil || states(m) != "S-014=unchanged+2" {
		t.Errorf("the second night ended with %s, %v", states(m), err)
	}
	must(t, j.Settings.Set("track.phase.min_back", "16")) // everything is measured again
	if m, err = Run(context.Background(), j); err != nil || states(m) != "S-014=done+2" {
		t.Errorf("the third night ended with %s, %v", states(m), err)
	}
	wantMarked()
}

func impactOf(t *testing.T, r lesson.Report) float64 {
	t.Helper()
	for _, s := range r.Strokes {
		if e := s.Events[track.Impact]; s.Kind == track.Putt && e.TS != nil {
			return *e.TS
		}
	}
	t.Fatalf("no impact in the report: %+v", r.Warnings)
	return 0
}
