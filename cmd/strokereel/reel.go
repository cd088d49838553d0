package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"strokereel/pipeline/practice"
	"strokereel/pipeline/reel"
	"strokereel/pipeline/settings"
)

// reelFlags are the flags of the command reel.
type reelFlags struct {
	before, after, reference, drill []string
	marks, lines                    []string
	out, shape, title, results      string
	send                            bool
}

func (a *app) reelCommand() *cobra.Command {
	var f reelFlags
	c := &cobra.Command{
		Use:   "reel --before CLIP --after CLIP --out FILE.mp4",
		Short: "make the film of a lesson: before, after, and both side by side",
		Long: "reel measures the clips and makes a film of them. Of several clips or putts the most typical\n" +
			"is shown, by the median over its measures. Beside FILE.mp4 it writes\n" +
			"  FILE.vtt              the captions, which are also in the film\n" +
			"  FILE.poster.jpg       a picture for it, and FILE.ROLE-STOP.jpg one of each stop\n" +
			"  FILE.reel.json        the plan of the film\n" +
			"  lesson.json           what changed, with uncertainties\n" +
			"  practice.html         drills for home, chosen by what was measured, to be printed\n" +
			"  practice.jpg          the student at address, the lengths to practise on the ground\n" +
			"  practice.wav          ticks in the rhythm of the student's own stroke after the lesson\n" +
			"With --shape both, the film for phones held upright is FILE.tall.mp4. A clip without numbers is\n" +
			"lined up by the click of the ball; --mark names the moment of impact where that is not heard.\n\n" +
			"What stands in lesson.yaml, student.yaml and corrections.yaml beside the clips counts. A\n" +
			"reference, another player's stroke, is only shown when reference_consent in lesson.yaml says\n" +
			"that this player agreed. With --results DIR the results of each clip are kept in DIR/CLIP, and\n" +
			"taken from there when clip, settings and program are the same.",
		Example: "  strokereel reel --before before.mp4 --after after.mp4 --out reel.mp4\n" +
			"  strokereel reel --before b1.mp4 --before b2.mp4 --after a1.mp4 --out reel.mp4 --shape both --send",
		Args: a.args(func(_ *cobra.Command, args []string) error { return f.check(args) }),
		RunE: func(cmd *cobra.Command, _ []string) error {
			s, err := a.settings()
			if err != nil {
				return err
			}
			return a.makeReel(cmd.Context(), f, s)
		},
	}
	flags := c.Flags()
	flags.StringArrayVar(&f.before, "before", nil, "a `CLIP` from before the lesson (may be given again)")
	flags.StringArrayVar(&f.after, "after", nil, "a `CLIP` from after it (may be given again)")
	flags.StringArrayVar(&f.reference, "reference", nil, "a `CLIP` of another player, shown beside after (may be given again)")
	flags.StringArrayVar(&f.drill, "drill", nil, "a `CLIP` of a drill, shown by itself (may be given again)")
	flags.StringVar(&f.results, "results", "", "keep the results of the clips in `DIR`, and use those that are there")
	flags.StringVar(&f.out, "out", "", "write the film to `FILE.mp4`")
	flags.StringVar(&f.shape, "shape", "wide", "wide, tall (for phones held upright) or both")
	flags.BoolVar(&f.send, "send", false, "also make FILE.send.mp4, small enough to send")
	flags.StringVar(&f.title, "title", "", "`TEXT` at the head of the film")
	flags.StringArrayVar(&f.lines, "line", nil, "a line of `TEXT` below it, such as the student's code (may be given again)")
	flags.StringArrayVar(&f.marks, "mark", nil, "moment of impact in a clip, `CLIP=SECONDS` (may be given again)")
	return c
}

