package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"strokereel/pipeline/bench"
	"strokereel/pipeline/demo"
)

// draw fills the cache ahead of a run, seed by seed.
func draw() *cobra.Command {
	var first, last int
	var cache string
	c := &cobra.Command{
		Use:   "draw [CASE...]",
		Short: "render clips into the cache without scoring them",
		RunE: func(cmd *cobra.Command, cases []string) error {
			if len(cases) == 0 {
				cases = bench.Cases()
			}
			for seed := first; seed <= last; seed++ {
				for _, name := range cases {
					clip, _, err := demo.Cached(cmd.Context(), cache, name, seed)
					if err != nil {
						return err
					}
					fmt.Fprintln(cmd.OutOrStdout(), clip)
				}
			}
			return nil
		},
	}
	c.Flags().IntVar(&first, "from", 1, "first seed")
	c.Flags().IntVar(&last, "to", 4, "last seed")
	c.Flags().StringVar(&cache, "cache", ".cache/bench", "folder of rendered clips")
	return c
}
