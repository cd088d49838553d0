package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"strokereel/pipeline/clip/cliptest"
)

// longest is how long a faulty clip may take in the mean.
const longest = 30 * time.Second

// faulty lets a night meet every known fault at once, beside a good lesson.
func (b nightBench) faulty(ctx context.Context, dir string) error {
	inbox, outbox := filepath.Join(dir, "in"), filepath.Join(dir, "out")
	if err := b.fill(ctx, inbox, 1); err != nil {
		return err
	}
	folder := filepath.Join(inbox, "faults")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	all, err := cliptest.Make(folder)
	if err != nil {
		return err
	}
	began := time.Now()
	if err := b.night(ctx, inbox, outbox).fails(3, "1 lesson is done"); err != nil {
		return err
	}
	took := time.Since(began)
	if took > longest*time.Duration(len(all)) {
		return fmt.Errorf("%d faulty clips took %v", len(all), took)
	}
	data, err := os.ReadFile(filepath.Join(outbox, "morning.json"))
	if err != nil {
		return err
	}
	var m struct {
		Lessons []struct {
			Lesson string
			Notes  []string
			Result struct {
				Films []string
				Clips []struct{ Name, State string }
			}
		}
	}
	if err := json.Unmarshal(data, &m); err != nil {
		return err
	}
	states := map[string]string{}
	for _, l := range m.Lessons {
		for _, c := range l.Result.Clips {
			states[filepath.Join(inbox, l.Lesson, c.Name)] = c.State
		}
		if l.Lesson == "S-001" && len(l.Result.Films) == 0 {
			return errors.New("the good lesson has no film")
		}
	}
	refused := 0
	for _, f := range all {
		state := states[filepath.Join(folder, f.File)]
		switch {
		case f.Refused != "" && state == "refused":
			refused++
		case state == "failed", f.Refused != "" && state != "" && state != "refused", f.Refused == "" && f.Frames != 1 && state == "refused":
			return fmt.Errorf("the fault %q ended as %q", f.Name, state)
		}
	}
	b.say("faults: %d clips of %d in the result, %d refused, none failed, %.0f s; the good lesson beside them is done", len(states)-2, len(all), refused, took.Seconds())
	return nil
}
