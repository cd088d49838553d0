package main

import (
	"context"
	"errors"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"strokereel/pipeline/night"
	"strokereel/pipeline/settings"
)

func (a *app) watchCommand() *cobra.Command {
	var f nightFlags
	c := &cobra.Command{
		Use:   "watch INBOX OUTBOX",
		Short: "check clips as they arrive, and make their lessons when all is quiet",
		Long: "watch listens for changes in INBOX and looks at it every few seconds. A clip that is still being copied is left alone until it\n" +
			"is complete and quiet; then it is checked. When nothing has arrived for a while, or at a set hour,\n" +
			"a night is made of it as by the command night (settings night.settle, night.start_hour,\n" +
			"night.least_free). Clips that come later extend their lesson. It runs until it is interrupted.",
		Example: "  strokereel watch clips results",
		RunE: func(cmd *cobra.Command, args []string) error {
			job, err := f.job(a, cmd, args)
			if err != nil {
				return err
			}
			return a.watch(cmd.Context(), job, f.then)
		},
	}
	f.add(a, c)
	return c
}

// watch looks at the inbox until it is interrupted; clips are checked also while
// a night is made.
func (a *app) watch(ctx context.Context, job night.Job, then string) error {
	alarm, err := night.NewAlarm()
	if err != nil {
		return err
	}
	defer alarm.Close()
	w := &night.Watch{Inbox: job.Inbox, Outbox: job.Outbox, Options: job.Settings.Night}
	var ended chan error // tells of the night that is being made, nil when none is
	for warned := false; ; {
		arrived, err := w.Sweep(time.Now())
		if err != nil {
			return err
		}
		alarm.Hear(w.Folders())
		for _, file := range arrived {
			a.sayVerdict(ctx, job.Inbox, file, job.Settings)
		}
		if ended == nil && ctx.Err() == nil && w.Due(time.Now()) && a.room(w, &warned) {
			w.Started()
			ended = make(chan error, 1)
			go func() { ended <- a.watchedNight(ctx, job, then) }()
		}
		select {
		case <-ctx.Done():
			if ended != nil {
				<-ended
			}
			return ctx.Err()
		case err := <-ended:
			if err != nil {
				return err
			}
			ended = nil
		case <-alarm.C:
		case <-time.After(w.Next()):
		}
	}
}

// room reports whether there is room for a night, and says once when there is
// not.
func (a *app) room(w *night.Watch, warned *bool) bool {
	free, enough := w.Room()
	if !enough && !*warned {
		a.voice.say("only %.1f GB are free, a night is started with %g: make room on the disk", free, w.Options.LeastFree)
	}
	*warned = !enough
	return enough
}

// sayVerdict checks a clip that has arrived.
func (a *app) sayVerdict(ctx context.Context, inbox, file string, s settings.Settings) {
	verdict, _ := a.checked(ctx, file, s, nil)
	if ctx.Err() != nil {
		return
	}
	name := filepath.Base(file)
	if rel, err := filepath.Rel(inbox, file); err == nil {
		name = rel
	}
	a.voice.say("%q has arrived: %s", name, verdict)
}

// watchedNight makes a night; one that cannot start is tried again when
// something new arrives.
func (a *app) watchedNight(ctx context.Context, job night.Job, then string) error {
	m, err := night.Run(ctx, job)
	var held *night.Held
	switch {
	case errors.As(err, &held):
		a.voice.say("no night was started: %s", err)
		return nil
	case err != nil:
		return err
	}
	a.nightEnded(ctx, job, m, then)
	return nil
}
