package pipeline

import (
	"context"
	"errors"
	"strings"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/settings"
	"strokereel/track"
)

// Usability says what a clip is good for.
type Usability string

// What a clip is good for.
const (
	Usable         Usability = "usable"
	WithoutNumbers Usability = "usable without numbers"
	FilmAgain      Usability = "film again"
)

// Verdict is a coach's one-line answer about a clip, while the student is still
// there.
type Verdict struct {
	Usability Usability
	Reasons   []string // plain words; empty when nothing is amiss
}

func (v Verdict) String() string {
	if len(v.Reasons) == 0 {
		return string(v.Usability)
	}
	return string(v.Usability) + ": " + strings.Join(v.Reasons, "; ")
}

// Check measures a clip and says what it is good for. A clip that cannot be
// read is a verdict too; an error means that checking itself failed.
func (c Reading) Check(ctx context.Context, s settings.Settings) (Verdict, error) {
	r, err := c.Measure(ctx, s)
	var refused *clip.Refusal
	if errors.As(err, &refused) {
		return Verdict{FilmAgain, []string{"the file " + refused.Text + ": " + refused.Hint}}, nil
	}
	if err != nil {
		return Verdict{}, err
	}
	return r.Verdict(), nil
}

// Verdict sums up a result.
func (r *Result) Verdict() Verdict {
	v := Verdict{Usability: Usable}
	for _, w := range r.Report.Warnings {
		v.Reasons = append(v.Reasons, w.Text)
	}
	putts := 0
	for i, s := range r.Strokes {
		if s.Kind != track.Putt {
			continue
		}
		putts++
		for _, e := range s.Events {
			if e.Status == track.NotMeasured && e.Name != track.LookUp {
				v.Reasons = append(v.Reasons, strings.ReplaceAll(e.Name, "_", " ")+" is not measured: "+e.Reason)
			}
		}
		for _, m := range r.Measures[i] {
			if m.ID == "hold_time" && m.Status == track.AtLeast {
				v.Reasons = append(v.Reasons, "the clip ends before the hold does: leave the camera running three seconds after the finish")
			}
		}
	}
	switch {
	case putts > 0:
	case r.Report.Clip.View != settings.DefaultSheet().View, r.Parts.ClearBall && len(r.Parts.Struck) > 0:
		v.Usability = WithoutNumbers // it can be trimmed and lined up by ball or click
	default:
		v.Usability = FilmAgain
	}
	return v
}
