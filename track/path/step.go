package path

import (
	"errors"
	"fmt"
	"math"

	"strokereel/track"
)

// Step is a jump of speed found in a path.
type Step struct {
	T, U          float64 // s
	Before, After float64 // m/s, speed along the line on either side
	// Gain is the logarithm of how much likelier the samples are with the step
	// than without one.
	Gain float64
}

// stepGrid is how finely a step is looked for, s: a step of a fifth is seldom
// known to better than that.
const stepGrid = 0.001

// FindStep returns where between two moments (s) a jump of the speed explains
// the samples best: the mean of the probability over all moments, each being as
// likely beforehand. Exposure (s) is that of a frame.
func FindStep(p track.Path, from, to, exposure float64, o Options) (Step, error) {
	prior, first, last := o.prior(), from-o.Window, to+o.Window
	among := prior.among(nearest(within(onlySeen(p.Points), first, last), from, to))
	evidence := func(breaks ...float64) (float64, error) {
		c, err := NewCurve(p, breaks, exposure, o)
		if err != nil {
			return 0, err
		}
		in := nearest(within(c.samples, first, last), from, to)
		if len(in) < 3 {
			return 0, ErrTooFew
		}
		w, err := newWindow(prior, among, (from+to)/2, o.breakTerms(breaks, first, last), in, c.exposure)
		if err != nil {
			return 0, err
		}
		return w.evidence(), nil
	}
	plain, err := evidence()
	if err != nil {
		return Step{}, fmt.Errorf("looking for a step of speed: %w", err)
	}
	n := max(2, int(math.Ceil((to-from)/stepGrid)))
	logs := make([]float64, n+1)
	best := math.Inf(-1)
	for i := range logs {
		t := from + (to-from)*float64(i)/float64(n)
		if logs[i], err = evidence(t); err != nil {
			return Step{}, fmt.Errorf("looking for a step of speed: %w", err)
		}
		best = math.Max(best, logs[i])
	}
	var sum, mean, square float64
	for i, l := range logs {
		t, w := from+(to-from)*float64(i)/float64(n), math.Exp(l-best)
		sum += w
		mean += w * t
		square += w * t * t
	}
	mean /= sum
	st := Step{T: mean, U: math.Sqrt(math.Max(0, square/sum-mean*mean) + stepGrid*stepGrid/12), Gain: best - plain}
	c, err := NewCurve(p, []float64{mean}, exposure, o)
	if err != nil {
		return Step{}, fmt.Errorf("looking for a step of speed: %w", err)
	}
	before, err1 := c.At(mean)
	after, err2 := c.After(mean)
	if err := errors.Join(err1, err2); err != nil {
		return Step{}, fmt.Errorf("looking for a step of speed: %w", err)
	}
	st.Before, st.After = before.VX, after.VX
	return st, nil
}
