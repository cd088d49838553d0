package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"strokereel/pipeline/bench"
)

var errLost = errors.New("figures that kept their limits no longer do")

// diff compares two results of accuracy or score.
func diff() *cobra.Command {
	return &cobra.Command{
		Use:   "diff OLD.json NEW.json",
		Short: "compare two results case by case; exit 3 when a figure has left its limit",
		Args:  cobra.ExactArgs(2),
		RunE: func(cmd *cobra.Command, args []string) error {
			before, err := readClips(args[0])
			if err != nil {
				return err
			}
			after, err := readClips(args[1])
			if err != nil {
				return err
			}
			changes := bench.Compare(before, after)
			bench.PrintChanges(cmd.OutOrStdout(), changes)
			for _, c := range changes {
				if c.Lost() {
					return errLost
				}
			}
			return nil
		},
	}
}

func readClips(path string) ([]bench.Clip, error) {
	raw, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("reading a result: %w", err)
	}
	var clips []bench.Clip
	if err := json.Unmarshal(raw, &clips); err != nil {
		return nil, fmt.Errorf("reading the result %q: %w", path, err)
	}
	return clips, nil
}
