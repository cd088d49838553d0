package bench

import (
	"context"
	"fmt"
	"io"
	"math"
	"slices"
	"text/tabwriter"

	"strokereel/pipeline/demo"
	"strokereel/pipeline/settings"
)

// Bound says how near a clip's sightings of the marker come to what its noise
// allows. Errors are per axis, px, and of those frames for which all three are
// known.
type Bound struct {
	Frames []BoundFrame `json:"frames"`
	Values []Value      `json:"before_coding"` // events and measures
}

// BoundFrame is one frame's bound beside the errors of the sightings in it.
type BoundFrame struct {
	Frame int        `json:"frame"`
	Least float64    `json:"cramer_rao_px"` // standard deviation
	Bare  [2]float64 `json:"error_before_coding_px"`
	Coded [2]float64 `json:"error_px"`
}

// Least is the root mean square of the bounds.
func (b Bound) Least() float64 {
	return b.rms(func(f BoundFrame) float64 { return f.Least * f.Least })
}

// Bare is the error of what the tracker makes of the frames before coding, and
// Coded of what it makes of the clip.
func (b Bound) Bare() float64  { return b.rms(func(f BoundFrame) float64 { return perAxis(f.Bare) }) }
func (b Bound) Coded() float64 { return b.rms(func(f BoundFrame) float64 { return perAxis(f.Coded) }) }

// Ratio is how many times as large as the bound the error before coding is.
func (b Bound) Ratio() float64 { return b.Bare() / b.Least() }

// Codec is the codec's share of the clip's error.
func (b Bound) Codec() float64 {
	return math.Sqrt(math.Max(0, b.Coded()*b.Coded()-b.Bare()*b.Bare()))
}

func (b Bound) rms(square func(BoundFrame) float64) float64 {
	sum := 0.0
	for _, f := range b.Frames {
		sum += square(f)
	}
	return math.Sqrt(sum / math.Max(1, float64(len(b.Frames))))
}

func perAxis(e [2]float64) float64 { return (e[0]*e[0] + e[1]*e[1]) / 2 }

// boundEvery is in how many frames one is looked at: neighbours are alike.
const boundEvery = 4

// findBound draws a rendered clip's frames without coding, measures them as the
// clip was, and compares both with what the noise allows.
func findBound(ctx context.Context, clip string, coded Clip, truth demo.Truth, s settings.Settings) (*Bound, error) {
	file, truthPath, err := demo.Bare(ctx, clip, truth.Spec)
	if err != nil {
		return nil, err
	}
	bare, err := Score(ctx, file, truthPath, s)
	if err != nil {
		return nil, err
	}
	out := &Bound{Values: append(slices.Clone(bare.Events), bare.Measures...)}
	err = demo.Slopes(truth.Spec, boundEvery, func(frame int, luma, colour []demo.Slope) {
		c, ok1 := coded.errors[frame]
		b, ok2 := bare.errors[frame]
		if ok1 && ok2 {
			out.Frames = append(out.Frames, BoundFrame{frame, cramerRao(luma, colour), b, c})
		}
	})
	return out, err
}

// rounding is the variance that rounding to whole levels adds to a sample's
// noise.
const rounding = 1.0 / 12

// cramerRao is the least standard deviation per axis, px, that an unbiased
// estimate of a sticker's place can have when all else about the picture is known
// (Cramer 1946; Rao 1945, from memory): the inverse of what all samples tell,
// each as its slope squared over its variance.
func cramerRao(planes ...[]demo.Slope) float64 {
	var xx, xy, yy float64
	for _, samples := range planes {
		for _, s := range samples {
			w := 1 / (s.Noise*s.Noise + rounding)
			xx, xy, yy = xx+w*s.Right*s.Right, xy+w*s.Right*s.Down, yy+w*s.Down*s.Down
		}
	}
	return math.Sqrt((xx + yy) / (xx*yy - xy*xy) / 2)
}

// boundOf pools the frames of all clips that have a bound.
func boundOf(clips []Clip) (all Bound, ok bool) {
	for _, c := range clips {
		if c.Bound != nil {
			all.Frames = append(all.Frames, c.Bound.Frames...)
		}
	}
	return all, len(all.Frames) > 0
}

// PrintBounds writes the clips that have a bound.
func PrintBounds(w io.Writer, clips []Clip) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "clip\tframes\tCramer-Rao px\tbefore coding px\tratio\tas coded px\tcodec's share px\t")
	row := func(name string, b Bound) {
		fmt.Fprintf(t, "%s\t%d\t%.4f\t%.4f\t%.2f\t%.4f\t%.4f\t\n", name, len(b.Frames), b.Least(), b.Bare(), b.Ratio(), b.Coded(), b.Codec())
	}
	for _, c := range clips {
		if c.Bound != nil {
			row(fmt.Sprintf("%s %d", c.Case, c.Seed), *c.Bound)
		}
	}
	all, _ := boundOf(clips)
	row("all", all)
	t.Flush()
}

// PrintUncoded writes how far events and measures are off before coding and as coded,
// in the clips that have a bound: the 95th percentile as a share of the exam's limit.
func PrintUncoded(w io.Writer, clips []Clip) {
	var coded, bare []Clip
	for _, c := range clips {
		if c.Bound != nil {
			coded = append(coded, c)
			c.Events, c.Measures = c.Bound.Values, nil
			bare = append(bare, c)
		}
	}
	limits := wanted("clean")
	as := map[string]float64{}
	for _, f := range valueFigures(coded, limits) {
		as[f.Name] = f.Value
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "figure\tbefore coding\tas coded\t")
	for _, f := range valueFigures(bare, limits) {
		if f.Limited && !f.Least {
			fmt.Fprintf(t, "%s\t%.2f\t%.2f\t\n", f.Name, f.Value, as[f.Name])
		}
	}
	t.Flush()
}
