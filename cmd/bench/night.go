package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"strokereel/pipeline/demo"
)

// nightBench is what the bench of nights is told.
type nightBench struct {
	program, cache string
	kills, lessons int
	clips          int
	minutes        float64
	seed           uint64
	say            func(format string, a ...any)
}

// night kills nights of short lessons, fills their disk and starts them twice.
func night() *cobra.Command {
	var b nightBench
	c := &cobra.Command{
		Use:   "night",
		Short: "kill nights at random moments, fill their disk, start them twice",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			b.say = func(format string, a ...any) { fmt.Fprintf(cmd.OutOrStdout(), format+"\n", a...) }
			return b.run(cmd.Context())
		},
	}
	c.Flags().StringVar(&b.program, "program", ".build/strokereel", "the program")
	c.Flags().StringVar(&b.cache, "cache", ".cache/bench", "folder of rendered clips")
	c.Flags().IntVar(&b.kills, "kills", 100, "how often a night is killed; 0 only lets it meet faulty clips")
	c.Flags().IntVar(&b.lessons, "lessons", 12, "lessons of a night")
	c.Flags().IntVar(&b.clips, "many", 0, "only let one night measure so many short clips, and look at memory and the time left")
	c.Flags().Float64Var(&b.minutes, "minutes", 8, "about how long the killing may take")
	c.Flags().Uint64Var(&b.seed, "seed", 1, "of the random moments")
	return c
}

// run does everything and fails at the first thing that is not as it should be.
func (b nightBench) run(ctx context.Context) error {
	dir, err := os.MkdirTemp("", "night-bench-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	if b.clips > 0 {
		return b.many(ctx, dir, b.clips)
	}
	inbox := filepath.Join(dir, "in")
	if err := b.fill(ctx, inbox, b.lessons); err != nil {
		return err
	}
	originals, err := hashes(inbox)
	if err != nil {
		return err
	}
	if b.kills == 0 {
		return b.faulty(ctx, filepath.Join(dir, "faulty"))
	}
	quiet := filepath.Join(dir, "undisturbed")
	began := time.Now()
	if err := b.night(ctx, inbox, quiet).complete(ctx); err != nil {
		return fmt.Errorf("the undisturbed night: %w", err)
	}
	whole := time.Since(began)
	want, err := films(ctx, quiet, nil)
	if err != nil {
		return err
	}
	if len(want) != b.lessons {
		return fmt.Errorf("the undisturbed night made %d films of %d lessons", len(want), b.lessons)
	}
	b.say("undisturbed night: %d lessons in %.1f s", b.lessons, whole.Seconds())
	if err := b.second(ctx, inbox, filepath.Join(dir, "twice")); err != nil {
		return err
	}
	k := killing{nightBench: b, inbox: inbox, outbox: filepath.Join(dir, "killed"), want: want, whole: whole, dice: rand.New(rand.NewPCG(b.seed, 0))}
	if err := k.run(ctx); err != nil {
		return err
	}
	if err := b.fullDisk(ctx, filepath.Join(dir, "small"), inbox, want); err != nil {
		return err
	}
	if err := b.faulty(ctx, filepath.Join(dir, "faulty")); err != nil {
		return err
	}
	now, err := hashes(inbox)
	if err != nil {
		return err
	}
	if err := same("originals", now, originals); err != nil {
		return err
	}
	b.say("originals unchanged: %d files", len(originals))
	return nil
}

// second starts a night on an outbox on which another works.
func (b nightBench) second(ctx context.Context, inbox, outbox string) error {
	first := b.night(ctx, inbox, outbox)
	if err := first.start(); err != nil {
		return err
	}
	defer first.kill()
	for deadline := time.Now().Add(time.Minute); ; time.Sleep(20 * time.Millisecond) {
		if data, err := os.ReadFile(filepath.Join(outbox, ".work", "lock")); err == nil && len(data) > 0 {
			break
		}
		if time.Now().After(deadline) {
			return errors.New("the first of two nights did not begin")
		}
	}
	if err := b.night(ctx, inbox, outbox).fails(1, "is in use by process"); err != nil {
		return fmt.Errorf("the second of two nights: %w", err)
	}
	b.say("second process: refused, and told who holds the outbox")
	return nil
}

// short keeps the films of a bench small: what is tested is that they are whole.
func short() []string {
	var args []string
	for _, s := range []string{
		"reel.opening=0.5", "reel.closing=0.5", "reel.stop=0", "reel.compared=0", "reel.slowest=1",
		"reel.lead=0", "reel.tail=0.2", "reel.most_tail=0.2", "reel.rate=24", "reel.quality=30",
	} {
		args = append(args, "--set", s)
	}
	return append(args, "--shape", "wide")
}

// emptyBox may stand at the end of an mp4 file: another file, the same film
// (ISO/IEC 14496-12, 8.1.2).
const emptyBox = "\x00\x00\x00\x08free"

// seeds of the short clips: in these the ball lies clear of the putter.
var seeds = [...]int{1, 3, 4}

// fill makes an inbox of lessons, each with clips of its own.
func (b nightBench) fill(ctx context.Context, inbox string, lessons int) error {
	for k := range lessons {
		place := filepath.Join(inbox, fmt.Sprintf("S-%03d", k+1))
		if err := os.MkdirAll(place, 0o755); err != nil {
			return err
		}
		for n, role := range []string{"before", "after"} {
			clip, err := shortClip(ctx, b.cache, seeds[(k+n)%len(seeds)])
			if err != nil {
				return err
			}
			if err := copyWith(clip, filepath.Join(place, role+".mp4"), 2*k+n); err != nil {
				return err
			}
		}
	}
	return nil
}

// copyWith copies a clip and lets it end with some empty boxes.
func copyWith(from, to string, boxes int) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.Create(to)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	for range boxes {
		if err == nil {
			_, err = io.WriteString(out, emptyBox)
		}
	}
	return errors.Join(err, out.Close())
}

// shortClip gives a rendered clip of two seconds of 720p, drawn once.
func shortClip(ctx context.Context, cache string, seed int) (string, error) {
	spec, err := demo.Case("low-rate", seed)
	if err != nil {
		return "", err
	}
	folder := filepath.Join(cache, fmt.Sprintf("generator-%d", demo.GeneratorVersion))
	path := filepath.Join(folder, fmt.Sprintf("two-seconds-%d.mp4", seed))
	if _, err := os.Stat(path); err == nil {
		return path, nil
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return "", err
	}
	st := &spec.Strokes[0]
	st.Onset, st.BackTime, st.DownTime, st.Pause, st.Waggles = 0.7, 0.45, 0.22, 0, nil
	spec.Duration = 2
	return path, demo.Render(ctx, spec, path)
}
