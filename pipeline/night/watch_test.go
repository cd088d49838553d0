package night

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"strokereel/pipeline/settings"
)

func TestWatch(t *testing.T) {
	b := newBox(t)
	w := &Watch{Inbox: b.in, Outbox: b.out, Options: settings.DefaultNight()}
	now := time.Date(2026, 1, 17, 21, 0, 0, 0, time.UTC)
	sweep := func(after time.Duration, want ...string) {
		t.Helper()
		now = now.Add(after)
		got, err := w.Sweep(now)
		must(t, err)
		if len(got) != len(want) {
			t.Fatalf("arrived %v, want %v", got, want)
		}
		for k := range got {
			if filepath.Base(got[k]) != want[k] {
				t.Errorf("arrived %v, want %v", got, want)
			}
		}
	}
	sweep(0)
	if w.Due(now) {
		t.Error("an empty inbox makes a night")
	}
	path := b.put("a/before.mp4", good)
	sweep(time.Second)
	sweep(4 * time.Second)
	must(t, os.WriteFile(path, []byte("it grows"), 0o644))
	sweep(2 * time.Second) // changed: it waits anew
	sweep(4 * time.Second)
	sweep(2*time.Second, "before.mp4")
	sweep(2 * time.Second)
	if w.Due(now) {
		t.Error("a night starts before the inbox is quiet")
	}
	// The first bytes of a clip, its index not there yet.
	half := b.put("a/after.mp4", "")
	must(t, os.WriteFile(half, []byte("\x00\x00\x00\x10ftypisom\x00\x00\x00\x00\x00\x00\x10\x00mdat"), 0o644))
	sweep(time.Second)
	sweep(15 * time.Minute)
	if w.Due(now) {
		t.Error("a night starts while a clip is half there")
	}
	sweep(20*time.Minute, "after.mp4") // a broken copy is a night's to report
	sweep(11 * time.Minute)
	if !w.Due(now) {
		t.Error("no night though all is quiet")
	}
	w.Options.StartHour = 3
	if w.Due(now) {
		t.Error("a night starts at the wrong hour")
	}
	if w.Options.StartHour = now.Hour() - 1; !w.Due(now) {
		t.Error("no night an hour after the set one")
	}
	w.Started()
	if sweep(time.Hour); w.Due(now) {
		t.Error("a second night without anything new")
	}
	b.put("a/lesson.yaml", "student: S-014\n")
	sweep(time.Second)
	sweep(6 * time.Second)
	sweep(11 * time.Minute)
	if !w.Due(now) {
		t.Error("a changed sheet makes no night")
	}
	w.Options.LeastFree = 1e9
	if _, enough := w.Room(); enough {
		t.Error("a billion GB are free")
	}
}
