package night

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"strokereel/pipeline"
	"strokereel/pipeline/settings"
)

// states sums up a morning: lesson=state, with the number of needs.
func states(m *Morning) string {
	var out []string
	for _, l := range m.Lessons {
		s := l.Lesson + "=" + l.State
		if n := len(l.Needs); n > 0 {
			s += fmt.Sprintf("+%d", n)
		}
		out = append(out, s)
	}
	return strings.Join(out, " ")
}

func wantStates(t *testing.T, m *Morning, want string) {
	t.Helper()
	if got := states(m); got != want {
		t.Errorf("the night ended with %s, want %s", got, want)
	}
}

func wantMeasured(t *testing.T, b *box, want ...string) {
	t.Helper()
	if !slices.Equal(b.measured, want) {
		t.Errorf("measured %v, want %v", b.measured, want)
	}
}

// needs joins what a lesson needs.
func needs(m *Morning, lesson string) string {
	var out []string
	for _, l := range m.Lessons {
		for _, n := range l.Needs {
			if l.Lesson == lesson {
				out = append(out, n.Clip+": "+n.What+" "+n.Do)
			}
		}
	}
	return strings.Join(out, "\n")
}

func TestNight(t *testing.T) {
	b := newBox(t)
	b.lesson("a")
	b.lesson("b")
	b.put("b/reference.mp4", numberless)
	originals := tree(t, b.in)
	m := b.run()
	wantStates(t, m, "a=done b=done")
	wantMeasured(t, b, "before.mp4", "after.mp4", "before.mp4", "after.mp4", "reference.mp4")
	film, err := os.ReadFile(filepath.Join(b.out, "b", "reel.mp4"))
	must(t, err)
	var roles []string
	for line := range strings.Lines(string(film)) {
		roles = append(roles, strings.Join(strings.Fields(line)[:3], " "))
	}
	if got := strings.Join(roles, ", "); got != "before before.mp4 true, after after.mp4 true, reference reference.mp4 false" {
		t.Errorf("the reel was made from %s", got)
	}
	if !maps.Equal(originals, tree(t, b.in)) {
		t.Error("the inbox has changed")
	}
	for _, name := range []string{"a/before-1/report.json", "a/after-1/picture.jpg", "a/lesson.json", "b/reference-1/report.json", pageFile, textFile, jsonFile} {
		if _, err := os.Stat(filepath.Join(b.out, name)); err != nil {
			t.Error(err)
		}
	}

	results := tree(t, b.out, pageFile, textFile, jsonFile, "facts.json", "lock")
	m = b.run()
	wantStates(t, m, "a=unchanged b=unchanged")
	if len(b.measured)+len(b.reels) > 0 || !maps.Equal(results, tree(t, b.out, pageFile, textFile, jsonFile, "facts.json", "lock")) {
		t.Errorf("what was done is done again: %v %v", b.measured, b.reels)
	}

	b.put("a/after 2.mp4", good)
	m = b.run()
	wantStates(t, m, "a=done b=unchanged")
	wantMeasured(t, b, "after 2.mp4")

	must(t, os.Remove(filepath.Join(b.out, "b", "after-1", "report.json")))
	m = b.run()
	wantStates(t, m, "a=unchanged b=done")
	wantMeasured(t, b)
}

func TestSettingsAndVersions(t *testing.T) {
	b := newBox(t)
	b.lesson("a")
	b.run()
	b.measured, b.reels = nil, nil
	j := b.job()
	j.ReelVersion = "2"
	m, err := Run(context.Background(), j)
	must(t, err)
	wantStates(t, m, "a=done")
	wantMeasured(t, b) // only the reel is new
	must(t, j.Settings.Set("track.marker.colour", "blue"))
	m, err = Run(context.Background(), j)
	must(t, err)
	wantStates(t, m, "a=done")
	wantMeasured(t, b, "before.mp4", "after.mp4")
}

