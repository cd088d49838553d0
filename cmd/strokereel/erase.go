package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/night"
	"strokereel/pipeline/site/shelf"
)

func (a *app) eraseCommand() *cobra.Command {
	var inbox, receipt string
	c := &cobra.Command{
		Use:   "erase OUTBOX STUDENT",
		Short: "remove a student everywhere and write a receipt",
		Long: "erase removes STUDENT from every shelf that OUTBOX was published to and from OUTBOX itself,\n" +
			"searches what is left for the student's code and the fingerprints of the clips, and writes\n" +
			"a receipt. The original clips are removed only with --originals INBOX; otherwise the next\n" +
			"night would make the lessons again. Backups, and versions that a bucket keeps, are not\n" +
			"reached. It ends with 3 when something is left.",
		Example: "  strokereel erase results S-014 --originals clips --receipt S-014-erased.json",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return fmt.Errorf("name the outbox and the student (got %d)", len(args))
			}
			return nil
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := a.settings()
			if err != nil {
				return err
			}
			held, err := night.Hold(args[0])
			if err != nil {
				return coded{err, exitNoStart, "wait until the night has ended"}
			}
			defer held.Close()
			r, err := shelf.Erase(cmd.Context(), args[0], inbox, args[1], s.Site)
			if err != nil {
				return err
			}
			data, err := r.Marshal()
			if err == nil {
				err = a.receipt(receipt, data)
			}
			if err != nil {
				return err
			}
			if inbox == "" {
				a.voice.say("the original clips were left alone; remove them, or erase again with --originals")
			}
			if r.Empty() {
				return coded{fmt.Errorf("nothing of %q was found: write the code as the sheet and the card do", visible(args[1])), exitSomeFailed, ""}
			}
			if !r.Complete() {
				return coded{errors.New("not everything could be erased: the receipt says what is left"), exitSomeFailed, ""}
			}
			a.voice.say("%s is erased", visible(args[1]))
			return nil
		},
	}
	c.Flags().StringVar(&inbox, "originals", "", "also remove the original clips in `INBOX`")
	c.Flags().StringVar(&receipt, "receipt", "", "write the receipt to `FILE` (else it is printed)")
	return c
}

func (a *app) receipt(file string, data []byte) error {
	if file == "" {
		return a.voice.result(data)
	}
	return lesson.WriteFile(file, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}
