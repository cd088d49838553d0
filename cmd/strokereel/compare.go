package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"strokereel/pipeline/judge"
	"strokereel/pipeline/labels"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/runs"
)

func (a *app) compareCommand() *cobra.Command {
	var in, out string
	var known knownFlags
	c := &cobra.Command{
		Use:   "compare RUN RUN",
		Short: "say which of two runs is nearer to the truth, and on which clips",
		Long: "compare puts two runs of measure --run side by side: positions, events, measures, how much\n" +
			"is given, whether intervals hold what is known, and time. With --truth (rendered clips) or\n" +
			"--labels (marked by hand) it says which clips got better and worse, and whether the\n" +
			"difference is more than noise: the mean of the differences, clip by clip, with its 95 %\n" +
			"interval by Student's distribution, lines of the table corrected for their number by Holm's\n" +
			"rule. Without either it says what changed, and by how much more than both are unsure of.\n\n" +
			"A clip costs the mean of its errors, each in units of the limit that the product is held to\n" +
			"(at most 5); a value that is not given counts as 2. With --out it also writes to DIR:\n" +
			"  compare.html     tables and plots\n" +
			"  lines.csv        over all clips\n" +
			"  clips.csv        clip by clip\n" +
			"  values.csv       every value in both runs",
		Example: "  strokereel compare plain late\n" +
			"  strokereel compare plain late --truth --out plain-late\n" +
			"  strokereel compare runs/plain elsewhere/runs/plain --labels marked",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return fmt.Errorf("name two runs (got %d)", len(args))
			}
			return known.check()
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			var both [2]*runs.Run
			for i, name := range args {
				var err error
				if both[i], err = runs.Open(in, name); err != nil {
					return err
				}
			}
			k, err := known.read()
			if err != nil {
				return err
			}
			c, err := judge.Compare(cmd.Context(), both[0], both[1], k)
			if err != nil {
				return err
			}
			if out != "" {
				if err := writeAll(out, map[string]func(io.Writer) error{"compare.html": c.WritePage, "lines.csv": c.WriteLines, "clips.csv": c.WriteClips, "values.csv": c.WriteValues}); err != nil {
					return err
				}
			}
			var b bytes.Buffer
			c.Print(&b)
			return a.voice.result(b.Bytes())
		},
	}
	c.Flags().StringVar(&in, "in", runsDir, "look for runs in `DIR`")
	c.Flags().StringVar(&out, "out", "", "write page and tables to `DIR`")
	known.add(c)
	return c
}

// knownFlags say where to find what really happened.
type knownFlags struct {
	truth  bool
	labels []string
	centre string
}

func (k *knownFlags) add(c *cobra.Command) {
	c.Flags().BoolVar(&k.truth, "truth", false, "compare with the truth files beside rendered clips")
	c.Flags().StringArrayVar(&k.labels, "labels", nil, "compare with what was marked by hand, `FILE` or folder; given again, with the mean")
	c.Flags().StringVar(&k.centre, "pixel-centre", "", "the centre of the top-left pixel in labels that do not say it: `0` or 0.5")
}

func (k *knownFlags) check() error {
	if k.truth && len(k.labels) > 0 {
		return errors.New("--truth and --labels both say what really happened: give one")
	}
	return checkCentre(k.centre)
}

func checkCentre(centre string) error {
	switch labels.Centre(centre) {
	case labels.InFile, labels.AtZero, labels.AtHalf:
		return nil
	}
	return fmt.Errorf("--pixel-centre must be 0 or 0.5 (got %q)", centre)
}

func (k *knownFlags) read() (judge.Known, error) {
	known := judge.Known{Truth: k.truth}
	if len(k.labels) == 0 {
		return known, nil
	}
	var sets []labels.Set
	for _, path := range k.labels {
		s, err := labels.Read(path, labels.Centre(k.centre))
		if err != nil {
			return known, err
		}
		sets = append(sets, s)
	}
	mean := labels.Mean(sets...)
	known.Labels = &mean
	return known, nil
}

// writeAll writes files to a folder, each complete or not at all.
func writeAll(dir string, files map[string]func(io.Writer) error) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("making the folder: %w", err)
	}
	for name, write := range files {
		if err := lesson.WriteFile(filepath.Join(dir, name), write); err != nil {
			return err
		}
	}
	return nil
}
