package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/night"
	"strokereel/pipeline/practice"
	"strokereel/pipeline/reel"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
	"strokereel/pipeline/site/shelf"
)

// nightReel is the name of a night's film in its lesson's folder.
const nightReel = "reel.mp4"

func (a *app) nightCommand() *cobra.Command {
	var lanes int
	var why bool
	films := reelFlags{out: nightReel}
	c := &cobra.Command{
		Use:   "night INBOX OUTBOX",
		Short: "make the lessons of a folder of clips, unattended",
		Long: "night takes every folder in INBOX for a lesson and makes its results in OUTBOX, where\n" +
			"morning.html says in the morning what is done and what needs a person.\n\n" +
			"Clips lie in folders named before, after, reference or drill, or have such a word in\n" +
			"their names, or are sorted by the time of recording; lesson.yaml may say it too. The\n" +
			"originals are only read. Of a student whose card, student.yaml, has answers about consent,\n" +
			"clips are measured only while it is given to measuring. What is done and unchanged is not done again, and a night that\n" +
			"was broken off goes on where it stopped. It ends with 3 when something needs a person.",
		Example: "  strokereel night clips results",
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
			if cmd.Flags().Changed("lanes") {
				s.Night.Lanes = lanes
			}
			if err := s.Validate(); err != nil {
				return usage(err, cmd.CommandPath()+" --help")
			}
			maker, version, err := films.forNight(s)
			if err != nil {
				return err
			}
			job := night.Job{Inbox: args[0], Outbox: args[1], Settings: s, Reel: maker, ReelVersion: version, Told: a.tellNight}
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
			a.voice.say("%s", m.Headline())
			a.voice.say("%s", m.Footing())
			a.voice.say("read %s", filepath.Join(args[1], "morning.html"))
			if n := m.Waiting(); n > 0 {
				return coded{fmt.Errorf("%d of %d lessons need a person", n, len(m.Lessons)), exitSomeFailed, ""}
			}
			return nil
		},
	}
	c.Flags().IntVar(&lanes, "lanes", 0, "measure `N` clips at the same time (0: as the machine allows)")
	c.Flags().BoolVar(&why, "why", false, "make nothing; say of each lesson whether it would be made, and why")
	c.Flags().StringVar(&films.shape, "shape", "both", "films: wide, tall (for phones held upright) or both")
	c.Flags().BoolVar(&films.send, "send", false, "also make each film small enough to send")
	return c
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

func (f reelFlags) shapeKnown() error {
	if !slices.Contains([]string{"wide", "tall", "both"}, f.shape) {
		return fmt.Errorf("--shape must be wide, tall or both (got %q)", f.shape)
	}
	return nil
}

// forNight returns what makes the films of a night's lesson, and a name for all
// that decides what they and the practice sheets look like.
func (f reelFlags) forNight(s settings.Settings) (night.MakeReel, string, error) {
	drills, err := practice.Load(s.Practice)
	if err != nil {
		return nil, "", err
	}
	maker := func(ctx context.Context, l night.Lesson, out string) error {
		o := s.Filming()
		if len(l.Clips) > 0 { // with what the lesson's sheet says
			o = l.Clips[0].Settings.Filming()
		}
		r := reel.Lesson{Practice: &drills}
		r.Title, r.Lines = opening(l)
		own, err := l.Sheet.Settings(s)
		if err != nil {
			return err
		}
		if r.Putting, err = l.Sheet.Putting(own); err != nil {
			return err
		}
		for _, c := range l.Clips {
			if c.Role != sheet.Before && c.Role != sheet.After {
				continue
			}
			shown, err := shownClip(ctx, c, o)
			if err != nil {
				return err
			}
			if c.Role == sheet.Before {
				r.Before = append(r.Before, shown)
			} else {
				r.After = append(r.After, shown)
			}
		}
		for _, j := range f.films() {
			j.Lesson, j.Send, j.Out = r, f.send, filepath.Join(out, j.Out)
			if _, err := reel.Create(ctx, j, o); err != nil {
				return err
			}
		}
		return nil
	}
	return maker, fmt.Sprintf("%s %s %v %s %s", reel.Version, f.shape, f.send, s.Fingerprint(settings.Films()...), drills.Fingerprint()), nil
}

// opening is what the first page of a reel says.
func opening(l night.Lesson) (title string, lines []string) {
	title = strings.Join(strings.Fields(l.Name), " ")
	if s := l.Sheet.Student; s != "" {
		title = s
	}
	if d := l.Sheet.Date; d != "" {
		lines = append(lines, d)
	}
	var putt []string
	if d := l.Sheet.PuttDistance; d > 0 {
		putt = append(putt, fmt.Sprintf("putt of %g m", d))
	}
	if g := l.Sheet.GreenSpeed; g > 0 {
		putt = append(putt, fmt.Sprintf("green speed %g ft", g))
	}
	if len(putt) > 0 {
		lines = append(lines, strings.Join(putt, ", "))
	}
	return title, lines
}

// shownClip reads a clip's results back. Where nothing was measured, the mark of
// a person lines it up, else the click.
func shownClip(ctx context.Context, c night.Clip, o reel.Options) (reel.Clip, error) {
	found, err := lesson.ReadFindings(c.Results, c.Path)
	if err != nil {
		return reel.Clip{}, err
	}
	found.Within = c.Name
	out := reel.Clip{Findings: found}
	switch {
	case c.Impact > 0:
		out.Mark = &c.Impact
	case !c.Numbers:
		out.Click, err = reel.Click(ctx, c.Path, o)
	}
	return out, err
}

// tellNight says a line for each clip and each lesson.
func (a *app) tellNight(e night.Event) {
	what := e.Lesson
	if e.Clip != "" {
		what += ": " + e.Clip
	}
	a.voice.say("[%d/%d] %s: %s", e.Done, e.Total, what, e.Text)
}
