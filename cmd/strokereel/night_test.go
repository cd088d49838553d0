package main

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

func TestNightCommand(t *testing.T) {
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in"), filepath.Join(dir, "out")
	for path, text := range map[string]string{"monday/before.mp4": "no film", "monday/after.mp4": "none either"} {
		path = filepath.Join(in, path)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		name string
		args []string
		code int
		side string
	}{
		{"no outbox", []string{"night", in}, exitUsage, "name the inbox and the outbox (got 1)"},
		{"no such shape", []string{"night", in, out, "--shape", "round"}, exitUsage, "--shape must be wide, tall or both (got \"round\")"},
		{"lanes below zero", []string{"night", in, out, "--lanes", "-1"}, exitUsage, "lanes"},
		{"no inbox", []string{"night", in + "x", out}, exitNoStart, "opening the inbox"},
		{"the inbox as outbox", []string{"night", in, in}, exitNoStart, "choose another folder for the results"},
		{"clips that are none", []string{"night", in, out}, exitSomeFailed, "1 of 1 lessons need a person"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, _, side := strokereel(c.args...)
			if code != c.code || !strings.Contains(side, c.side) {
				t.Errorf("code %d, want %d; said %q, want %q", code, c.code, side, c.side)
			}
		})
	}
	page, err := os.ReadFile(filepath.Join(out, "morning.txt"))
	if err != nil || !strings.Contains(string(page), "monday / before.mp4\n    The file is not a film.") {
		t.Errorf("the page says %q, %v", page, err)
	}

	lock, err := os.Open(filepath.Join(out, ".work", "lock"))
	if err != nil {
		t.Fatal(err)
	}
	defer lock.Close()
	if err := syscall.Flock(int(lock.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		t.Fatal(err)
	}
	if code, _, side := strokereel("night", in, out); code != exitNoStart || !strings.Contains(side, "is in use by process") || !strings.Contains(side, "try: wait until it has ended") {
		t.Errorf("a second process ended with %d and said %q", code, side)
	}

	if err := os.RemoveAll(filepath.Join(in, "monday")); err != nil {
		t.Fatal(err)
	}
	if err := lock.Close(); err != nil {
		t.Fatal(err)
	}
	if code, _, side := strokereel("night", in, out); code != exitDone || !strings.Contains(side, "The inbox is empty.") {
		t.Errorf("an empty inbox ended with %d and said %q", code, side)
	}
}
