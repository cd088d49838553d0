package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"strokereel/pipeline"
	"strokereel/pipeline/demo"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/reel"
	"strokereel/pipeline/settings"
)

// What a reel may cost.
const (
	mostRatio  = 1.6   // wall, against coding the reel's own frames again
	mostMemory = 600.0 // MB, with the children
)

// reelBench makes the demo lesson's reel in each shape and holds it against its
// plan, the truth, and what coding its own frames again costs.
func reelBench() *cobra.Command {
	var dir string
	var shapes []string
	var repeats int
	c := &cobra.Command{
		Use:   "reel",
		Short: "make the demo lesson's reel, check its form and halves, weigh its cost",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := demo.Lesson(cmd.Context(), dir, nil); err != nil {
				return err
			}
			var broken error
			for _, s := range shapes {
				if err := film(cmd.Context(), cmd.OutOrStdout(), dir, reel.Shape(s), repeats); err != nil {
					fmt.Fprintln(cmd.OutOrStdout(), err)
					broken = errBroken
				}
			}
			return broken
		},
	}
	c.Flags().StringVar(&dir, "dir", ".cache/reel", "folder of the demo lesson")
	c.Flags().StringSliceVar(&shapes, "shape", []string{string(reel.Wide), string(reel.Tall)}, "shapes to make")
	c.Flags().IntVar(&repeats, "repeats", 1, "how often each is made and coded again; the middle ratio counts")
	return c
}

// film makes one shape, some times over, and reports on it; the error lists what
// is broken.
func film(ctx context.Context, w io.Writer, dir string, shape reel.Shape, repeats int) error {
	out := filepath.Join(dir, "bench-"+string(shape)+".mp4")
	var ratios []float64
	peak := 0.0
	for range max(1, repeats) {
		ratio, most, err := weigh(ctx, w, dir, shape, out)
		if err != nil {
			return err
		}
		ratios, peak = append(ratios, ratio), max(peak, most)
	}
	slices.Sort(ratios)
	ratio := ratios[len(ratios)/2]
	p, err := readJSON[reel.Plan](strings.TrimSuffix(out, ".mp4") + ".reel.json")
	if err != nil {
		return err
	}
	var faults []error
	if ratio > mostRatio {
		faults = append(faults, fmt.Errorf("LIMIT BROKEN  %s: drawing and coding took %.2f times coding, at most %.1f", shape, ratio, mostRatio))
	}
	if peak > mostMemory {
		faults = append(faults, fmt.Errorf("LIMIT BROKEN  %s: %.0f MB at most, allowed %.0f", shape, peak, mostMemory))
	}
	return errors.Join(append(faults, formed(ctx, w, out, p), halves(w, dir, p))...)
}

// weigh makes a shape and codes its frames again: the ratio of the two in wall
// time, and the most memory that making took, MB.
func weigh(ctx context.Context, w io.Writer, dir string, shape reel.Shape, out string) (ratio, peak float64, err error) {
	self, err := os.Executable()
	if err != nil {
		return 0, 0, err
	}
	whole, err := spent(ctx, self, "make-reel", dir, string(shape), out)
	if err != nil {
		return 0, 0, err
	}
	made, err := readJSON[cost](out + ".cost.json")
	if err != nil {
		return 0, 0, err
	}
	o := reel.DefaultOptions()
	again, err := spent(ctx, "ffmpeg", "-nostdin", "-v", "error", "-y", "-i", out, "-map", "0:v", "-c:v", "libx264", "-preset", "veryfast",
		"-crf", strconv.Itoa(o.Quality), "-pix_fmt", "yuv420p", "-g", strconv.Itoa(2*o.Rate), out+".again.mp4")
	if err != nil {
		return 0, 0, err
	}
	ratio = made.Wall / again.Wall
	fmt.Fprintf(w, "\n%s: made in %.1f s wall, %.1f s CPU; coded again in %.1f s wall, %.1f s CPU; ratio %.2f wall, %.2f CPU; peak %.0f MB\n",
		shape, made.Wall, made.CPU, again.Wall, again.CPU, ratio, made.CPU/again.CPU, whole.Peak)
	return ratio, whole.Peak, nil
}

// makeReel is what weigh weighs: the clips are measured, then the reel is made,
// and the cost of that part is left beside it.
func makeReel() *cobra.Command {
	return &cobra.Command{
		Use: "make-reel DIR SHAPE OUT", Short: "measure the demo lesson and make its reel", Args: cobra.ExactArgs(3), Hidden: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			l := reel.Lesson{Title: "Before and after", Lines: []string{"Student S-014", "Indoor winter putting clinic"}}
			for _, c := range []struct {
				name string
				to   *[]reel.Clip
			}{{"before.mp4", &l.Before}, {"after.mp4", &l.After}} {
				file := filepath.Join(args[0], c.name)
				r, err := pipeline.Measure(cmd.Context(), file, settings.Default(), nil)
				if err != nil {
					return err
				}
				*c.to = []reel.Clip{{Findings: lesson.Findings{File: file, Report: r.Report, Observed: r.Observed, Smooth: r.Smooth}}}
			}
			began, used := time.Now(), processor()
			if _, err := reel.Create(cmd.Context(), reel.Job{Lesson: l, Shape: reel.Shape(args[1]), Out: args[2]}, reel.DefaultOptions()); err != nil {
				return err
			}
			b, err := json.Marshal(cost{Wall: time.Since(began).Seconds(), CPU: processor() - used})
			if err != nil {
				return err
			}
			return os.WriteFile(args[2]+".cost.json", b, 0o644)
		},
	}
}

// processor is the time this process and its ended children have computed, s.
func processor() float64 {
	sum := 0.0
	for _, who := range []int{syscall.RUSAGE_SELF, syscall.RUSAGE_CHILDREN} {
		var u syscall.Rusage
		if syscall.Getrusage(who, &u) == nil {
			sum += seconds(u.Utime) + seconds(u.Stime)
		}
	}
	return sum
}

func readJSON[T any](path string) (out T, err error) {
	b, err := os.ReadFile(path)
	if err == nil {
		err = json.Unmarshal(b, &out)
	}
	return out, err
}

// asked runs a program and returns what it says.
func asked(ctx context.Context, name string, args ...string) ([]byte, error) {
	out, err := exec.CommandContext(ctx, name, args...).Output()
	if err != nil {
		return nil, fmt.Errorf("running %q: %w", name, err)
	}
	return out, nil
}
