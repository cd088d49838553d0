package main

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"strokereel/pipeline/demo"
)

// closeUps films short strokes of club and ball alone into a folder, with the
// truth beside each: two with a sticker of one colour, one with another.
func closeUps(t *testing.T, dir string) {
	t.Helper()
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for seed, name := range []string{"S-014", "S-015", "S-016"} {
		s, err := demo.Case("clean", seed+1)
		if err != nil {
			t.Fatal(err)
		}
		const distance, rise = 3.0, 0.8
		s.Camera = demo.Camera{Width: 800, Height: 352, FocalMM: 56, Distance: distance, Rise: rise, Pitch: -math.Atan2(rise-0.12, distance) * 180 / math.Pi, Aside: 0.03}
		s.Video.BitRate, s.Player.Present, s.Duration = 6e6, false, 2.7
		s.Putter.StickerName, s.Putter.StickerRGB = "red", [3]float32{0.6, 0.04, 0.04}
		if name == "S-016" {
			s.Putter.StickerName, s.Putter.StickerRGB = "blue", [3]float32{0.03, 0.1, 0.55}
		}
		st := &s.Strokes[0]
		st.Waggles, st.Onset, st.Pause, st.Back, st.BackTime, st.DownTime, st.Through = nil, 0.7, 0, 0.25, 0.6, 0.3, 0.3
		st.Loss, st.Hold, st.Return, st.ReturnIn = 0.2, 0.2, 0.06, 0.3
		if err := demo.Render(context.Background(), s, filepath.Join(dir, name+".mp4")); err != nil {
			t.Fatal(err)
		}
	}
}

// TestAnalystsEvening goes the analyst's way from one command to the next on three
// drawn clips.
func TestAnalystsEvening(t *testing.T) {
	if testing.Short() {
		return
	}
	t.Chdir(t.TempDir())
	closeUps(t, "clips")
	do := func(code int, want []string, args ...string) {
		t.Helper()
		got, out, side := strokereel(args...)
		if got != code {
			t.Fatalf("%v: code %d, want %d\n%s%s", args, got, code, out, side)
		}
		for _, w := range want {
			if !strings.Contains(out+side, w) {
				t.Errorf("%v: want %q in\n%s%s", args, w, out, side)
			}
		}
	}
	const off = "track.body.model=off"
	do(exitDone, []string{"of 3 clips: 3 measured, 0 done before, 0 without results"}, "measure", "--run", "plain", "--set", off, "clips")
	do(exitDone, []string{"0 measured, 3 done before"}, "measure", "--run", "plain", "--set", off, "clips")
	do(exitDone, []string{"of 3 clips: 3 measured, 0 done before, 0 without results"}, "measure", "--run", "red", "--set", off, "--set", "track.marker.colour=red", "clips")

	// Only the clip of the other sticker is worse, and better the other way round.
	do(exitDone, []string{"track.marker.colour: auto -> red", "worse: 1 clip\n  S-016.mp4", "better: no clip"}, "compare", "plain", "red", "--truth", "--out", "seen")
	do(exitDone, []string{"worse: no clip", "better: 1 clip\n  S-016.mp4"}, "compare", "red", "plain", "--truth")
	for _, name := range []string{"compare.html", "lines.csv", "clips.csv", "values.csv"} {
		if data, err := os.ReadFile(filepath.Join("seen", name)); err != nil || !strings.Contains(string(data), "S-016") && name != "lines.csv" {
			t.Errorf("%s: %v, %d bytes", name, err, len(data))
		}
	}

	// A report holds what repeats it.
	do(exitDone, []string{"the report is the same as runs/red/S-014.mp4/report.json"}, "measure", "clips/S-014.mp4", "--like", "runs/red/S-014.mp4/report.json", "--out", "again")
	do(exitDone, []string{"the report differs"}, "measure", "clips/S-015.mp4", "--like", "runs/red/S-014.mp4/report.json", "--out", "again")

	// No sticker stands out enough for the profile given; the tuning finds back, and
	// has nothing to do the second time.
	grid := []string{"tune", "--set", off, "--set", "track.marker.min_contrast=110", "--over", "track.marker.min_contrast=14,110", "clips", "--truth"}
	do(exitDone, []string{"6 measured, 0 done before", "min_contrast=14 is better than given", "on 3 clips left out", "runs/tune/min_contrast=14/settings.yaml"}, grid...)
	do(exitDone, []string{"0 measured, 6 done before", "min_contrast=14 is better than given"}, grid...)

	do(exitDone, []string{"marked"}, "labels", "draft", "plain", "--out", "marked", "--frames", "2", "--prefill")
	do(exitDone, []string{"putter", "6     0", "impact"}, "labels", "agree", "marked", "marked")
	do(exitDone, []string{"worse: 1 clip\n  S-016.mp4"}, "compare", "plain", "red", "--labels", "marked")
	do(exitDone, []string{"tables of 3 clips are in tables"}, "export", "runs/plain", "--out", "tables")

	// What a person put right counts for a clip; a run shows what its settings find.
	corrections := "clips:\n  S-014.mp4: {strokes: {events_s: {start: 0.69}}}\n  S-015.mp4: {unusable: true}\n"
	if err := os.WriteFile("clips/corrections.yaml", []byte(corrections), 0o644); err != nil {
		t.Fatal(err)
	}
	do(exitDone, nil, "measure", "clips/S-014.mp4", "--set", off, "--out", "corrected")
	do(exitSomeFailed, []string{"S-015.mp4: is left out: a person marked it unusable"}, "measure", "--run", "uncorrected", "--set", off, "clips")
	for path, want := range map[string]bool{"corrected/report.json": true, "runs/uncorrected/S-014.mp4/report.json": false} {
		if data, err := os.ReadFile(path); err != nil || bytes.Contains(data, []byte(`"person"`)) != want {
			t.Errorf("%s: %v; a person's word is in it: %v, want %v", path, err, !want, want)
		}
	}
	do(exitNoStart, []string{"is marked unusable in corrections.yaml"}, "measure", "clips/S-015.mp4", "--out", "unusable")
}

