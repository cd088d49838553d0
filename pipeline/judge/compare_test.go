package judge

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"strokereel/pipeline/labels"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/runs"
	"strokereel/track"
)

// film is one clip of an invented run.
type film struct {
	name    string
	stop    float64 // s; 0: not measured
	speed   float64 // m/s
	shiftPx float64 // of the putter
}

// times of what really happened in every clip.
var times = map[string]float64{track.Start: 1, track.Top: 1.7, track.Impact: 2, track.Stop: 2.6}

// write makes a run as measure --run leaves it.
func write(t testing.TB, dir, name string, films []film) *runs.Run {
	t.Helper()
	r := &runs.Run{Schema: runs.Schema, Name: name, Changed: map[string]string{}, Dir: filepath.Join(dir, name)}
	if name != "plain" {
		r.Changed["track.phase.stop_distance"] = "4"
	}
	for _, f := range films {
		e := runs.Entry{Name: f.name, File: filepath.Join(dir, "clips", f.name), SHA256: f.name, Key: name + f.name}
		r.Clips = append(r.Clips, e)
		place := r.Folder(e)
		if err := os.MkdirAll(place, 0o755); err != nil {
			t.Fatal(err)
		}
		report := f.report()
		data, err := report.Marshal()
		if err != nil {
			t.Fatal(err)
		}
		save(t, filepath.Join(place, "report.json"), data)
		made, err := json.Marshal(runs.Made{Key: e.Key, Seconds: 2, Anew: true})
		if err != nil {
			t.Fatal(err)
		}
		save(t, filepath.Join(place, "made.json"), made)
		var b bytes.Buffer
		tr := track.Track{Object: track.Putter}
		for k := range 200 {
			tr.Samples = append(tr.Samples, track.Sample{Frame: k, T: float64(k) / 60, X: 500 + f.shiftPx, Y: 300, U: 0.1, Seen: true})
		}
		if err := lesson.WriteTracks(&b, []lesson.Observed{{Track: tr}}); err != nil {
			t.Fatal(err)
		}
		save(t, filepath.Join(place, "track.csv"), b.Bytes())
	}
	return r
}

func save(t testing.TB, path string, data []byte) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
}

func (f film) report() lesson.Report {
	s := lesson.Stroke{Index: 0, Kind: track.Putt, Events: map[string]lesson.Event{}, Measures: map[string]lesson.Measure{}}
	for name, at := range times {
		if name == track.Stop {
			at = f.stop
		}
		if at > 0 {
			s.Events[name] = lesson.Event{TS: lesson.Number(at), U95S: lesson.Number(0.004), Status: track.Measured}
		} else {
			s.Events[name] = lesson.Event{Status: track.NotMeasured, Reason: "hidden"}
		}
	}
	s.Measures["ball_speed"] = lesson.Measure{Value: lesson.Number(f.speed), Unit: "m/s", U95: lesson.Number(0.05), Status: track.Measured}
	return lesson.Report{Schema: lesson.ReportSchema, Clip: lesson.Clip{File: f.name, Frames: 200, DurationS: 200. / 60}, Strokes: []lesson.Stroke{s}, Warnings: []lesson.Warning{}}
}

// lessonClips are ten clips; the change is made to each.
func lessonClips(change func(k int, f *film)) []film {
	var out []film
	for k := range 10 {
		f := film{name: fmt.Sprintf("S-%03d/before.mp4", k), stop: times[track.Stop] + 0.001*float64(k%3), speed: 2}
		if change != nil {
			change(k, &f)
		}
		out = append(out, f)
	}
	return out
}

// marked is what a person marked in all of them.
func marks() Known {
	set := labels.NewSet()
	for _, f := range lessonClips(nil) {
		for name, at := range times {
			set.Moments[labels.Moment{Clip: f.name, Stroke: 1, Event: name}] = at
		}
		for _, frame := range []int{20, 60, 100} {
			set.Points[labels.Place{Clip: f.name, Frame: frame, Object: track.Putter}] = labels.Point{X: 500.2, Y: 300}
		}
		// Behind a shoe: nobody can say that the run is wrong there.
		set.Points[labels.Place{Clip: f.name, Frame: 140, Object: track.Putter}] = labels.Point{X: 700, Y: 300, Hidden: true}
	}
	return Known{Labels: &set}
}