func TestTroubles(t *testing.T) {
	for _, c := range []struct {
		name  string
		files map[string]string
		want  string
		says  []string
	}{
		{"a clip that cannot be read", map[string]string{"x/before.mp4": good, "x/after.mp4": good, "x/after 2.mp4": unreadable}, "ok=done x=done+1", []string{"after 2.mp4: The file is not a film. copy it from the phone again"}},
		{"no stroke in the only after", map[string]string{"x/before.mp4": good, "x/after.mp4": strokeless}, "ok=done x=done+2", []string{"No putt was found", "an after clip that can be shown is missing"}},
		{"a marked impact shows it", map[string]string{"x/before.mp4": good, "x/after.mp4": strokeless, "x/corrections.yaml": "clips: {after.mp4: {impact_s: 2.5}}"}, "ok=done x=done", nil},
		{"a sheet with a misspelt key", map[string]string{"x/before.mp4": good, "x/after.mp4": good, "x/lesson.yaml": "studnet: S-1\n"}, "ok=done x=waiting+1", []string{`lesson.yaml: line 1: "studnet" is not a known key`}},
		{"corrections that are no mapping", map[string]string{"x/before.mp4": good, "x/corrections.yaml": "- a\n"}, "ok=done x=waiting+1", []string{"corrections.yaml: must hold lines"}},
		{"a sheet about a clip that is not there", map[string]string{"x/before.mp4": good, "x/after.mp4": good, "x/lesson.yaml": "clips: {c.mp4: after}\n"}, "ok=done x=done+1", []string{"c.mp4: lesson.yaml names a clip that is not there"}},
		{"one clip", map[string]string{"x/before.mp4": good}, "ok=done x=done+1", []string{"it takes a clip from before and one from after"}},
		{"no clips", map[string]string{"x/notes.txt": ""}, "ok=done x=waiting+1", []string{"There are no clips"}},
		{"the name of a page", map[string]string{"morning.html/before.mp4": good}, "morning.html=waiting+1 ok=done", nil},
		{"two students", map[string]string{"x/before.mp4": good, "x/lesson.yaml": "student: A\n", "x/student.yaml": "student: B\n"}, "ok=done x=waiting+1", []string{`about "A"`}},
		{"left out by a person", map[string]string{"x/before.mp4": good, "x/after.mp4": good, "x/after bad.mp4": unreadable, "x/corrections.yaml": "clips: {after bad.mp4: {unusable: true}}"}, "ok=done x=done", nil},
		{"the sheet wins over the name, corrections over the sheet", map[string]string{"x/before.mp4": good, "x/before 2.mp4": good, "x/drill.mp4": good,
			"x/lesson.yaml": "clips: {before 2.mp4: drill, drill.mp4: drill}\n", "x/corrections.yaml": "clips: {before 2.mp4: {role: after}}"}, "ok=done x=done", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBox(t)
			b.lesson("ok")
			for name, text := range c.files {
				b.put(name, text)
			}
			m := b.run()
			wantStates(t, m, c.want)
			for _, s := range c.says {
				if got := needs(m, "x"); !strings.Contains(got, s) {
					t.Errorf("it says %q, want %q", got, s)
				}
			}
			text, err := os.ReadFile(filepath.Join(b.out, textFile))
			must(t, err)
			if (strings.Contains(c.want, "+")) != strings.Contains(string(text), "NEEDS A PERSON") {
				t.Errorf("the morning text says\n%s", text)
			}
			if again := b.run(); strings.ReplaceAll(states(again), "unchanged", "done") != c.want || len(b.measured) > 0 {
				t.Errorf("a second run ended with %s and measured %v", states(again), b.measured)
			}
		})
	}
}

func TestSameFilmTwice(t *testing.T) {
	b := newBox(t)
	b.lesson("x")
	data, err := os.ReadFile(filepath.Join(b.in, "x", "after.mp4"))
	must(t, err)
	must(t, os.WriteFile(filepath.Join(b.in, "x", "after copy.mp4"), data, 0o644))
	m := b.run()
	wantMeasured(t, b, "before.mp4", "after copy.mp4")
	if notes := strings.Join(m.Lessons[0].Notes, " "); !strings.Contains(notes, "after.mp4 is left out: it is the same film as after copy.mp4") {
		t.Errorf("notes %q", notes)
	}
}