func TestAnalystsCommandsSayWhatIsMissing(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		args string
		code int
		want string
	}{
		{"measure --run plain", exitUsage, "name the clips of the run"},
		{"measure a.mp4 b.mp4 --out x", exitUsage, "give the run of several a name"},
		{"measure a.mp4 --out x --like none.json", exitNoStart, "reading the report"},
		{"measure --run plain " + dir, exitNoStart, "there is no clip in"},
		{"compare plain", exitUsage, "name two runs (got 1)"},
		{"compare plain late --truth --labels x", exitUsage, "give one"},
		{"compare plain late --pixel-centre 1", exitUsage, "must be 0 or 0.5"},
		{"compare plain late --in " + dir, exitNoStart, "there is no run \"plain\""},
		{"tune clips --truth", exitUsage, "say what to try"},
		{"tune --over track.phase.stop_distance=1,2 clips", exitUsage, "say what really happened"},
		{"tune --over track.phase.stop_distance clips --truth", exitUsage, "write key=a,b,c"},
		{"tune --over track.phase.stopdistance=1 clip --truth", exitUsage, "did you mean"},
		{"labels draft plain", exitUsage, "--out DIR"},
		{"labels agree a", exitUsage, "the labels of two people"},
		{"export " + dir, exitUsage, "--out DIR"},
		{fmt.Sprintf("export %s --out %s/x", dir, dir), exitNoStart, "there are no results in"},
	} {
		if code, out, side := strokereel(strings.Fields(c.args)...); code != c.code || !strings.Contains(side, c.want) {
			t.Errorf("%s: code %d, want %d; said %q %q, want %q", c.args, code, c.code, out, side, c.want)
		}
	}
}
