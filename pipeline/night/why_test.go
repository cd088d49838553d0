package night

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"strokereel/pipeline/sheet"
)

func TestWhy(t *testing.T) {
	b := newBox(t)
	b.lesson("a")
	want := func(due bool, words string, change func(*Job)) {
		t.Helper()
		j := b.job()
		if change != nil {
			change(&j)
		}
		all, err := Why(context.Background(), j)
		must(t, err)
		if len(all) != 1 || all[0].Due != due || !strings.Contains(all[0].String(), words) {
			t.Errorf("said %v, want %v and %q", all, due, words)
		}
	}
	want(true, "a is made: it was not made before", nil)
	if _, err := os.Stat(filepath.Join(b.out, "a")); err == nil {
		t.Error("asking made the lesson")
	}
	b.run()
	want(false, "a is not made again: nothing changed since", nil)
	want(true, "the settings of the film changed", func(j *Job) { j.ReelVersion = "2" })
	want(true, "the settings that before.mp4 is measured with changed", func(j *Job) { must(t, j.Settings.Set("track.marker.colour", "blue")) })
	must(t, os.Remove(filepath.Join(b.out, "a", "before-1", "report.json")))
	want(true, "files of its result are missing", nil)
	b.run()
	b.put("a/after 2.mp4", good)
	want(true, "the clip after 2.mp4 is new", nil)
	must(t, os.Remove(filepath.Join(b.in, "a", "after 2.mp4")))
	b.put("a/"+sheet.SheetFile, "student: S-014\n")
	want(true, "what is written about the lesson changed", nil)
	b.put("a/"+sheet.SheetFile, "student: [\n")
	want(false, "it waits for a person", nil)
}
