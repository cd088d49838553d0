package main

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// killing lets nights be killed and checks what they leave.
type killing struct {
	nightBench
	inbox, outbox string
	want          map[string]string // decoded frames of each film
	whole         time.Duration     // of an undisturbed night
	dice          *rand.Rand
	decoded       map[string]string // decoded frames by the hash of a film
	when          [3]int            // kills with few, some and most of the films made
}

// run kills nights; one that is done begins anew with an empty outbox.
func (k *killing) run(ctx context.Context) error {
	k.decoded = map[string]string{}
	longest := min(k.whole, time.Duration(2*k.minutes/float64(k.kills)*float64(time.Minute)))
	began, nights, seen := time.Now(), 0, 0
	for killed := 0; killed < k.kills; {
		r := k.night(ctx, k.inbox, k.outbox)
		if err := r.start(); err != nil {
			return err
		}
		select {
		case <-ctx.Done():
			r.kill()
			return ctx.Err()
		case <-time.After(time.Duration(k.dice.Float64() * float64(longest))):
			r.kill()
			killed++
			n, err := k.visible(ctx)
			if err != nil {
				return fmt.Errorf("after kill %d: %w", killed, err)
			}
			seen += n
			k.when[min(n*len(k.when)/len(k.want), len(k.when)-1)]++
			if left := orphans(k.outbox); left != "" {
				return fmt.Errorf("after kill %d a program goes on: %s", killed, left)
			}
			if killed%10 == 0 {
				k.say("%d kills, %d finished films seen in between, %.0f s", killed, seen, time.Since(began).Seconds())
			}
		case err := <-r.done:
			if err != nil {
				return fmt.Errorf("a night after %d kills ended with %w and said\n%s", killed, err, r.said.String())
			}
			if err := k.finished(ctx); err != nil {
				return fmt.Errorf("a night after %d kills: %w", killed, err)
			}
			nights++
			if err := os.RemoveAll(k.outbox); err != nil {
				return err
			}
		}
	}
	if err := k.night(ctx, k.inbox, k.outbox).complete(ctx); err != nil {
		return fmt.Errorf("the last night: %w", err)
	}
	if err := k.finished(ctx); err != nil {
		return fmt.Errorf("the last night: %w", err)
	}
	k.say("%d kills, %d nights brought to their end: every film there once, frames equal, nothing left; %.0f s", k.kills, nights+1, time.Since(began).Seconds())
	k.say("kills with few, some and most of the films made: %d, %d, %d; no program went on after any", k.when[0], k.when[1], k.when[2])
	if k.kills >= 30 && slices.Contains(k.when[:], 0) {
		return errors.New("the kills did not reach all of the night: give them more --minutes")
	}
	return nil
}

// orphans names a program that still works on an outbox two seconds after the
// night was killed, "" when there is none.
func orphans(outbox string) (left string) {
	for range 20 {
		left = ""
		commands, err := filepath.Glob("/proc/[0-9]*/cmdline")
		if err != nil {
			return ""
		}
		for _, path := range commands {
			if data, err := os.ReadFile(path); err == nil && strings.Contains(string(data), outbox) {
				left = strings.ReplaceAll(string(data), "\x00", " ")
			}
		}
		if left == "" {
			return ""
		}
		time.Sleep(100 * time.Millisecond)
	}
	return left
}

// visible checks that what can be seen after a kill is complete, and counts the
// films.
func (k *killing) visible(ctx context.Context) (int, error) {
	places, err := filepath.Glob(filepath.Join(k.outbox, "S-*"))
	if err != nil {
		return 0, err
	}
	for _, place := range places {
		if err := allThere(place); err != nil {
			return 0, err
		}
	}
	got, err := films(ctx, k.outbox, k.decoded)
	if err != nil {
		return 0, err
	}
	for name, frames := range got {
		if k.want[name] != frames {
			return 0, fmt.Errorf("%s is visible with other frames than in the undisturbed night", name)
		}
	}
	return len(got), nil
}

// finished checks an outbox after a night that was not killed.
func (k *killing) finished(ctx context.Context) error {
	got, err := films(ctx, k.outbox, k.decoded)
	if err != nil {
		return err
	}
	if err := same("films", got, k.want); err != nil {
		return err
	}
	return nothingLeft(k.outbox)
}

// allThere checks a lesson's folder against the list of files in its result.
func allThere(place string) error {
	data, err := os.ReadFile(filepath.Join(place, "result.json"))
	if err != nil {
		return fmt.Errorf("%s is visible without its result: %w", place, err)
	}
	var r struct {
		Files map[string]int64 `json:"files"`
	}
	if err := json.Unmarshal(data, &r); err != nil {
		return fmt.Errorf("%s: %w", place, err)
	}
	for name, size := range r.Files {
		st, err := os.Stat(filepath.Join(place, name))
		if err != nil || st.Size() != size {
			return fmt.Errorf("%s is visible without the whole of %s", place, name)
		}
	}
	return nil
}

// nothingLeft looks for what was being written.
func nothingLeft(outbox string) error {
	return filepath.WalkDir(outbox, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if strings.HasPrefix(name, ".writing-") || strings.HasPrefix(name, ".reel-") {
			return fmt.Errorf("%s is left", path)
		}
		switch filepath.Base(filepath.Dir(path)) {
		case "drafts", "gone", "replaced":
			return fmt.Errorf("%s is left", path)
		}
		return nil
	})
}

// films decodes every film of an outbox: a hash of its frames by its name.
// Known, which may be nil, holds what was decoded before.
func films(ctx context.Context, outbox string, known map[string]string) (map[string]string, error) {
	found, err := filepath.Glob(filepath.Join(outbox, "*", "*.mp4"))
	if err != nil {
		return nil, err
	}
	out := map[string]string{}
	for _, path := range found {
		name, err := filepath.Rel(outbox, path)
		if err != nil {
			return nil, err
		}
		hash, err := hashOf(path)
		if err != nil {
			return nil, err
		}
		if known[hash] == "" {
			frames, err := exec.CommandContext(ctx, "ffmpeg", "-nostdin", "-v", "error", "-xerror", "-i", path, "-map", "0:v", "-f", "framemd5", "-").Output()
			if err != nil {
				return nil, fmt.Errorf("decoding %s: %w", name, err)
			}
			sum := fmt.Sprintf("%x", sha256.Sum256(frames))
			if known == nil {
				known = map[string]string{}
			}
			known[hash] = sum
		}
		out[name] = known[hash]
	}
	return out, nil
}

func hashOf(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	_, err = io.Copy(h, f)
	return fmt.Sprintf("%x", h.Sum(nil)), err
}

// hashes of all files below a folder.
func hashes(dir string) (map[string]string, error) {
	out := map[string]string{}
	return out, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		out[path], err = hashOf(path)
		return err
	})
}

// same compares hashes by name.
func same(what string, got, want map[string]string) error {
	var other []string
	for _, name := range slices.Sorted(maps.Keys(want)) {
		if got[name] != want[name] {
			other = append(other, name)
		}
	}
	if len(other) > 0 || len(got) != len(want) {
		return fmt.Errorf("%d %s where there should be %d; other or missing: %s", len(got), what, len(want), strings.Join(other, ", "))
	}
	return nil
}
