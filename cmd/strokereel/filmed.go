package main

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"time"

	"strokereel/pipeline"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/reel"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
	"strokereel/track"
)

// written is what people wrote beside a clip, its corrections alone, and the
// settings that follow from it; what was typed wins.
func (a *app) written(file string, base settings.Settings) (w sheet.Written, s settings.Settings, err error) {
	dir, name, err := sheet.FolderOf(file)
	if err != nil {
		return w, base, err
	}
	if w, err = sheet.ReadFolder(dir); err != nil {
		return w, base, fmt.Errorf("beside %q: %w", file, err)
	}
	w.Corrections = sheet.Corrections{file: w.Corrections[name]}
	if w.Corrections[file].Role == sheet.Unusable {
		return w, base, fmt.Errorf("%q is marked unusable in %s: name another clip", file, sheet.CorrectionsFile)
	}
	if len(w.Card.Consents) > 0 {
		if ok, why := w.Card.Allows(sheet.ToMeasure, time.Now()); !ok {
			return w, base, fmt.Errorf("%q is not measured: %s", file, why)
		}
	}
	if s, err = w.Sheet.Settings(base); err != nil {
		return w, s, err
	}
	if err = s.Apply(a.sets); err != nil {
		return w, s, usage(err, "")
	}
	return w, s, s.Validate()
}

// reading readies a clip to be measured with what a person put right in it.
func (a *app) reading(file string, w sheet.Written) pipeline.Reading {
	return pipeline.Reading{File: file, Fix: w.Corrections[file], Progress: func(share float64) { a.voice.progress("measuring "+filepath.Base(file), share) }}
}

// filmed is a clip as a reel shows it. A person's mark lines it up; where there
// is none and no putt is measured, the click is listened for.
func (a *app) filmed(ctx context.Context, f reelFlags, file string, w sheet.Written, s settings.Settings) (c reel.Clip, err error) {
	if c.Findings, err = a.found(ctx, f, file, w, s); err != nil {
		return c, err
	}
	marks, err := f.marked()
	if err != nil {
		return c, err
	}
	mark, ok := marks[file]
	if fix := w.Corrections[file].Impact; !ok && fix > 0 {
		mark, ok = fix, true
	}
	numbers := slices.ContainsFunc(c.Report.Strokes, func(s lesson.Stroke) bool { return s.Kind != track.Unusable })
	switch {
	case ok:
		c.Mark = &mark
	case !numbers:
		c.Click, err = reel.Click(ctx, file, s.Filming())
	}
	return c, err
}

// found measures a clip, or takes what was kept of it.
func (a *app) found(ctx context.Context, f reelFlags, file string, w sheet.Written, s settings.Settings) (lesson.Findings, error) {
	name, dir := filepath.Base(file), filepath.Join(f.results, resultName(file))
	if f.results != "" {
		if kept, ok := pipeline.Kept(file, dir, s, w.Corrections[file]); ok {
			a.voice.say("%s: was measured before, results in %s", name, dir)
			return kept, nil
		}
	}
	r, err := a.reading(file, w).Measure(ctx, s)
	if err != nil {
		return lesson.Findings{}, refused(err)
	}
	a.voice.say("%s: %s", name, r.Verdict())
	if f.results != "" {
		if err := r.Save(ctx, file, dir, s); err != nil {
			return lesson.Findings{}, err
		}
		a.voice.say("results in %s", dir)
	}
	return lesson.Findings{File: file, Report: r.Report, Observed: r.Observed, Smooth: r.Smooth}, nil
}
