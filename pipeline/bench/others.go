package bench

import (
	"bytes"
	"context"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os/exec"
	"slices"
	"text/tabwriter"
)

// Other is how one of OpenCV's general trackers or recipes does on a clip, told
// by the truth where the sticker is in the first frame that shows it. It is for
// orientation only.
type Other struct {
	Name    string  `json:"name"`
	Frames  int     `json:"frames"`       // that show the whole sticker
	Held    int     `json:"held"`         // of those, found at most 5 px off
	SumSq   float64 `json:"error_sq_px2"` // per axis, of those held
	MSFrame float64 `json:"ms_per_frame"` // of following alone; decoding takes as long for all
}

// RMS is the error per axis of the frames held, px.
func (o Other) RMS() float64 { return math.Sqrt(o.SumSq / math.Max(1, float64(o.Held))) }

// Lost is the share of frames in which the sticker was not found or more than 5
// px off.
func (o Other) Lost() float64 { return 1 - float64(o.Held)/math.Max(1, float64(o.Frames)) }

// python is Debian's, which finds Debian's OpenCV.
const python = "/usr/bin/python3"

//go:embed others.py
var othersScript string

// askOthers runs them, in Python, where OpenCV has them all.
func askOthers(ctx context.Context, clip, truthPath string) ([]Other, error) {
	cmd := exec.CommandContext(ctx, python, "-", clip, truthPath)
	cmd.Stdin = bytes.NewReader([]byte(othersScript))
	out, err := cmd.Output()
	var exit *exec.ExitError
	switch {
	case errors.As(err, &exit):
		return nil, fmt.Errorf("running OpenCV's trackers (scripts/setup --bench installs them): %s", exit.Stderr)
	case err != nil:
		return nil, fmt.Errorf("running OpenCV's trackers (scripts/setup --bench installs them): %w", err)
	}
	var others []Other
	if err := json.Unmarshal(out, &others); err != nil {
		return nil, fmt.Errorf("reading what OpenCV's trackers found: %w", err)
	}
	return others, nil
}

// ours is the product's own row of the table.
func ours(c Clip) Other {
	o := Other{Name: "strokereel", Frames: c.Whole, MSFrame: c.MSFrame}
	for _, e := range c.errors {
		if math.Hypot(e[0], e[1]) <= lostBeyond {
			o.Held, o.SumSq = o.Held+1, o.SumSq+perAxis(e)
		}
	}
	return o
}

// lostBeyond is how far off, px, a place is no longer the sticker's.
const lostBeyond = 5

// PrintOthers writes the clips on which others were asked, tracker by tracker.
func PrintOthers(w io.Writer, clips []Clip) {
	var names []string
	sum := map[string]Other{}
	ms := map[string][]float64{}
	for _, c := range clips {
		for _, o := range c.Others {
			if !slices.Contains(names, o.Name) {
				names = append(names, o.Name)
			}
			s := sum[o.Name]
			sum[o.Name] = Other{Name: o.Name, Frames: s.Frames + o.Frames, Held: s.Held + o.Held, SumSq: s.SumSq + o.SumSq}
			ms[o.Name] = append(ms[o.Name], o.MSFrame)
		}
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "tracker\tclips\tpx rms\tlost\tms a frame\t")
	for _, n := range names {
		o := sum[n]
		fmt.Fprintf(t, "%s\t%d\t%.3f\t%.1f %%\t%.1f\t\n", n, len(ms[n]), o.RMS(), 100*o.Lost(), quantile(ms[n], 0.5))
	}
	t.Flush()
	fmt.Fprintln(w, "lost: not found or more than 5 px off; rms of the others. strokereel's time is that of the whole measuring, decoding included; the others' is of following alone.")
}
