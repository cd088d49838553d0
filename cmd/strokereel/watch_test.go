package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// said is what a command says, readable while it runs.
type said struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (s *said) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(p)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

// waitFor waits until something was said and returns how long that took.
func (s *said) waitFor(t *testing.T, words string, most time.Duration) time.Duration {
	t.Helper()
	began := time.Now()
	for time.Since(began) < most {
		if strings.Contains(s.String(), words) {
			return time.Since(began)
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Fatalf("%q was not said within %v but\n%s", words, most, s)
	return 0
}

// TestWatchCommand copies a clip slowly into a new folder of the inbox.
func TestWatchCommand(t *testing.T) {
	dir := t.TempDir()
	in, out, whole := filepath.Join(dir, "in"), filepath.Join(dir, "out"), filepath.Join(dir, "whole.mp4")
	if err := os.Mkdir(in, 0o755); err != nil {
		t.Fatal(err)
	}
	if text, err := exec.Command("ffmpeg", "-v", "error", "-f", "lavfi", "-i", "testsrc=s=320x240:r=60:d=2", "-pix_fmt", "yuv420p", "file:"+whole).CombinedOutput(); err != nil {
		t.Fatalf("ffmpeg: %v: %s", err, text)
	}
	data, err := os.ReadFile(whole)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	var side said
	ended := make(chan int, 1)
	note := filepath.Join(dir, "note.txt")
	go func() {
		ended <- run(ctx, []string{"watch", in, out, "--set", "night.arrived=2", "--set", "night.settle=0.05", "--set", "night.least_free=0",
			"--then", `cp "$2" ` + note}, &side, &side)
	}()
	lesson := filepath.Join(in, "monday")
	if err := os.Mkdir(lesson, 0o755); err != nil {
		t.Fatal(err)
	}
	f, err := os.Create(filepath.Join(lesson, "before.mp4"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	const pieces = 6
	for k := range pieces {
		if k == pieces-1 {
			time.Sleep(4 * time.Second) // the copy stands still, longer than a clip that has arrived would
		}
		if _, err := f.Write(data[k*len(data)/pieces : (k+1)*len(data)/pieces]); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(side.String(), "has arrived") {
			t.Fatalf("half a clip was taken for a whole one:\n%s", &side)
		}
		time.Sleep(200 * time.Millisecond)
	}
	took := side.waitFor(t, `"monday/before.mp4" has arrived: film again`, 15*time.Second)
	t.Logf("a verdict %.1f s after the copy was complete", took.Seconds())
	side.waitFor(t, "1 needs a person", 30*time.Second)
	for began := time.Now(); ; time.Sleep(20 * time.Millisecond) {
		if text, err := os.ReadFile(note); err == nil && strings.Contains(string(text), "NEEDS A PERSON") {
			break
		}
		if time.Since(began) > 10*time.Second {
			t.Fatalf("the command after the night was not run:\n%s", &side)
		}
	}
	cancel()
	if code := <-ended; code != exitInterrupted {
		t.Errorf("it ended with %d", code)
	}
}

func TestThen(t *testing.T) {
	dir := t.TempDir()
	in, out, mark := filepath.Join(dir, "in"), filepath.Join(dir, "out"), filepath.Join(dir, "mark")
	if err := os.Mkdir(in, 0o755); err != nil {
		t.Fatal(err)
	}
	code, _, side := strokereel("night", in, out, "--then", `for f in "$@"; do test -s "$f" && echo "${f##*/}" >> `+mark+`; done`)
	got, err := os.ReadFile(mark)
	if code != exitDone || err != nil || string(got) != "morning.html\nmorning.txt\nmorning.json\n" {
		t.Errorf("code %d, %q, %v; said %q", code, got, err, side)
	}
	code, _, side = strokereel("night", in, out, "--then", "echo no mail today >&2; exit 7")
	if code != exitDone || !strings.Contains(side, "no mail today") || !strings.Contains(side, "the command after the night failed: exit status 7") {
		t.Errorf("a command that fails: code %d, said %q", code, side)
	}
}

func TestCardCommand(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		name string
		args []string
		code int
		side string
	}{
		{"no student", []string{"card"}, exitUsage, "name the student's code"},
		{"no such role", []string{"card", "S-014", "--role", "middle"}, exitUsage, "--role must be one of"},
		{"too small to be read", []string{"card", "S-014", "--paper", "a5", "--out", filepath.Join(dir, "c.pdf")}, exitUsage, "can be read up to 2.9 m only"},
		{"another kind of file", []string{"card", "S-014", "--out", filepath.Join(dir, "c.docx")}, exitUsage, "must end with .pdf or .png"},
		{"a card", []string{"card", "S-014", "--role", "before", "--out", filepath.Join(dir, "card.pdf")}, exitDone, "can be read up to 3 m away"},
		{"a picture", []string{"card", "S-014", "--paper", "a6", "--distance", "2", "--out", filepath.Join(dir, "card.png")}, exitDone, "can be read up to 2 m away"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, _, side := strokereel(c.args...)
			if code != c.code || !strings.Contains(side, c.side) {
				t.Errorf("code %d, said %q", code, side)
			}
		})
	}
	if left, err := filepath.Glob(filepath.Join(dir, "*")); err != nil || len(left) != 2 {
		t.Errorf("left %v, %v", left, err)
	}
}
