package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"strokereel/pipeline"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/night"
	"strokereel/pipeline/runs"
	"strokereel/pipeline/settings"
)

var errNoStroke = errors.New("no stroke was measured")

func (a *app) measureCommand() *cobra.Command {
	var out, run, like string
	c := &cobra.Command{
		Use:   "measure CLIP --out DIR",
		Short: "measure the strokes in one clip, or in many side by side",
		Long: "measure reads a clip once, finds sticker, ball, events and lengths, and writes to DIR:\n" +
			"  report.json           events and measures with their uncertainty, or why there are none\n" +
			"  track.csv, path.csv   what was seen in each frame, and the smoothed path of the putter\n" +
			"  stroke-N-EVENT.png    an annotated still of each event\n" +
			"What lesson.yaml, student.yaml and corrections.yaml beside the clip say counts. It ends\n" +
			"with 3 when no stroke could be measured; the report then says why.\n\n" +
			"With --run NAME it measures many clips, on all cores, into a run of that name: a folder\n" +
			"DIR/NAME with the results of each clip, without stills, and the settings. Runs with other\n" +
			"settings stay beside it, for compare. What is done already is not done again, and frames\n" +
			"are read again only for settings that reading follows. A sheet (lesson.yaml) beside the\n" +
			"clips counts, but --set wins over it. Of corrections.yaml only unusable clips are heeded,\n" +
			"which are left out: a run shows what its settings find by themselves. So are clips of a\n" +
			"student whose card does not allow the purpose bench. DIR/.seen may be removed at any time.\n\n" +
			"With --like REPORT the settings are those of an earlier report, which is so repeated.",
		Example: "  strokereel measure before.mp4 --out results/before\n" +
			"  strokereel measure before.mp4 --like results/before/report.json --out again\n" +
			"  strokereel measure --run plain clips\n" +
			"  strokereel measure --run late-stop --set track.phase.stop_distance=4 clips",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			switch {
			case run != "" && len(args) == 0:
				return errors.New("name the clips of the run, or folders of clips")
			case run == "" && len(args) != 1:
				return fmt.Errorf("name one clip (got %d), or give the run of several a name: --run NAME", len(args))
			case run == "" && out == "":
				return errors.New("say where the results go: --out DIR")
			}
			return nil
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			base, err := a.settingsLike(like)
			if err != nil {
				return err
			}
			if run != "" {
				job := runs.Job{Dir: orElse(out, runsDir), Profiles: []runs.Profile{{Name: run, Base: base, Sets: a.sets}}}
				_, failed, err := a.measureRuns(cmd, job, args)
				if err == nil && failed > 0 {
					err = coded{fmt.Errorf("%s without results", clipCount(failed)), exitSomeFailed, ""}
				}
				return err
			}
			return a.measureOne(cmd, args[0], out, like, base)
		},
	}
	c.Flags().StringVar(&out, "out", "", "write the results to `DIR` (of runs: "+runsDir+")")
	c.Flags().StringVar(&run, "run", "", "measure many clips into a run called `NAME`")
	c.Flags().StringVar(&like, "like", "", "with the settings of the report in `FILE`")
	return c
}

// runsDir holds runs unless another folder is named.
const runsDir = "runs"

func orElse(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}

// settingsLike returns the settings in force, or those of an earlier report
// changed by the sets.
func (a *app) settingsLike(report string) (settings.Settings, error) {
	if report == "" {
		return a.settings()
	}
	if a.settingsFile != "" {
		return settings.Settings{}, usage(errors.New("--like and --settings both say which settings"), "")
	}
	r, err := readReport(report)
	if err != nil {
		return settings.Settings{}, err
	}
	s, err := settings.Of(r.MadeBy.Changed, r.MadeBy.Settings)
	if err != nil {
		return s, fmt.Errorf("the report %q of version %s: %w", report, r.MadeBy.Version, err)
	}
	if err := s.Apply(a.sets); err != nil {
		return s, usage(err, "")
	}
	return s, usage(s.Validate(), "")
}

func readReport(path string) (lesson.Report, error) {
	f, err := os.Open(path)
	if err != nil {
		return lesson.Report{}, fmt.Errorf("reading the report: %w", err)
	}
	defer f.Close()
	r, err := lesson.ReadReport(f)
	if err != nil {
		return r, fmt.Errorf("reading the report %q: %w", path, err)
	}
	return r, nil
}

func (a *app) measureOne(cmd *cobra.Command, clip, out, like string, s settings.Settings) error {
	name := filepath.Base(clip)
	var earlier []byte // before its folder may be overwritten
	var told pipeline.Delay
	if like != "" {
		var err error
		if earlier, err = os.ReadFile(like); err != nil {
			return fmt.Errorf("reading the report: %w", err)
		}
		report, err := readReport(like)
		if err != nil {
			return err
		}
		told = pipeline.Told(report)
	}
	w, own, err := a.written(clip, s)
	if err != nil {
		return err
	}
	if like == "" { // else the report tells what the sheet said
		s = own
	}
	c := a.reading(clip, w)
	c.Sound = told
	r, err := c.Measure(cmd.Context(), s)
	if err != nil {
		return refused(err)
	}
	if err := r.Save(cmd.Context(), clip, out, s); err != nil {
		return err
	}
	a.voice.say("%s: %s", name, r.Verdict())
	a.voice.say("results in %s", out)
	if like != "" {
		again, err := r.Report.Marshal()
		if err != nil {
			return err
		}
		if bytes.Equal(earlier, again) {
			a.voice.say("the report is the same as %s", like)
		} else {
			a.voice.say("the report differs from %s: another clip, program or setting", like)
		}
	}
	if r.Measured() == 0 {
		return coded{fmt.Errorf("%q: %w", clip, errNoStroke), exitSomeFailed, ""}
	}
	return nil
}

// measureRuns measures the clips that paths name into the profiles' runs, and
// returns how many have no results.
func (a *app) measureRuns(cmd *cobra.Command, j runs.Job, paths []string) (all []*runs.Run, failed int, err error) {
	if j.Clips, err = runs.Find(paths...); err != nil {
		return nil, 0, err
	}
	kept, total := 0, 0
	why := map[string]string{} // told once for all profiles
	j.Lanes, j.Today = night.Lanes(j.Profiles[0].Base.Night), time.Now()
	j.Told = func(e runs.Event) {
		total++
		if e.Kept {
			kept++
		}
		if e.Failed != "" && why[e.Clip] != e.Failed {
			why[e.Clip] = e.Failed
			a.voice.say("%s: %s", e.Clip, e.Failed)
		}
		a.voice.progress("measuring", float64(e.Done)/float64(e.Total))
	}
	if all, err = runs.Measure(cmd.Context(), j); err != nil {
		return nil, 0, err
	}
	what := "run " + j.Profiles[0].Name
	if n := len(j.Profiles); n > 1 {
		what = fmt.Sprintf("%d profiles", n)
	}
	a.voice.say("%s of %s: %d measured, %d done before, %d without results; in %s", what, clipCount(len(j.Clips)), total-kept, kept, len(why), j.Dir)
	return all, len(why), nil
}