// check finds what was typed wrong.
func (f reelFlags) check(args []string) error {
	switch {
	case len(args) > 0:
		return fmt.Errorf("name clips with --before and --after (got %q)", args[0])
	case len(f.before) == 0 || len(f.after) == 0:
		return errors.New("name a clip --before and a clip --after")
	case !strings.HasSuffix(f.out, ".mp4"):
		return fmt.Errorf("say where the film goes: --out FILE.mp4 (got %q)", f.out)
	case !slices.Contains([]string{"wide", "tall", "both"}, f.shape):
		return fmt.Errorf("--shape must be wide, tall or both (got %q)", f.shape)
	}
	names := map[string]string{}
	for _, file := range f.clips() {
		if other, again := names[resultName(file)]; again && f.results != "" {
			return fmt.Errorf("the results of %q and %q would have one name in --results: rename one clip", other, file)
		}
		names[resultName(file)] = file
	}
	_, err := f.marked()
	return err
}

// clips are all the clips named.
func (f reelFlags) clips() []string { return slices.Concat(f.before, f.after, f.reference, f.drill) }

// resultName is the name of a clip's folder among results.
func resultName(file string) string {
	return strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
}

// marked are the moments set by hand, by clip.
func (f reelFlags) marked() (map[string]float64, error) {
	out := map[string]float64{}
	for _, m := range f.marks {
		i := strings.LastIndexByte(m, '=')
		if i < 0 {
			return nil, fmt.Errorf("--mark %q: write CLIP=SECONDS", m)
		}
		t, err := strconv.ParseFloat(m[i+1:], 64)
		if err != nil || !(t >= 0) {
			return nil, fmt.Errorf("--mark %q: write CLIP=SECONDS", m)
		}
		if !slices.Contains(f.clips(), m[:i]) {
			return nil, fmt.Errorf("--mark %q: %q is none of the clips", m, m[:i])
		}
		out[m[:i]] = t
	}
	return out, nil
}

// films are the films to be made and their shapes.
func (f reelFlags) films() []reel.Job {
	switch f.shape {
	case "tall":
		return []reel.Job{{Shape: reel.Tall, Out: f.out}}
	case "both":
		return []reel.Job{{Shape: reel.Wide, Out: f.out}, {Shape: reel.Tall, Out: strings.TrimSuffix(f.out, ".mp4") + ".tall.mp4"}}
	}
	return []reel.Job{{Shape: reel.Wide, Out: f.out}}
}

func (a *app) makeReel(ctx context.Context, f reelFlags, base settings.Settings) error {
	l := reel.Lesson{Title: f.title, Lines: f.lines}
	drills, err := practice.Load(base.Practice)
	if err != nil {
		return err
	}
	l.Practice = &drills
	var o reel.Options
	for _, role := range []struct {
		files []string
		to    *[]reel.Clip
	}{{f.before, &l.Before}, {f.after, &l.After}, {f.reference, &l.Reference}, {f.drill, &l.Drill}} {
		for _, file := range role.files {
			w, s, err := a.written(file, base)
			if err != nil {
				return err
			}
			if ok, why := w.Sheet.ShowsReference(time.Now()); !ok && role.to == &l.Reference {
				return fmt.Errorf("%q is not shown: %s", file, why)
			}
			c, err := a.filmed(ctx, f, file, w, s)
			if err != nil {
				return err
			}
			*role.to = append(*role.to, c)
			if len(l.Before)+len(l.After) > 1 {
				continue
			}
			// The lesson is that of the first clip.
			o = s.Filming()
			if l.Putting, err = w.Sheet.Putting(s); err != nil {
				return err
			}
			if title, lines := opening("", w.Sheet); l.Title == "" && len(l.Lines) == 0 {
				l.Title, l.Lines = title, lines
			}
		}
	}
	for _, j := range f.films() {
		j.Lesson, j.Send = l, f.send
		j.Progress = func(share float64) { a.voice.progress("making "+filepath.Base(j.Out), share) }
		files, err := reel.Create(ctx, j, o)
		if err != nil {
			return err
		}
		a.voice.say("the reel is %s, with %d files beside it", j.Out, len(files)-1)
	}
	return nil
}
