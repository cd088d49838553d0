package main

import (
	"errors"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"strokereel/pipeline"
)

var errNoStroke = errors.New("no stroke was measured")

func (a *app) measureCommand() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:   "measure CLIP --out DIR",
		Short: "measure the strokes in one clip",
		Long: "measure reads a clip once, finds sticker, ball, events and lengths, and writes to DIR:\n" +
			"  report.json           events and measures with their uncertainty, or why there are none\n" +
			"  track.csv, path.csv   what was seen in each frame, and the smoothed path of the putter\n" +
			"  stroke-N-EVENT.png    an annotated still of each event\n" +
			"It ends with 3 when no stroke could be measured; the report then says why.",
		Example: "  strokereel measure before.mp4 --out results/before",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return fmt.Errorf("name one clip (got %d)", len(args))
			}
			if out == "" {
				return errors.New("say where the results go: --out DIR")
			}
			return nil
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := a.settings()
			if err != nil {
				return err
			}
			name := filepath.Base(args[0])
			r, err := pipeline.Measure(cmd.Context(), args[0], s, func(share float64) { a.voice.progress("measuring "+name, share) })
			if err != nil {
				return refused(err)
			}
			if err := r.Save(cmd.Context(), args[0], out, s); err != nil {
				return err
			}
			a.voice.say("%s: %s", name, r.Verdict())
			a.voice.say("results in %s", out)
			if r.Measured() == 0 {
				return coded{fmt.Errorf("%q: %w", args[0], errNoStroke), exitSomeFailed, ""}
			}
			return nil
		},
	}
	c.Flags().StringVar(&out, "out", "", "write the results to `DIR`")
	return c
}
