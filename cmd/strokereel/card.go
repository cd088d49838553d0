package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"strokereel/pipeline"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
	"strokereel/pipeline/slate"
)

func (a *app) cardCommand() *cobra.Command {
	var role, out, paper string
	var distance float64
	c := &cobra.Command{
		Use:   "card STUDENT",
		Short: "make a card to hold before the camera, so that nobody has to name files",
		Long: "card writes a card to print with the code of a student and, with --role, what the clip is.\n" +
			"Hold it up toward the camera in the first five seconds of a clip: the night then knows whose\n" +
			"clip it is. Clips that follow within half an hour without a card count as the same student's.\n" +
			"A card that could not be read from --distance in a clip of 1080p is not made: what is\n" +
			"promised was tested on rendered clips with a phone's widest usual lens, the card in a\n" +
			"trembling hand, tilted, out of focus, in a dim hall.",
		Example: "  strokereel card S-014 --role before\n" +
			"  strokereel card S-014 --paper a5 --distance 2 --out card.png",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			switch {
			case len(args) != 1 || args[0] == "":
				return errors.New("name the student's code, such as S-014")
			case role != "" && !slices.Contains(sheet.Roles(), sheet.Role(role)):
				return fmt.Errorf("--role must be one of %v (got %q)", sheet.Roles(), role)
			case !slices.Contains(slate.Papers(), paper):
				return fmt.Errorf("--paper must be one of %s (got %q)", strings.Join(slate.Papers(), ", "), paper)
			}
			return sheet.CheckCode(args[0])
		}),
		RunE: func(_ *cobra.Command, args []string) error {
			s := slate.Slate{Student: args[0], Role: sheet.Role(role)}
			if out == "" {
				out = strings.ReplaceAll(s.String(), " ", "-") + ".pdf"
			}
			write := s.PDF
			switch strings.ToLower(filepath.Ext(out)) {
			case ".pdf":
			case ".png":
				write = s.PNG
			default:
				return usage(fmt.Errorf("--out must end with .pdf or .png (got %q)", out), "strokereel card --help")
			}
			if err := s.Check(paper, distance); err != nil {
				return usage(err, "strokereel card --help")
			}
			if err := lesson.WriteFile(out, func(w io.Writer) error { return write(w, paper, distance) }); err != nil {
				return err
			}
			a.voice.say("%s can be read up to %g m away: print it in its true size", out, distance)
			return nil
		},
	}
	c.Flags().StringVar(&role, "role", "", "what the clip is: before, after, reference, drill, practice or unusable")
	c.Flags().StringVar(&paper, "paper", "a4", "size of the `PAPER`: a4, a5 or a6")
	c.Flags().Float64Var(&distance, "distance", slate.Usual, "how far from the camera it is held, `M`")
	c.Flags().StringVar(&out, "out", "", "write it to `FILE` ending with .pdf or .png (STUDENT-ROLE.pdf)")
	return c
}

// checked gives the verdict on a clip after what the card says that it shows; what
// is written beside it counts. A clip that cannot be read is to be filmed again.
func (a *app) checked(ctx context.Context, file string, s settings.Settings, progress func(float64)) (string, pipeline.Usability) {
	w, s, err := a.written(file, s)
	if err != nil {
		return "not checked: " + err.Error(), pipeline.FilmAgain
	}
	card, ok, err := slate.Read(ctx, file, s.Clip, s.Night.Cards)
	said := ""
	if err == nil && ok {
		said = visible(card.String()) + ", "
	}
	v, err := pipeline.Reading{File: file, Fix: w.Corrections[file], Progress: progress}.Check(ctx, s)
	if err != nil {
		v = pipeline.Verdict{Usability: pipeline.FilmAgain, Reasons: []string{err.Error()}}
	}
	return said + v.String(), v.Usability
}
