package main

import (
	"errors"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"strokereel/pipeline/night"
)

func (a *app) nightCommand() *cobra.Command {
	o := night.DefaultOptions()
	c := &cobra.Command{
		Use:   "night INBOX OUTBOX",
		Short: "make the lessons of a folder of clips, unattended",
		Long: "night takes every folder in INBOX for a lesson and makes its results in OUTBOX, where\n" +
			"morning.html says in the morning what is done and what needs a person.\n\n" +
			"Clips lie in folders named before, after, reference or drill, or have such a word in\n" +
			"their names, or are sorted by the time of recording; lesson.yaml may say it too. The\n" +
			"originals are only read. What is done and unchanged is not done again, and a night that\n" +
			"was broken off goes on where it stopped. It ends with 3 when something needs a person.",
		Example: "  strokereel night clips results",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return fmt.Errorf("name the inbox and the outbox (got %d)", len(args))
			}
			return nil
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := a.settings()
			if err != nil {
				return err
			}
			if err := o.Validate(); err != nil {
				return usage(err, cmd.CommandPath()+" --help")
			}
			job := night.Job{Inbox: args[0], Outbox: args[1], Settings: s, Options: o, Told: a.tellNight}
			m, err := night.Run(cmd.Context(), job)
			var held *night.Held
			if errors.As(err, &held) {
				return coded{err, exitNoStart, "wait until it has ended, or choose another outbox"}
			}
			if err != nil {
				return err
			}
			a.voice.say("%s", m.Headline())
			a.voice.say("%s", m.Footing())
			a.voice.say("read %s", filepath.Join(args[1], "morning.html"))
			if n := m.Waiting(); n > 0 {
				return coded{fmt.Errorf("%d of %d lessons need a person", n, len(m.Lessons)), exitSomeFailed, ""}
			}
			return nil
		},
	}
	c.Flags().IntVar(&o.Lanes, "lanes", o.Lanes, "measure `N` clips at the same time (0: as the machine allows)")
	return c
}

// tellNight says a line for each clip and each lesson.
func (a *app) tellNight(e night.Event) {
	what := e.Lesson
	if e.Clip != "" {
		what += ": " + e.Clip
	}
	a.voice.say("[%d/%d] %s: %s", e.Done, e.Total, what, e.Text)
}
