package main

import (
	"errors"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"strokereel/pipeline/inspect"
)

func (a *app) inspectCommand() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:   "inspect CLIP --out DIR",
		Short: "show how a clip was read: what was looked at, what was not taken and why",
		Long: "inspect measures a clip and shows what went on. It prints how often what was taken or\n" +
			"not and why, and which sticker and ball play a part, and writes to DIR:\n" +
			"  looks.mp4             every frame, slowly: what was looked at, taken or crossed out\n" +
			"                        with the reason; the sticker enlarged; in colour only what has\n" +
			"                        a sticker's colour\n" +
			"  looks.csv             every look as a row, to choose a threshold by\n" +
			"  stroke-N-motion.*     position, speed and acceleration with events and 95 % bands\n" +
			"  stroke-N-plane.*      the sticker's path in the plane\n" +
			"  stroke-N-impact.*     the signs of impact on one axis\n" +
			"Charts come as .svg and .png.",
		Example: "  strokereel inspect before.mp4 --out why\n  strokereel inspect before.mp4 --out why --set track.marker.min_contrast=10",
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
			w, s, err := a.written(args[0], s)
			if err != nil {
				return err
			}
			name := filepath.Base(args[0])
			i, err := inspect.Look(cmd.Context(), a.reading(args[0], w), s)
			if err != nil {
				return refused(err)
			}
			if err := i.Save(cmd.Context(), s, out, func(share float64) { a.voice.progress("drawing "+name, share) }); err != nil {
				return err
			}
			if err := a.voice.result([]byte(i.Summary(s))); err != nil {
				return err
			}
			a.voice.say("%s: %s", name, i.Result.Verdict())
			a.voice.say("results in %s", out)
			return nil
		},
	}
	c.Flags().StringVar(&out, "out", "", "write the results to `DIR`")
	return c
}
