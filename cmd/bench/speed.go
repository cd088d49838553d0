package main

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"strokereel/pipeline"
	"strokereel/pipeline/settings"
)

// speed times the tracking pass against plain decoding, in turn.
func speed() *cobra.Command {
	var rounds int
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
			return nil
		},
	}
	c.Flags().IntVar(&rounds, "rounds", 5, "how often")
	return c
}

// trackOnly is the tracking pass alone, for speed to time.
func trackOnly() *cobra.Command {
	return &cobra.Command{
		Use: "track CLIP", Short: "the tracking pass alone", Args: cobra.ExactArgs(1), Hidden: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			n, err := pipeline.TrackingPass(cmd.Context(), args[0], settings.Default())
			if err == nil {
				fmt.Fprintln(cmd.OutOrStdout(), n, "frames")
			}
			return err
		},
	}
}
