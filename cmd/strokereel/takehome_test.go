package main

import (
	"bytes"
	"context"
	"image/jpeg"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"strokereel/pipeline/demo"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/practice"
	"strokereel/pipeline/site"
	"strokereel/pipeline/site/sitetest"
	"strokereel/track"
)

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func text(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	must(t, err)
	return string(data)
}

// putt draws a clip of two seconds with one putt.
func putt(t *testing.T) []byte {
	t.Helper()
	spec, err := demo.Case("low-rate", 1)
	must(t, err)
	st := &spec.Strokes[0]
	st.Onset, st.BackTime, st.DownTime, st.Pause, st.Waggles = 0.7, 0.45, 0.22, 0, nil
	spec.Duration = 2
	path := filepath.Join(t.TempDir(), "clip.mp4")
	must(t, demo.Render(context.Background(), spec, path))
	return []byte(text(t, path))
}

// takeHome is an inbox with a lesson of drawn clips, and its outbox.
type takeHome struct {
	t       *testing.T
	in, out string
}

func (h takeHome) put(name, text string) {
	h.t.Helper()
	must(h.t, os.WriteFile(filepath.Join(h.in, "S-014", name), []byte(text), 0o644))
}

// night makes the lesson, with a film as short as can be.
func (h takeHome) night() (code int, side string) {
	h.t.Helper()
	args := []string{"night", h.in, h.out, "--shape", "wide"}
	for _, s := range []string{"opening=0.5", "closing=0.5", "stop=0.05", "compared=0.05", "lead=0.1", "tail=0.1", "most_tail=0.2", "slowest=1", "rate=24"} {
		args = append(args, "--set", "reel."+s)
	}
	code, _, side = strokereel(args...)
	return code, side
}

func (h takeHome) comparison() lesson.Comparison {
	h.t.Helper()
	c, err := lesson.ReadComparison(strings.NewReader(text(h.t, filepath.Join(h.out, "S-014", "lesson.json"))))
	must(h.t, err)
	return c
}

// TestTakeHome follows a lesson of drawn clips: what the coach wishes on its sheet
// comes back as budgets, on the practice sheet, from the morning page and on the
// student's page; and goes when there is no clip to practise after.
func TestTakeHome(t *testing.T) {
	dir := t.TempDir()
	h := takeHome{t, filepath.Join(dir, "in"), filepath.Join(dir, "out")}
	must(t, sitetest.Card(h.in, "S-014", "2099-12-31"))
	clip := putt(t)
	h.put("before.mp4", string(clip))
	// An empty box at the end: another file, the same film (ISO/IEC 14496-12, 8.1.2).
	h.put("after.mp4", string(clip)+"\x00\x00\x00\x08free")
	h.put("lesson.yaml", "student: S-014\ndate: 2026-01-17\ngreen_speed_ft: 9\nwanted_distances_m: [2, 5]\nwanted_through_to_back: 1.2\nwanted_backstroke_m: 0.15\n")
	if code, side := h.night(); code != exitDone {
		t.Fatalf("code %d: %s", code, side)
	}
	t.Run("budgets of the wishes", func(t *testing.T) {
		r := h.comparison().Rolling
		if r == nil || len(r.Budgets) != 6 || len(r.Rolls) != 2 || r.Rolls[1].Predicted.Status != track.Predicted {
			t.Fatalf("rolling %+v", r)
		}
		own, ratio, short := r.Budgets[0].Values, r.Budgets[1].Values, r.Budgets[2].Values
		if r.Budgets[2].DistanceM != 2 || *short["backstroke_length"].Value != 0.15 || *short["ball_speed"].Value != *own["ball_speed"].Value {
			t.Errorf("the wish for a backstroke of 15 cm became %+v", r.Budgets[2])
		}
		if q := *ratio["follow_through_length"].Value / *ratio["backstroke_length"].Value; q < 1.19 || q > 1.21 {
			t.Errorf("the wish for a ratio of 1.2 became %g", q)
		}
	})
	t.Run("the practice sheet", func(t *testing.T) {
		page := text(t, filepath.Join(h.out, "S-014", practice.PageFile))
		for _, want := range []string{"Practice: S-014", "For a putt of 2 m with a backstroke of 15 cm", "15 cm behind", `<th scope="row">5 m</th>`, "data:image/jpeg;base64,", "data:audio/wav;base64,", "ask a professional"} {
			if !strings.Contains(page, want) {
				t.Errorf("the page lacks %q", want)
			}
		}
		if _, err := jpeg.Decode(bytes.NewReader([]byte(text(t, filepath.Join(h.out, "S-014", practice.PictureFile))))); err != nil {
			t.Error(err)
		}
	})
	t.Run("the morning page leads there", func(t *testing.T) {
		if !strings.Contains(text(t, filepath.Join(h.out, "morning.html")), `href="./S-014/practice.html"`) ||
			!strings.Contains(text(t, filepath.Join(h.out, "morning.txt")), "practice sheet: S-014/practice.html") {
			t.Error("it does not")
		}
	})
	t.Run("the student's page", func(t *testing.T) { h.published(filepath.Join(dir, "shelf")) })
	t.Run("without a clip after", func(t *testing.T) {
		h.put("corrections.yaml", "clips: {after.mp4: {unusable: true}}\n")
		if code, side := h.night(); code != exitSomeFailed {
			t.Fatalf("code %d: %s", code, side)
		}
		for _, name := range practice.Files() {
			if _, err := os.Stat(filepath.Join(h.out, "S-014", name)); err == nil {
				t.Errorf("%s is still there", name)
			}
		}
		if strings.Contains(text(t, filepath.Join(h.out, "morning.html")), practice.PageFile) {
			t.Error("the morning page leads to a sheet that is gone")
		}
	})
}

// published puts the lesson on a shelf and looks at the student's page of it.
func (h takeHome) published(place string) {
	t := h.t
	if code, out, side := strokereel("publish", h.out, place, "--cards", h.in); code != exitDone {
		t.Fatalf("code %d: %s%s", code, out, side)
	}
	paths := map[string]string{} // by how names begin
	must(t, filepath.WalkDir(place, func(path string, d fs.DirEntry, err error) error {
		for _, begin := range []string{site.SheetName, "lines", "rhythm"} {
			if strings.HasPrefix(d.Name(), begin) {
				paths[begin] = path
			}
		}
		return err
	}))
	if len(paths) != 3 {
		t.Fatalf("the shelf has only %v", paths)
	}
	page := text(t, filepath.Join(filepath.Dir(paths[site.SheetName]), site.Index))
	for _, path := range paths {
		if !strings.Contains(page, `"`+filepath.Base(path)+`"`) {
			t.Errorf("the lesson's page does not lead to %s", path)
		}
	}
	sheet := text(t, paths[site.SheetName])
	for _, want := range []string{"noindex", "img-src data:; media-src data:", "data:image/jpeg;base64,", "15 cm behind"} {
		if !strings.Contains(sheet, want) {
			t.Errorf("the published sheet lacks %q", want)
		}
	}
}
