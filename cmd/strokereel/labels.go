package main

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"strokereel/pipeline/labels"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/runs"
	"strokereel/track"
)

func (a *app) labelsCommand() *cobra.Command {
	c := &cobra.Command{
		Use:   "labels",
		Short: "mark places and events by hand, and see how well two people agree",
		Long: "Labels are what people marked in clips, for compare and tune:\n" +
			"  " + labels.PlacesFile + "   places in pictures, as COCO keypoints that labelling programs read and write\n" +
			"  " + labels.MomentsFile + "    moments of events, with the columns clip, stroke, event, t_s\n" +
			"A picture is called CLIP/frame-NNNNNN.png, CLIP as the run calls the clip. Coordinates are pixels\n" +
			"of the upright picture, x to the right, y down, and the centre of the top-left pixel is (0, 0):\n" +
			"info.pixel_centre says so. A file of another program that does not say where it has that centre\n" +
			"is refused until --pixel-centre does, for half a pixel is much.",
		Args: a.args(noArgs),
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	c.AddCommand(a.labelsDraftCommand(), a.labelsAgreeCommand())
	return c
}

func (a *app) labelsDraftCommand() *cobra.Command {
	var in, out string
	d := labels.Drafter{}
	c := &cobra.Command{
		Use:   "draft RUN --out DIR",
		Short: "make the pictures and files that a person marks",
		Long: "draft takes frames from every clip of a run, spread over its strokes, and writes them to DIR with\n" +
			"the files to begin with. Mark what is seen; leave a time empty when it cannot be told. Without\n" +
			"--prefill one hidden mark stands in the middle of each picture, to be moved to the putter's\n" +
			"sticker. With it the run's own findings are filled in, which is quicker and leads the hand: do\n" +
			"not judge that run with such labels.",
		Example: "  strokereel labels draft plain --out marked",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			switch {
			case len(args) != 1:
				return fmt.Errorf("name one run (got %d)", len(args))
			case out == "":
				return errors.New("say where the labels go: --out DIR")
			case d.Frames < 1:
				return fmt.Errorf("--frames must be 1 or more (got %d)", d.Frames)
			}
			return nil
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := a.settings()
			if err != nil {
				return err
			}
			r, err := runs.Open(in, args[0])
			if err != nil {
				return err
			}
			if _, err := labels.Read(out, labels.InFile); err == nil {
				return fmt.Errorf("there are labels in %q already: name another folder", out)
			}
			d.Dir, d.Options = out, s.Clip
			set := labels.NewSet()
			for k, e := range r.Clips {
				if e.Failed != "" {
					continue
				}
				f, err := lesson.ReadFindings(r.Folder(e), e.File)
				if err != nil {
					return err
				}
				var tracks []track.Track
				for _, o := range f.Observed {
					tracks = append(tracks, o.Track)
				}
				if err := d.Draft(cmd.Context(), set, e.Name, e.File, f.Report, tracks); err != nil {
					return refused(err)
				}
				a.voice.progress("drawing frames", float64(k+1)/float64(len(r.Clips)))
			}
			if err := set.Save(out); err != nil {
				return err
			}
			a.voice.say("pictures, %s and %s are in %s", labels.PlacesFile, labels.MomentsFile, out)
			return nil
		},
	}
	c.Flags().StringVar(&in, "in", runsDir, "look for runs in `DIR`")
	c.Flags().StringVar(&out, "out", "", "write pictures and files to `DIR`")
	c.Flags().IntVar(&d.Frames, "frames", 8, "frames of each clip")
	c.Flags().BoolVar(&d.Prefill, "prefill", false, "begin with what the run found")
	return c
}

func (a *app) labelsAgreeCommand() *cobra.Command {
	var centre string
	c := &cobra.Command{
		Use:   "agree LABELS LABELS",
		Short: "say how well two people agree",
		Long: "agree compares what two people marked in the same clips: how many marks both made, how far\n" +
			"the second lies from the first in the mean, the standard deviation of one mark of one person\n" +
			"(along one axis; root of half the mean square of the differences), and the worst.",
		Example: "  strokereel labels agree marked-by-a marked-by-b",
		Args: a.args(func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return fmt.Errorf("name the labels of two people (got %d)", len(args))
			}
			return checkCentre(centre)
		}),
		RunE: func(cmd *cobra.Command, args []string) error {
			var both [2]labels.Set
			for i, path := range args {
				var err error
				if both[i], err = labels.Read(path, labels.Centre(centre)); err != nil {
					return err
				}
			}
			found := labels.Agree(both[0], both[1])
			common := 0
			for _, g := range found {
				common += g.N
			}
			if common == 0 {
				return errors.New("the two have marked nothing in common")
			}
			return a.voice.result(agreements(found))
		},
	}
	c.Flags().StringVar(&centre, "pixel-centre", "", "the centre of the top-left pixel in labels that do not say it: `0` or 0.5")
	return c
}

// agreements is a table of them.
func agreements(all []labels.Agreement) []byte {
	var b bytes.Buffer
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "\tboth\tone only\tsecond - first\tsd of one mark\tworst\t")
	for _, g := range all {
		name := strings.ReplaceAll(g.Name, "_", " ")
		switch {
		case g.N == 0:
			fmt.Fprintf(t, "%s\t0\t%d\t-\t-\t-\t\n", name, g.Only)
		case g.Unit == "px":
			fmt.Fprintf(t, "%s\t%d\t%d\t%+.2f, %+.2f px\t%.2f px\t%.2f px\t%s\n", name, g.N, g.Only, g.Bias[0], g.Bias[1], g.SD, g.Worst, filepath.ToSlash(g.Where))
		default:
			fmt.Fprintf(t, "%s\t%d\t%d\t%+.1f ms\t%.1f ms\t%.1f ms\t%s\n", name, g.N, g.Only, 1000*g.Bias[0], 1000*g.SD, 1000*g.Worst, g.Where)
		}
	}
	t.Flush()
	return b.Bytes()
}
