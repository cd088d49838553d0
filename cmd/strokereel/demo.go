package main

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"strokereel/pipeline/demo"
)

func (a *app) demoCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "demo DIR",
		Short: "make an invented lesson to try things on",
		Long: "demo draws the clips of an invented student, before and after a lesson, with sound,\n" +
			"sheet and the exact truth of every stroke. Clips that are there already are kept.",
		Example: "  strokereel demo demo-lesson",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return fmt.Errorf("name one folder for the lesson (got %d)", len(args))
			}
			return nil
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			dir := filepath.Clean(args[0])
			err := demo.Lesson(cmd.Context(), dir, func(p demo.Progress) {
				if p.Total > 0 {
					a.voice.progress("drawing "+p.Clip, float64(p.Done)/float64(p.Total))
				}
			})
			if err != nil {
				return err
			}
			a.voice.say("the demo lesson is in %s", dir)
			return nil
		},
	}
}