func compared(t *testing.T, known Known, change func(k int, f *film)) *Comparison {
	t.Helper()
	dir := t.TempDir()
	c, err := Compare(context.Background(), write(t, dir, "plain", lessonClips(nil)), write(t, dir, "late", lessonClips(change)), known)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func lineOf(t *testing.T, c *Comparison, name string) Line {
	t.Helper()
	for _, l := range c.Lines {
		if l.Name == name {
			return l
		}
	}
	t.Fatalf("no line %q", name)
	return Line{}
}

func TestWorseRunIsCalledWorseAndItsClipsNamed(t *testing.T) {
	c := compared(t, marks(), func(k int, f *film) {
		switch {
		case k == 7:
			f.stop = 0
		case k >= 5:
			f.stop += 0.030
		}
	})
	if !strings.HasPrefix(c.Verdict(), "late is worse than plain") {
		t.Errorf("verdict: %s", c.Verdict())
	}
	var named []string
	for _, l := range c.Turned(worse) {
		named = append(named, l.Clip)
	}
	if got := strings.Join(named, " "); len(named) != 5 || !strings.Contains(got, "S-005") || !strings.Contains(got, "S-007") || strings.Contains(got, "S-004") {
		t.Errorf("worse: %v", named)
	}
	if l := lineOf(t, c, "stop"); l.Verdict(true) != worse || l.Lost != 1 || l.Diff.N != 9 || math.Abs(l.Diff.Mean-4*0.030/9) > 1e-9 {
		t.Errorf("stop: %+v, %s", l, l.Verdict(true))
	}
	if l := lineOf(t, c, "start"); l.Verdict(true) != asIs {
		t.Errorf("start: %s", l.Verdict(true))
	}
	if l := lineOf(t, c, "putter position"); math.Abs(l.A-0.2/math.Sqrt2) > 1e-6 {
		t.Errorf("the putter is off by %.3f px an axis, want 0.141: hidden marks must not count", l.A)
	}
	if len(c.Settings) != 1 || c.Settings[0] != (Setting{"track.phase.stop_distance", "2", "4"}) {
		t.Errorf("settings: %v", c.Settings)
	}
	var b bytes.Buffer
	c.Print(&b)
	for _, want := range []string{"track.phase.stop_distance: 2 -> 4", "worse: 5 clips", "better: no clip", "stop none, was"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("print lacks %q:\n%s", want, &b)
		}
	}
}

func TestScatterIsNoMoreThanNoise(t *testing.T) {
	// Better in half of the clips and worse in the others.
	c := compared(t, marks(), func(k int, f *film) {
		f.stop = times[track.Stop] + 0.001*float64(k%3)*float64(1-k/5%2)*2
	})
	if !strings.Contains(c.Verdict(), noise) {
		t.Errorf("verdict: %s", c.Verdict())
	}
}

func TestEqualRunsAreTheSame(t *testing.T) {
	c := compared(t, marks(), nil)
	if !strings.Contains(c.Verdict(), "to the last digit") {
		t.Errorf("verdict: %s", c.Verdict())
	}
	for _, l := range c.Lines {
		if v := l.Verdict(true); v != asIs {
			t.Errorf("%s: %s", l.Name, v)
		}
	}
}

func TestWithoutTruthNothingIsCalledBetter(t *testing.T) {
	c := compared(t, Known{}, func(k int, f *film) {
		f.speed += 0.2
		f.shiftPx = 1
	})
	if v := c.Verdict(); strings.Contains(v, "better") || !strings.HasPrefix(v, "10 values changed") {
		t.Errorf("verdict: %s", v)
	}
	if l := lineOf(t, c, "ball_speed"); l.Verdict(false) != "larger" || l.Beyond != 10 {
		t.Errorf("ball speed: %+v", l)
	}
	if l := lineOf(t, c, "putter position"); l.Verdict(false) != "moved" || math.Abs(l.B-1/math.Sqrt2) > 1e-6 {
		t.Errorf("position: %+v", l)
	}
}

func TestCompareSaysWhatItCannotCompare(t *testing.T) {
	dir := t.TempDir()
	a := write(t, dir, "plain", lessonClips(nil))
	b := write(t, dir, "late", lessonClips(nil))
	b.Clips[0].SHA256 = "another film"
	if _, err := Compare(context.Background(), a, b, Known{}); err == nil || !strings.Contains(err.Error(), "not the same film") {
		t.Errorf("got %v", err)
	}
	b.Clips = b.Clips[:1]
	b.Clips[0].Name = "elsewhere.mp4"
	if _, err := Compare(context.Background(), a, b, Known{}); err == nil || !strings.Contains(err.Error(), "no clip in common") {
		t.Errorf("got %v", err)
	}
	nothing := labels.NewSet()
	if _, err := Compare(context.Background(), a, a, Known{Labels: &nothing}); err == nil || !strings.Contains(err.Error(), "of no clip") {
		t.Errorf("got %v", err)
	}
}

func TestPageAndTablesHoldTheComparison(t *testing.T) {
	c := compared(t, marks(), func(k int, f *film) { f.stop += 0.030 })
	for name, f := range map[string]func(io.Writer) error{"<svg": c.WritePage, "stop,s,error": c.WriteLines, "S-003/before.mp4": c.WriteClips, "S-009/before.mp4,1,stop,s": c.WriteValues} {
		var b bytes.Buffer
		if err := f(&b); err != nil {
			t.Error(err)
		}
		if !strings.Contains(b.String(), name) {
			t.Errorf("%q is missing in\n%.300s", name, &b)
		}
		if strings.Contains(b.String(), "NaN") || strings.Contains(b.String(), "#010203") {
			t.Error("a number or colour that is none is shown")
		}
	}
}

func BenchmarkCompare500(b *testing.B) {
	dir := b.TempDir()
	var films []film
	for k := range 500 {
		films = append(films, film{name: fmt.Sprintf("c%03d.mp4", k), stop: 2.6, speed: 2})
	}
	one, two := write(b, dir, "plain", films), write(b, dir, "late", films)
	b.ResetTimer()
	for range b.N {
		if _, err := Compare(context.Background(), one, two, Known{}); err != nil {
			b.Fatal(err)
		}
	}
}
