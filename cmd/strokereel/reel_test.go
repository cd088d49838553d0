package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What is written beside the clips is heeded before anything is measured.
func TestReelCommand(t *testing.T) {
	dir := t.TempDir()
	for path, text := range map[string]string{
		"lesson/before/b.mp4":     "no film",
		"lesson/a.mp4":            "none either",
		"lesson/r.mp4":            "nor this",
		"lesson/corrections.yaml": "clips:\n  before/b.mp4: {role: unusable}\n",
		"other/b.mp4":             "no film",
		"other/a.mp4":             "none either",
		"other/student.yaml":      "student: S-014\nage: adult\nconsent:\n  measuring: {given: no, by: S-014, on: 2026-01-10}\n",
		"plain/b.mp4":             "no film",
		"plain/lesson.yaml":       "reference_consent: {given: no, by: P-003, on: 2026-01-10}\n",
	} {
		path = filepath.Join(dir, path)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	in := func(name string) string { return filepath.Join(dir, name) }
	out := []string{"--out", in("reel.mp4")}
	for _, c := range []struct {
		name string
		args []string
		code int
		side string
	}{
		{"no clip after", []string{"--before", in("plain/b.mp4")}, exitUsage, "name a clip --before and a clip --after"},
		{"one name for two results", []string{"--before", in("plain/b.mp4"), "--after", in("other/b.mp4"), "--results", in("results")}, exitUsage, "would have one name in --results"},
		{"a mark for another clip", []string{"--before", in("plain/b.mp4"), "--after", in("lesson/a.mp4"), "--mark", "x.mp4=1"}, exitUsage, "is none of the clips"},
		{"marked unusable", []string{"--before", in("lesson/before/b.mp4"), "--after", in("lesson/a.mp4")}, exitNoStart, "is marked unusable in corrections.yaml"},
		{"no consent to measuring", []string{"--before", in("other/b.mp4"), "--after", in("other/a.mp4")}, exitNoStart, "consent to measuring was refused on 2026-01-10"},
		{"no film", []string{"--before", in("plain/b.mp4"), "--after", in("lesson/a.mp4")}, exitSomeFailed, "is not a film"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, _, side := strokereel(append(append([]string{"reel"}, c.args...), out...)...)
			if code != c.code || !strings.Contains(side, c.side) {
				t.Errorf("code %d, want %d; said %q, want %q", code, c.code, side, c.side)
			}
		})
	}
}
