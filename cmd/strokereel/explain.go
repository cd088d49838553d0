package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"strokereel/pipeline"
	"strokereel/pipeline/explain"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

func (a *app) explainCommand() *cobra.Command {
	var out string
	var stroke int
	c := &cobra.Command{
		Use:   "explain MEASURE CLIP|REPORT [--stroke N] [--out DIR]",
		Short: "say how one number came about: formula, inputs, uncertainty, frames",
		Long: "explain tells of one number: its formula and where that is from, its inputs with their\n" +
			"values, how their uncertainties add up to its interval (a budget as in JCGM 100:2008),\n" +
			"and the frames it rests on. REPORT is a report.json or the folder that measure left; a\n" +
			"CLIP is measured first. With a CLIP and --out the frames are drawn enlarged, with what\n" +
			"was found in them, into one picture.\n\n" +
			"MEASURE is one of:\n  " + strings.Join(explain.Names(), "\n  "),
		Example: "  strokereel explain tempo results/before\n  strokereel explain ball_speed before.mp4 --out why",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return fmt.Errorf("name a measure and a clip or report (got %d)", len(args))
			}
			return explain.Check(args[0])
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			from, err := a.explained(cmd.Context(), args[1])
			if err != nil {
				return err
			}
			if out != "" && from.result == nil {
				return usage(errors.New("pictures of the frames need the clip, not its report"), "strokereel explain "+args[0]+" CLIP --out DIR")
			}
			e, err := explain.Number(from.report, from.choose(stroke), args[0], from.frames)
			if err != nil {
				return err
			}
			from.addStills(&e)
			if err := a.voice.result([]byte(e.Text())); err != nil {
				return err
			}
			if out != "" {
				return a.explainPicture(cmd.Context(), e, from, out)
			}
			return nil
		},
	}
	c.Flags().StringVar(&out, "out", "", "draw the frames into a picture in `DIR`")
	c.Flags().IntVar(&stroke, "stroke", 0, "which stroke of the clip, from 1 (else the first putt)")
	return c
}

// explained is what numbers are explained from.
type explained struct {
	file   string
	report lesson.Report
	frames []track.Sample
	result *pipeline.Result // nil without the clip
}

// explained reads a report, or measures a clip.
func (a *app) explained(ctx context.Context, path string) (explained, error) {
	if i, err := os.Stat(path); err == nil && i.IsDir() {
		path = filepath.Join(path, pipeline.ReportFile)
	}
	if filepath.Ext(path) == ".json" {
		return explainedReport(path)
	}
	s, err := a.settings()
	if err != nil {
		return explained{}, err
	}
	w, s, err := a.written(path, s)
	if err != nil {
		return explained{}, err
	}
	r, err := a.reading(path, w).Measure(ctx, s)
	if err != nil {
		return explained{}, refused(err)
	}
	return explained{file: path, report: r.Report, frames: r.Parts.Putter.Track.Samples, result: r}, nil
}

// explainedReport reads a report and, where it is beside it, which frame was when.
func explainedReport(path string) (explained, error) {
	f, err := os.Open(path)
	if err != nil {
		return explained{}, fmt.Errorf("reading the report: %w", err)
	}
	defer f.Close()
	out := explained{file: path}
	if out.report, err = lesson.ReadReport(f); err != nil {
		return explained{}, fmt.Errorf("reading the report %q: %w", path, err)
	}
	t, err := os.Open(filepath.Join(filepath.Dir(path), pipeline.TrackFile))
	if errors.Is(err, fs.ErrNotExist) {
		return out, nil
	} else if err != nil {
		return explained{}, fmt.Errorf("reading the tracks beside %q: %w", path, err)
	}
	defer t.Close()
	tracks, err := lesson.ReadTracks(t)
	if err != nil {
		return explained{}, fmt.Errorf("reading the tracks beside %q: %w", path, err)
	}
	if len(tracks) > 0 {
		out.frames = tracks[0].Track.Samples
	}
	return out, nil
}

// choose is the index of the stroke asked for, else of the first putt.
func (e explained) choose(stroke int) int {
	if stroke > 0 {
		return stroke - 1
	}
	for i, s := range e.report.Strokes {
		if s.Kind == track.Putt {
			return i
		}
	}
	return 0
}

// addStills names the pictures of the moments that lie beside a report.
func (e explained) addStills(x *explain.Explanation) {
	if e.result != nil {
		return
	}
	for k, m := range x.Moments {
		still := filepath.Join(filepath.Dir(e.file), pipeline.StillName(x.Stroke, m.Event))
		if _, err := os.Stat(still); err == nil {
			x.Moments[k].Still = still
		}
	}
}

// explainPicture draws the frames a number rests on.
func (a *app) explainPicture(ctx context.Context, e explain.Explanation, from explained, out string) error {
	s, err := a.settings()
	if err != nil {
		return err
	}
	file, err := explain.Frames(ctx, e, from.file, from.result, s.Clip, out)
	if err != nil {
		return err
	}
	a.voice.say("frames in %s", file)
	return nil
}
