package main

import (
	"errors"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"strokereel/pipeline"
	"strokereel/pipeline/clip"
)

func (a *app) checkCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "check CLIP...",
		Short: "say within seconds whether clips can be measured",
		Long: "check prints one line per clip: usable, usable without numbers, or film again, and why,\n" +
			"after what the card says that the clip shows (strokereel card), when it shows one.\n" +
			"Sheet, card and corrections beside a clip count. It ends with 3 when a clip should be\n" +
			"filmed again or could not be checked.",
		Example: "  strokereel check before.mp4 after.mp4",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return errors.New("name at least one clip")
			}
			return nil
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := a.settings()
			if err != nil {
				return err
			}
			again := 0
			for _, file := range args {
				name := filepath.Base(file)
				verdict, usability := a.checked(cmd.Context(), file, s, func(share float64) { a.voice.progress("checking "+name, share) })
				if cmd.Context().Err() != nil {
					return cmd.Context().Err()
				}
				if usability == pipeline.FilmAgain {
					again++
				}
				if err := a.voice.result(fmt.Appendf(nil, "%s: %s\n", file, verdict)); err != nil {
					return err
				}
			}
			if again > 0 {
				return coded{fmt.Errorf("%d of %d clips cannot be used as they are", again, len(args)), exitSomeFailed, ""}
			}
			return nil
		},
	}
}

// refused gives a clip that is not read the exit code of a failed clip, with
// what to do as its hint.
func refused(err error) error {
	var r *clip.Refusal
	if errors.As(err, &r) {
		return coded{fmt.Errorf("%q %s", r.File, r.Text), exitSomeFailed, r.Hint}
	}
	return err
}
