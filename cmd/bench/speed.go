package main

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"strokereel/pipeline"
	"strokereel/pipeline/bench"
	"strokereel/pipeline/settings"
)

// speed times the tracking pass against plain decoding, in turn.
func speed() *cobra.Command {
	var rounds int
	var truth string
	c := &cobra.Command{
		Use:   "speed CLIP",
		Short: "time the tracking pass against ffmpeg -i CLIP -f null -",
		Args:  cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			self, err := os.Executable()
			if err != nil {
				return err
			}
			var ours, plain []cost
			for range rounds {
				o, err := spent(cmd.Context(), self, "track", args[0])
				if err != nil {
					return err
				}
				p, err := spent(cmd.Context(), "ffmpeg", "-nostdin", "-v", "error", "-i", args[0], "-f", "null", "-")
				if err != nil {
					return err
				}
				ours, plain = append(ours, o), append(plain, p)
			}
			o, p := medianCost(ours), medianCost(plain)
			fmt.Fprintf(cmd.OutOrStdout(), "tracking pass %.2f s wall, %.2f s CPU, peak %.0f MB; plain decoding %.2f s wall, %.2f s CPU; ratios %.2f wall, %.2f CPU (medians of %d)\n",
				o.Wall, o.CPU, o.Peak, p.Wall, p.CPU, o.Wall/p.Wall, o.CPU/p.CPU, rounds)
			if truth == "" {
				return nil
			}
			return playerSpeed(cmd, self, args[0], truth, rounds, o)
		},
	}
	c.Flags().IntVar(&rounds, "rounds", 5, "how often")
	c.Flags().StringVar(&truth, "truth", "", "truth of a clip with bands: also time what they and the body model add")
	return c
}

// playerSpeed times, in CPU, what following bands adds to the tracking pass and
// what the body model adds to measuring.
func playerSpeed(cmd *cobra.Command, self, clip, truth string, rounds int, plain cost) error {
	known, err := bench.ReadTruth(truth)
	if err != nil {
		return err
	}
	var bands, with, without []cost
	for range rounds {
		for _, run := range []struct {
			to   *[]cost
			args []string
		}{{&bands, []string{"track", clip, "--truth", truth}}, {&with, []string{"track", clip, "--measure"}}, {&without, []string{"track", clip, "--measure", "--no-model"}}} {
			c, err := spent(cmd.Context(), self, run.args...)
			if err != nil {
				return err
			}
			*run.to = append(*run.to, c)
		}
	}
	b, m := medianCost(bands), medianCost(with)
	length := known.Frames[len(known.Frames)-1].T
	model := m.CPU - medianCost(without).CPU
	fmt.Fprintf(cmd.OutOrStdout(), "bands: tracking pass %.2f s CPU instead of %.2f, %+.0f %% (limit 20 %%); body model: %.2f s CPU on a clip of %.1f s, %.1f s for 5 s (limit 10), peak %.0f MB (medians of %d)\n",
		b.CPU, plain.CPU, 100*(b.CPU/plain.CPU-1), model, length, 5*model/length, m.Peak, rounds)
	return nil
}

// trackOnly is the tracking pass alone, or all of measuring, for speed to time.
func trackOnly() *cobra.Command {
	var truth string
	var whole, noModel bool
	c := &cobra.Command{
		Use: "track CLIP", Short: "the tracking pass alone", Args: cobra.ExactArgs(1), Hidden: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			s := settings.Default()
			if truth != "" {
				known, err := bench.ReadTruth(truth)
				if err != nil {
					return err
				}
				s = bench.WithSheet(s, known)
			}
			if noModel {
				s.Track.Body.Model = "off"
			}
			if whole {
				_, err := pipeline.Measure(cmd.Context(), args[0], s, nil)
				return err
			}
			n, err := pipeline.TrackingPass(cmd.Context(), args[0], s)
			if err == nil {
				fmt.Fprintln(cmd.OutOrStdout(), n, "frames")
			}
			return err
		},
	}
	c.Flags().StringVar(&truth, "truth", "", "truth that names the bands")
	c.Flags().BoolVar(&whole, "measure", false, "measure the clip")
	c.Flags().BoolVar(&noModel, "no-model", false, "without the body model")
	return c
}
