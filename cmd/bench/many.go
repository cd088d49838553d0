package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

const (
	// clipsOfLesson is how many clips a lesson of the long night has.
	clipsOfLesson = 10
	// mostGrowth of the memory held, from the second fifth of the night to the last.
	mostGrowth = 1.15
	// mostOff is how far the time left may be off after the first fifth.
	mostOff = 0.25
	// mostAgain is how long a night takes over a hundred clips that are done.
	mostAgain = 2 * time.Second
)

// many lets one night measure many short clips, then another find all done.
func (b nightBench) many(ctx context.Context, dir string, clips int) error {
	inbox, outbox := filepath.Join(dir, "in"), filepath.Join(dir, "out")
	for k := range clips {
		place := filepath.Join(inbox, fmt.Sprintf("S-%03d", k/clipsOfLesson+1))
		if err := os.MkdirAll(place, 0o755); err != nil {
			return err
		}
		clip, err := shortClip(ctx, b.cache, seeds[k%len(seeds)])
		if err != nil {
			return err
		}
		role := []string{"before", "after"}[k%2]
		if err := copyWith(clip, filepath.Join(place, fmt.Sprintf("%s %d.mp4", role, k)), k+1); err != nil {
			return err
		}
	}
	time.Sleep(5 * time.Second) // until the files have settled, as they have at night
	r := b.night(ctx, inbox, outbox)
	lines := &timed{}
	r.cmd.Stderr = lines
	began := time.Now()
	if err := r.start(); err != nil {
		return err
	}
	held, err := r.watch(ctx)
	whole := time.Since(began)
	if err != nil {
		return fmt.Errorf("the long night ended with %w and said\n%s", err, lines.tail())
	}
	if err := flat(held); err != nil {
		return err
	}
	b.say("%d clips in %.0f s; memory held: %s MB, fifth by fifth", clips, whole.Seconds(), fifths(held))
	off, err := lines.estimate(clips, began.Add(whole))
	if err != nil {
		return err
	}
	b.say("time left, said after a fifth: off by %+.0f %%", 100*off)
	if off < -mostOff || off > mostOff {
		return fmt.Errorf("the time left was off by %.0f %%", 100*off)
	}
	began = time.Now()
	if err := b.night(ctx, inbox, outbox).complete(ctx); err != nil {
		return fmt.Errorf("the second night: %w", err)
	}
	again := time.Since(began)
	b.say("a second night over everything done: %.2f s for 100 clips", again.Seconds()*100/float64(clips))
	if again > mostAgain*time.Duration(clips)/100 {
		return errors.New("a second night takes too long")
	}
	return nil
}

// watch reads how much memory the program and its children hold until it ends,
// MB.
func (r *nightRun) watch(ctx context.Context) ([]float64, error) {
	var held []float64
	for {
		select {
		case <-ctx.Done():
			r.kill()
			return nil, ctx.Err()
		case err := <-r.done:
			return held, err
		case <-time.After(250 * time.Millisecond):
			if mb := resident(r.cmd.Process.Pid); mb > 0 {
				held = append(held, mb)
			}
		}
	}
}

// fifth is the median over one fifth of the samples.
func fifth(held []float64, k int) float64 {
	part := slices.Sorted(slices.Values(held[k*len(held)/5 : (k+1)*len(held)/5]))
	return part[len(part)/2]
}

func fifths(held []float64) string {
	var out []string
	for k := range 5 {
		out = append(out, fmt.Sprintf("%.0f", fifth(held, k)))
	}
	return strings.Join(out, ", ")
}

func flat(held []float64) error {
	if len(held) < 50 {
		return errors.New("the long night was too short to tell whether memory is flat")
	}
	if early, late := fifth(held, 1), fifth(held, 4); late > mostGrowth*early {
		return fmt.Errorf("memory grew from %.0f to %.0f MB", early, late)
	}
	return nil
}

// timed keeps lines with the moment at which each was said.
type timed struct {
	mu    sync.Mutex
	rest  []byte
	lines []string
	at    []time.Time
}

func (t *timed) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.rest = append(t.rest, p...)
	for {
		line, rest, ok := bytes.Cut(t.rest, []byte("\n"))
		if !ok {
			return len(p), nil
		}
		t.lines, t.at, t.rest = append(t.lines, string(line)), append(t.at, time.Now()), rest
	}
}

func (t *timed) tail() string { return strings.Join(t.lines[max(0, len(t.lines)-20):], "\n") }

var told = regexp.MustCompile(`^\[(\d+)/\d+, about (?:(\d+) h )?(?:(\d+) min ?)?(?:(\d+) s )?left\]`)

// estimate is how far the first time left that was told after a fifth was off,
// as a share.
func (t *timed) estimate(clips int, ended time.Time) (float64, error) {
	for k, line := range t.lines {
		m := told.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		var n [4]int
		for i := range n {
			n[i], _ = strconv.Atoi(m[i+1])
		}
		if n[0] < clips/5 {
			continue
		}
		said := time.Duration(n[1])*time.Hour + time.Duration(n[2])*time.Minute + time.Duration(n[3])*time.Second
		return said.Seconds()/ended.Sub(t.at[k]).Seconds() - 1, nil
	}
	return 0, fmt.Errorf("no time left was told:\n%s", t.tail())
}
