package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"strokereel/pipeline/site/shelf"
)

func (a *app) withdrawCommand() *cobra.Command {
	var lesson string
	c := &cobra.Command{
		Use:   "withdraw OUTBOX SHELF STUDENT",
		Short: "take a student's pages from the shelf",
		Long: "withdraw takes all pages of STUDENT from SHELF at once, or with --lesson one of them, and\n" +
			"keeps them from being published again until publish --again STUDENT. They then get\n" +
			"another link. The outbox keeps the lessons.",
		Example: "  strokereel withdraw results shelf S-014",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			if len(args) != 3 {
				return fmt.Errorf("name the outbox, the shelf and the student (got %d)", len(args))
			}
			return nil
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := a.settings()
			if err != nil {
				return err
			}
			lines, err := shelf.Withdraw(cmd.Context(), args[0], args[1], args[2], lesson, s.Site)
			if err != nil {
				return held(err)
			}
			for _, l := range lines {
				a.tellShelf(l)
			}
			a.voice.say("%d withdrawn", len(lines))
			return nil
		},
	}
	c.Flags().StringVar(&lesson, "lesson", "", "withdraw only this `LESSON`, by its folder in the outbox")
	return c
}