// What fails for a reason of the machine or of the night is tried again.
func TestFailuresOfTheNight(t *testing.T) {
	good := func(b *box) { b.lesson("a"); b.lesson("b") }
	for _, c := range []struct {
		name  string
		spoil func(*Job)
		want  string
		says  string
		again int // clips measured in the next night
	}{
		{"the disk is full", func(j *Job) {
			j.measure = func(context.Context, pipeline.Reading, string, settings.Settings) (outcome, error) {
				return outcome{}, fmt.Errorf("writing: %w", syscall.ENOSPC)
			}
		}, "a=waiting+1 b=waiting+1", "make room on the disk", 4},
		{"the reel fails", func(j *Job) {
			j.Reel = func(_ context.Context, l Lesson, out string) error {
				must(t, os.WriteFile(filepath.Join(out, "half.mp4"), nil, 0o644))
				if l.Name == "b" {
					return errors.New("the encoder gave up")
				}
				return nil
			}
		}, "a=done b=failed+1", "the encoder gave up", 0},
		{"films that take for ever", func(j *Job) {
			j.Settings.Night.ReelTime = 0.01
			j.Reel = func(ctx context.Context, l Lesson, out string) error {
				if l.Name == "b" {
					<-ctx.Done()
					return ctx.Err()
				}
				return listInstead(l, out)
			}
		}, "a=done b=failed+1", "its films took longer than 600ms", 0},
		{"a fault of the program", func(j *Job) {
			measure := j.measure
			j.measure = func(ctx context.Context, c pipeline.Reading, dir string, s settings.Settings) (outcome, error) {
				if strings.HasSuffix(c.File, "b/before.mp4") {
					panic("index out of range")
				}
				return measure(ctx, c, dir, s)
			}
		}, "a=done b=done+2", "a fault of the program: index out of range", 1},
		{"a clip that takes for ever", func(j *Job) {
			j.Settings.Night.ClipTime = 0.01
			measure := j.measure
			j.measure = func(ctx context.Context, c pipeline.Reading, dir string, s settings.Settings) (outcome, error) {
				if strings.HasSuffix(c.File, "b/before.mp4") {
					<-ctx.Done()
					return outcome{}, ctx.Err()
				}
				return measure(ctx, c, dir, s)
			}
		}, "a=done b=done+2", "it took longer than 600ms", 1},
		{"a clip that is still being copied", func(j *Job) {
			measure := j.measure
			j.measure = func(ctx context.Context, c pipeline.Reading, dir string, s settings.Settings) (outcome, error) {
				out, err := measure(ctx, c, dir, s)
				if strings.HasSuffix(c.File, "b/before.mp4") {
					must(t, os.WriteFile(c.File, []byte("good\nmore"), 0o644))
				}
				return out, err
			}
		}, "a=done b=done+2", "perhaps it is still being copied", 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBox(t)
			good(b)
			j := b.job()
			c.spoil(&j)
			m, err := Run(context.Background(), j)
			must(t, err)
			wantStates(t, m, c.want)
			if got := needs(m, "b"); !strings.Contains(got, c.says) {
				t.Errorf("it says %q, want %q", got, c.says)
			}
			if left, err := filepath.Glob(filepath.Join(b.out, "*", "half.mp4")); err != nil || slices.Contains(left, filepath.Join(b.out, "b", "half.mp4")) {
				t.Errorf("half a result is visible: %v %v", left, err)
			}
			m = b.run()
			if !m.AllDone() || len(b.measured) != c.again {
				t.Errorf("the next night ended with %s and measured %v", states(m), b.measured)
			}
		})
	}
}

