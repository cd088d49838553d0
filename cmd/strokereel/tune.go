package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"

	"github.com/spf13/cobra"

	"strokereel/pipeline/judge"
	"strokereel/pipeline/runs"
	"strokereel/pipeline/settings"
)

func (a *app) tuneCommand() *cobra.Command {
	var in, name string
	var over []string
	var axes []runs.Axis
	var known knownFlags
	c := &cobra.Command{
		Use:   "tune --over KEY=A,B,C CLIP|FOLDER... (--truth | --labels FILE)",
		Short: "try settings on clips of which the truth is known",
		Long: "tune measures the clips with every combination of the values given, on all cores, and with\n" +
			"the settings in force, and says whether one is better. The best profile is chosen on all clips\n" +
			"but one and judged on that one, for each clip in turn: the best of many is best by luck as well.\n" +
			"A gain inside the noise is called no better. Clips cost as compare --help says.\n\n" +
			"Each profile is a run of its own in DIR/NAME, for compare; its settings.yaml is ready for\n" +
			"--settings. Beside them: tune.html, profiles.csv, clips.csv. What is measured is not measured\n" +
			"again: a broken tune goes on where it stopped.",
		Example: "  strokereel tune --over track.phase.stop_distance=1,2,3 --over track.phase.hold_distance=4,5 clips --truth\n" +
			"  strokereel tune --over track.marker.min_chroma=8,12,16 clips --labels marked",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			switch {
			case len(args) == 0:
				return errors.New("name the clips to tune on, or folders of clips")
			case len(over) == 0:
				return errors.New("say what to try: --over key=a,b,c")
			case !known.truth && len(known.labels) == 0:
				return errors.New("say what really happened: --truth or --labels")
			}
			for _, text := range over {
				axis, err := runs.ParseAxis(text)
				if err != nil {
					return err
				}
				axes = append(axes, axis)
			}
			return known.check()
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := a.settings()
			if err != nil {
				return err
			}
			k, err := known.read()
			if err != nil {
				return err
			}
			profiles, senseless, err := runs.Grid(runs.Profile{Name: given(s), Base: s, Sets: a.sets}, axes)
			for _, text := range senseless {
				a.voice.say("left out, it makes no sense: %s", text)
			}
			if err != nil {
				return usage(err, "strokereel settings, for a list of them all")
			}
			dir := filepath.Join(in, name)
			all, _, err := a.measureRuns(cmd, runs.Job{Dir: dir, Seen: filepath.Join(in, runs.SeenDir), Profiles: profiles}, args)
			if err != nil {
				return err
			}
			t, err := judge.Tune(cmd.Context(), all, k)
			if err != nil {
				return err
			}
			if err := writeAll(dir, map[string]func(io.Writer) error{"tune.html": t.WritePage, "profiles.csv": t.WriteProfiles, "clips.csv": t.WriteClips}); err != nil {
				return err
			}
			var b bytes.Buffer
			t.Print(&b)
			if t.Better() {
				fmt.Fprintf(&b, "its settings: %s\n", t.Runs[t.Best].SettingsFile())
			}
			return a.voice.result(b.Bytes())
		},
	}
	c.Flags().StringArrayVar(&over, "over", nil, "values to try for one setting, `KEY=A,B,C` (may be given again)")
	c.Flags().StringVar(&in, "in", runsDir, "keep the runs in `DIR`")
	c.Flags().StringVar(&name, "name", "tune", "folder of this tuning within it")
	known.add(c)
	return c
}

// given names the settings in force.
func given(s settings.Settings) string {
	if s.Changed(settings.Measuring()...) == nil {
		return "default"
	}
	return "given"
}
