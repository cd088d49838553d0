package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"strokereel/pipeline"
	"strokereel/pipeline/night"
	"strokereel/pipeline/settings"
)

// sweepEvery leaves most of the 15 seconds in which a verdict should come to
// reading the clip.
const sweepEvery = 2 * time.Second

func (a *app) watchCommand() *cobra.Command {
	films := reelFlags{out: nightReel}
	c := &cobra.Command{
		Use:   "watch INBOX OUTBOX",
		Short: "check clips as they arrive, and make their lessons when all is quiet",
		Long: "watch looks at INBOX every two seconds. A clip that is still being copied is left alone until it\n" +
			"is complete and quiet; then it is checked. When nothing has arrived for a while, or at a set hour,\n" +
			"a night is made of it as by the command night (settings night.settle, night.start_hour,\n" +
			"night.least_free). Clips that come later extend their lesson. It runs until it is interrupted.",
		Example: "  strokereel watch clips results",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return fmt.Errorf("name the inbox and the outbox (got %d)", len(args))
			}
			return films.shapeKnown()
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := a.settings()
			if err != nil {
				return err
			}
			maker, version, err := films.forNight(s)
			if err != nil {
				return err
			}
			return a.watch(cmd.Context(), night.Job{Inbox: args[0], Outbox: args[1], Settings: s, Reel: maker, ReelVersion: version, Told: a.tellNight})
		},
	}
	c.Flags().StringVar(&films.shape, "shape", "both", "films: wide, tall (for phones held upright) or both")
	c.Flags().BoolVar(&films.send, "send", false, "also make each film small enough to send")
	return c
}

// watch sweeps until it is interrupted.
func (a *app) watch(ctx context.Context, job night.Job) error {
	w := &night.Watch{Inbox: job.Inbox, Outbox: job.Outbox, Options: job.Settings.Night}
	warned := false
	for {
		arrived, err := w.Sweep(time.Now())
		if err != nil {
			return err
		}
		for _, file := range arrived {
			a.sayVerdict(ctx, job.Inbox, file, job.Settings)
		}
		if ctx.Err() == nil && w.Due(time.Now()) {
			free, enough := w.Room()
			if !enough && !warned {
				a.voice.say("only %.1f GB are free, a night is started with %g: make room on the disk", free, w.Options.LeastFree)
			}
			if warned = !enough; enough {
				w.Started()
				if err := a.watchedNight(ctx, job); err != nil {
					return err
				}
			}
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(sweepEvery):
		}
	}
}

// sayVerdict checks a clip that has arrived.
func (a *app) sayVerdict(ctx context.Context, inbox, file string, s settings.Settings) {
	v, err := pipeline.Check(ctx, file, s, nil)
	if ctx.Err() != nil {
		return
	}
	if err != nil {
		v = pipeline.Verdict{Usability: pipeline.FilmAgain, Reasons: []string{err.Error()}}
	}
	name := filepath.Base(file)
	if rel, err := filepath.Rel(inbox, file); err == nil {
		name = rel
	}
	a.voice.say("%q has arrived: %s", name, v)
}

// watchedNight makes a night; one that cannot start is tried again when
// something new arrives.
func (a *app) watchedNight(ctx context.Context, job night.Job) error {
	m, err := night.Run(ctx, job)
	var held *night.Held
	switch {
	case errors.As(err, &held):
		a.voice.say("no night was started: %s", err)
		return nil
	case err != nil:
		return err
	}
	a.voice.say("%s", m.Headline())
	a.voice.say("read %s", filepath.Join(job.Outbox, "morning.html"))
	return nil
}
