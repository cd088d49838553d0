// Command bench scores strokereel on rendered clips with exact truth. It is a
// tool for developers; scripts/bench runs it.
package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"slices"

	"github.com/spf13/cobra"

	"strokereel/pipeline/bench"
	"strokereel/pipeline/settings"
)

var errBroken = errors.New("limits are broken")

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	root := &cobra.Command{Use: "bench", Short: "score strokereel on clips with known truth", SilenceUsage: true, SilenceErrors: true}
	root.AddCommand(accuracy(), draw(), diff(), score(), speed(), trackOnly(), night(), reelBench(), makeReel())
	if err := root.ExecuteContext(ctx); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		if errors.Is(err, errLost) {
			os.Exit(3)
		}
		os.Exit(1)
	}
}

// accuracy renders cases (cached) and scores them.
func accuracy() *cobra.Command {
	plan := bench.Plan{Settings: settings.Default()}
	var out string
	c := &cobra.Command{
		Use:   "accuracy [CASE...]",
		Short: "render cases and score them",
		RunE: func(cmd *cobra.Command, cases []string) error {
			if plan.Cases = cases; len(cases) == 0 {
				plan.Cases = bench.Cases()
			}
			switch plan.Worn {
			case bench.Anything, bench.Bands, bench.Nothing:
			default:
				return fmt.Errorf("--worn: must be bands or nothing (got %q)", plan.Worn)
			}
			clips, err := bench.Run(cmd.Context(), plan,
				func(line string) { fmt.Fprintln(cmd.ErrOrStderr(), line) })
			if err != nil {
				return err
			}
			return report(cmd, clips, out)
		},
	}
	c.Flags().IntVar(&plan.From, "from", 1, "first seed")
	c.Flags().IntVar(&plan.Seeds, "seeds", 4, "seeds of each case")
	c.Flags().StringVar((*string)(&plan.Worn), "worn", "", "only clips whose player wears bands, or nothing: arms and head are told by the body model then")
	c.Flags().StringVar(&plan.Cache, "cache", ".cache/bench", "folder of rendered clips")
	c.Flags().StringVar(&plan.Readings, "readings", "", "folder in which what is read of clips is kept, so that a run after a change of what follows need not read again")
	c.Flags().StringVar(&out, "json", "", "file for the result as JSON")
	c.Flags().BoolVar(&plan.Bound, "bound", false, "also measure the frames before coding, and compare with the Cramer-Rao bound of their noise (0.5 GB of disk a clip)")
	c.Flags().BoolVar(&plan.Others, "others", false, "also follow the sticker with OpenCV's general trackers, for orientation (scripts/setup --bench installs them)")
	return c
}

// score scores given clips: pairs of clip and truth.
func score() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:   "score CLIP TRUTH [CLIP TRUTH ...]",
		Short: "score clips that are already there",
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 || len(args)%2 != 0 {
				return errors.New("give pairs of clip and truth")
			}
			var clips []bench.Clip
			for pair := range slices.Chunk(args, 2) {
				c, err := bench.Score(cmd.Context(), pair[0], pair[1], settings.Default())
				if err != nil {
					return err
				}
				clips = append(clips, c)
			}
			return report(cmd, clips, out)
		},
	}
	c.Flags().StringVar(&out, "json", "", "file for the result as JSON")
	return c
}

// report prints the scores by case and over all, and fails when a limit is
// broken.
func report(cmd *cobra.Command, clips []bench.Clip, out string) error {
	w := cmd.OutOrStdout()
	var names []string
	byCase := map[string][]bench.Clip{}
	for _, c := range clips {
		if byCase[c.Case] == nil {
			names = append(names, c.Case)
		}
		byCase[c.Case] = append(byCase[c.Case], c)
	}
	for _, n := range names {
		fmt.Fprintf(w, "\n%s: ", n)
		bench.Summarise(byCase[n]).Print(w)
	}
	// The limits hold for all clips together: a case alone has too few.
	s := bench.Summarise(clips)
	if len(names) > 1 {
		fmt.Fprintf(w, "\nall: ")
		s.Print(w)
	}
	if slices.ContainsFunc(clips, func(c bench.Clip) bool { return c.Bound != nil }) {
		fmt.Fprintf(w, "\nthe marker beside the least error that noise allows, per axis:\n")
		bench.PrintBounds(w, clips)
		bench.PrintUncoded(w, clips)
	}
	if slices.ContainsFunc(clips, func(c bench.Clip) bool { return c.Others != nil }) {
		fmt.Fprintf(w, "\nthe marker beside OpenCV's general trackers:\n")
		bench.PrintOthers(w, clips)
	}
	fmt.Fprintln(w)
	bench.PrintArms(w, clips)
	fmt.Fprintf(w, "\noutside the exam's limits, case by case:\n")
	bench.PrintExam(w, bench.Exam(clips), false)
	for _, b := range s.Broken {
		fmt.Fprintf(w, "LIMIT BROKEN  %s\n", b)
	}
	if out != "" {
		b, err := json.MarshalIndent(clips, "", " ")
		if err != nil {
			return err
		}
		if err := os.WriteFile(out, b, 0o644); err != nil {
			return err
		}
	}
	if len(s.Broken) > 0 {
		return errBroken
	}
	return nil
}
