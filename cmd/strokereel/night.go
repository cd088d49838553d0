package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"strokereel/pipeline/night"
	"strokereel/pipeline/site/shelf"
)

// nightFlags are what the commands that make nights share.
type nightFlags struct {
	films reelFlags
	lanes int
	then  string
}

// add gives a command the flags and the check of its arguments.
func (f *nightFlags) add(a *app, c *cobra.Command) {
	f.films.out = nightReel
	c.Args = a.args(func(_ *cobra.Command, args []string) error {
		if len(args) != 2 {
			return fmt.Errorf("name the inbox and the outbox (got %d)", len(args))
		}
		return f.films.shapeKnown()
	})
	c.Flags().IntVar(&f.lanes, "lanes", 0, "measure `N` clips at the same time (0: as the machine allows)")
	c.Flags().StringVar(&f.films.shape, "shape", "both", "films: wide, tall (for phones held upright) or both")
	c.Flags().BoolVar(&f.films.send, "send", false, "also make each film small enough to send")
	c.Flags().StringVar(&f.then, "then", "", "after each night run `COMMAND` in a shell; $1 is its page, $2 the same as text, $3 as JSON")
}

// job is the night that the command line asks for.
func (f *nightFlags) job(a *app, cmd *cobra.Command, args []string) (night.Job, error) {
	s, err := a.settings()
	if err != nil {
		return night.Job{}, err
	}
	if cmd.Flags().Changed("lanes") {
		s.Night.Lanes = f.lanes
	}
	if err := s.Validate(); err != nil {
		return night.Job{}, usage(err, cmd.CommandPath()+" --help")
	}
	maker, version, err := f.films.forNight(s)
	if err != nil {
		return night.Job{}, err
	}
	return night.Job{Inbox: args[0], Outbox: args[1], Settings: s, Reel: maker, ReelVersion: version, Told: a.tellNight}, nil
}

func (a *app) nightCommand() *cobra.Command {
	var f nightFlags
	var why bool
	c := &cobra.Command{
		Use:   "night INBOX OUTBOX",
		Short: "make the lessons of a folder of clips, unattended",
		Long: "night takes every folder in INBOX for a lesson and makes its results in OUTBOX, where\n" +
			"morning.html says in the morning what is done and what needs a person.\n\n" +
			"A clip that shows a card (strokereel card) in its first seconds belongs to that student,\n" +
			"and so do the clips after it until another card is shown. Else clips lie in folders named\n" +
			"before, after, reference or drill, or have such a word in their names, or are sorted by the\n" +
			"time of recording; lesson.yaml may say it too. The originals are only read. Of a student\n" +
			"whose card, student.yaml, has answers about consent, clips are measured only while it is\n" +
			"given to measuring. What is done and unchanged is not done again, and a night that was\n" +
			"broken off goes on where it stopped. It ends with 3 when something needs a person.",
		Example: "  strokereel night clips results\n" +
			"  strokereel night clips results --then 'mail -s \"last night\" coach@club.example < \"$2\"'",
		RunE: func(cmd *cobra.Command, args []string) error {
			job, err := f.job(a, cmd, args)
			if err != nil {
				return err
			}
			if why {
				return a.whyNight(cmd.Context(), job)
			}
			m, err := night.Run(cmd.Context(), job)
			if err != nil {
				return held(err)
			}
			for _, l := range m.Lessons {
				for _, n := range l.Needs {
					a.voice.say("%s", n.Line(l.Lesson))
				}
			}
			a.nightEnded(cmd.Context(), job, m, f.then)
			if n := m.Waiting(); n > 0 {
				return coded{fmt.Errorf("%d of %d lessons need a person", n, len(m.Lessons)), exitSomeFailed, ""}
			}
			return nil
		},
	}
	f.add(a, c)
	c.Flags().BoolVar(&why, "why", false, "make nothing; say of each lesson whether it would be made, and why")
	return c
}

// nightEnded says how a night went and runs the command that was given for it.
func (a *app) nightEnded(ctx context.Context, job night.Job, m *night.Morning, then string) {
	a.voice.say("%s", m.Headline())
	a.voice.say("%s", m.Footing())
	pages := night.Pages(job.Outbox)
	a.voice.say("read %s", pages[0])
	if then == "" {
		return
	}
	if err := runThen(ctx, then, pages, a.voice.side); err != nil {
		a.voice.say("the command after the night failed: %v", err)
	}
}

// whyNight says what the next night would do.
func (a *app) whyNight(ctx context.Context, job night.Job) error {
	reasons, err := night.Why(ctx, job)
	if err != nil {
		return held(err)
	}
	for _, r := range reasons {
		if err := a.voice.result([]byte(r.String() + "\n")); err != nil {
			return err
		}
	}
	return nil
}

// held gives the refusal of an outbox or a shelf in use its exit code and hint.
func held(err error) error {
	var h *night.Held
	switch {
	case errors.As(err, &h):
		return coded{err, exitNoStart, "wait until it has ended, or choose another outbox"}
	case errors.Is(err, shelf.ErrHeld):
		return coded{err, exitNoStart, "wait until it has ended"}
	}
	return err
}

// tellNight says a line for each clip and each lesson.
func (a *app) tellNight(e night.Event) {
	what := e.Lesson
	if e.Clip != "" {
		what += ": " + e.Clip
	}
	left := e.About()
	if left != "" {
		left = ", " + left
	}
	a.voice.say("[%d/%d%s] %s: %s", e.Done, e.Total, left, what, e.Text)
}
