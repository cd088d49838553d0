package main

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/night"
	"strokereel/pipeline/practice"
	"strokereel/pipeline/reel"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
)

// nightReel is the name of a night's film in its lesson's folder.
const nightReel = "reel.mp4"

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
		r.Title, r.Lines = opening(l.Name, l.Sheet)
		own, err := l.Sheet.Settings(s)
		if err != nil {
			return err
		}
		if r.Putting, err = l.Sheet.Putting(own); err != nil {
			return err
		}
		for _, c := range l.Clips {
			to := map[sheet.Role]*[]reel.Clip{sheet.Before: &r.Before, sheet.After: &r.After, sheet.Reference: &r.Reference, sheet.Drill: &r.Drill}[c.Role]
			if ok, _ := l.Sheet.ShowsReference(time.Now()); to == nil || c.Role == sheet.Reference && !ok {
				continue
			}
			shown, err := shownClip(ctx, c, o)
			if err != nil {
				return err
			}
			*to = append(*to, shown)
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

// opening is what the first page of a lesson's reel says.
func opening(name string, of sheet.Sheet) (title string, lines []string) {
	title = strings.Join(strings.Fields(name), " ")
	if of.Student != "" {
		title = of.Student
	}
	if of.Date != "" {
		lines = append(lines, of.Date)
	}
	var putt []string
	if d := of.PuttDistance; d > 0 {
		putt = append(putt, fmt.Sprintf("putt of %g m", d))
	}
	if g := of.GreenSpeed; g > 0 {
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