func TestInterruption(t *testing.T) {
	b := newBox(t)
	for k := range 3 {
		b.lesson(fmt.Sprint("lesson ", k))
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	j := b.job()
	j.Told = func(e Event) {
		if e.Done == 3 {
			cancel()
		}
	}
	m, err := Run(ctx, j)
	if !errors.Is(err, context.Canceled) {
		t.Fatalf("the night ended with %v", err)
	}
	if got := states(m); !strings.Contains(got, "lesson 2=waiting+1") {
		t.Errorf("it ended with %s", got)
	}
	before := len(b.measured)
	b.measured = nil
	m, err = Run(context.Background(), b.job())
	must(t, err)
	if !m.AllDone() || before+len(b.measured) != 6 {
		t.Errorf("%s after measuring %d and then %d clips, want 6 in all", states(m), before, len(b.measured))
	}
}

func TestBytesThatChangeUnderTheSameSizeAndTime(t *testing.T) {
	b := newBox(t)
	b.lesson("a")
	path := filepath.Join(b.in, "a", "before.mp4")
	old := time.Now().Add(-time.Hour)
	must(t, os.Chtimes(path, old, old))
	b.run()
	data, err := os.ReadFile(path)
	must(t, err)
	data[len(data)-1] ^= 1
	must(t, os.WriteFile(path, data, 0o644))
	must(t, os.Chtimes(path, old, old))
	wantStates(t, b.run(), "a=done")
	wantMeasured(t, b, "before.mp4")
}

// Once the clips have settled they are not read again.
func TestFactsAreRemembered(t *testing.T) {
	b := newBox(t)
	path := b.put("a.mp4", good)
	work := t.TempDir()
	f := openFacts(work, nil, 0)
	first, err := f.of(context.Background(), path)
	must(t, err)
	if len(f.met) > 0 {
		t.Error("a file changed just now is trusted")
	}
	f.known = map[string]fact{fmt.Sprintf("%x-%x", first.Device, first.Inode): {identity: first.identity, Form: factForm, SHA256: "remembered"}}
	if again, err := f.of(context.Background(), path); err != nil || again.SHA256 != "remembered" {
		t.Errorf("read again: %v %v", again, err)
	}
	must(t, f.save())
	if k := openFacts(work, nil, 0).known; len(k) != 1 {
		t.Errorf("kept %v", k)
	}
}

func TestRefusals(t *testing.T) {
	t.Run("a second process", func(t *testing.T) {
		b := newBox(t)
		o, err := openOutbox(b.out)
		must(t, err)
		_, err = Run(context.Background(), b.job())
		var held *Held
		if !errors.As(err, &held) || held.By.PID != os.Getpid() || !strings.Contains(err.Error(), fmt.Sprint("process ", os.Getpid(), " on ", held.By.Host)) {
			t.Errorf("got %v", err)
		}
		o.close()
		b.run()
	})
	t.Run("a holder caught while writing", func(t *testing.T) {
		b := newBox(t)
		o, err := openOutbox(b.out)
		must(t, err)
		defer o.close()
		must(t, os.WriteFile(filepath.Join(b.out, workDir, "lock"), []byte(`{"pid": 1`), 0o644))
		if _, err := Run(context.Background(), b.job()); err == nil || !strings.Contains(err.Error(), "in use by another process") {
			t.Errorf("got %v", err)
		}
	})
	t.Run("the inbox in the outbox", func(t *testing.T) {
		b := newBox(t)
		j := b.job()
		for _, out := range []string{b.in, filepath.Dir(b.in), b.in + "/x/.."} {
			j.Outbox = out
			if _, err := Run(context.Background(), j); err == nil || !strings.Contains(err.Error(), "lies in the outbox") {
				t.Errorf("%s: %v", out, err)
			}
		}
	})
	t.Run("no inbox", func(t *testing.T) {
		b := newBox(t)
		j := b.job()
		j.Inbox += " not there"
		if _, err := Run(context.Background(), j); err == nil {
			t.Error("a missing inbox was taken")
		}
		if _, err := os.Stat(b.out); err == nil {
			t.Error("an outbox was made all the same")
		}
	})
	t.Run("a folder of somebody else", func(t *testing.T) {
		b := newBox(t)
		b.lesson("a")
		theirs := filepath.Join(b.out, "a", "diary.txt")
		must(t, os.MkdirAll(filepath.Dir(theirs), 0o755))
		must(t, os.WriteFile(theirs, []byte("mine"), 0o644))
		m := b.run()
		wantStates(t, m, "a=waiting+1")
		if data, err := os.ReadFile(theirs); err != nil || string(data) != "mine" {
			t.Errorf("it is %q, %v", data, err)
		}
	})
}

func TestOutboxWithinInbox(t *testing.T) {
	b := newBox(t)
	b.lesson("a")
	b.out = filepath.Join(b.in, "results")
	b.run()
	wantStates(t, b.run(), "a=unchanged")
}
