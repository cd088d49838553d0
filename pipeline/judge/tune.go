package judge

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"

	"golang.org/x/sync/errgroup"
	"gonum.org/v1/gonum/stat"

	"strokereel/pipeline/runs"
)

// Tuning is what came of trying several profiles on the same clips. The first is
// the one that the others have to beat.
type Tuning struct {
	Runs  []*runs.Run
	Clips []Tried
	// Chosen is, for each clip, the profile that is the best on all other clips.
	Chosen []int
	// Gain is the cost of the chosen profiles on the clips left out, less that of
	// the first profile.
	Gain Difference
	Best int // over all clips
}

// Tried is the cost of every profile on one clip.
type Tried struct {
	Clip  string
	Costs []float64
}

// Tune judges profiles. Which profile is the best is decided without the clip on
// which it is then judged, since the best of many is best by luck as well.
func Tune(ctx context.Context, all []*runs.Run, known Known) (*Tuning, error) {
	t := &Tuning{Runs: all}
	rows := make([]*Tried, len(all[0].Clips))
	g, ctx := errgroup.WithContext(ctx)
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range all[0].Clips {
		g.Go(func() error {
			if ctx.Err() != nil {
				return ctx.Err()
			}
			var err error
			rows[i], err = tried(all, i, known)
			return err
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	for _, r := range rows {
		if r != nil {
			t.Clips = append(t.Clips, *r)
		}
	}
	if len(t.Clips) == 0 {
		return nil, errors.New("of no clip the truth is known: labels name clips as the runs do, truth files lie beside them")
	}
	t.judge()
	return t, nil
}

// tried is the cost of one clip in all runs; nil when nothing is known of it or
// no run could read it.
func tried(all []*runs.Run, i int, known Known) (*Tried, error) {
	at, err := known.of(all[0].Clips[i])
	if err != nil || at == nil {
		return nil, err
	}
	out := &Tried{Clip: all[0].Clips[i].Name}
	read := false
	for _, r := range all {
		s, err := readSide(r, r.Clips[i])
		if err != nil {
			return nil, err
		}
		read = read || s.report != nil
		out.Costs = append(out.Costs, Cost(at.side(out.Clip, s)))
	}
	if !read || math.IsNaN(out.Costs[0]) {
		return nil, nil
	}
	return out, nil
}

// judge finds the best profile with and without each clip.
func (t *Tuning) judge() {
	sums := make([]float64, len(t.Runs))
	for _, c := range t.Clips {
		for p, cost := range c.Costs {
			sums[p] += cost
		}
	}
	t.Best = least(sums, nil)
	var d []float64
	for _, c := range t.Clips {
		p := least(sums, c.Costs)
		t.Chosen = append(t.Chosen, p)
		d = append(d, c.Costs[p]-c.Costs[0])
	}
	t.Gain = Paired(d)
}

// least is the profile of the least sum without some costs; of equal ones the
// first, so that nothing is changed for nothing.
func least(sums, without []float64) int {
	best, smallest := 0, math.Inf(1)
	for p, s := range sums {
		if without != nil {
			s -= without[p]
		}
		if s < smallest-1e-9 {
			best, smallest = p, s
		}
	}
	return best
}

// fewestClips is how many a judgement needs: of two, one decides and one is judged.
const fewestClips = 3

// Better reports whether the chosen profiles beat the first one on clips left out
// by more than noise.
func (t *Tuning) Better() bool {
	return len(t.Clips) >= fewestClips && t.Best != 0 && t.Gain.Mean < 0 && t.Gain.P <= level
}

// Verdict says in a sentence what came of it.
func (t *Tuning) Verdict() string {
	first, numbers := t.Runs[0].Name, fmt.Sprintf("%+.3f ± %.3f limits on %d clips left out", t.Gain.Mean, t.Gain.Half, t.Gain.N)
	switch {
	case len(t.Clips) < fewestClips:
		return fmt.Sprintf("%d clips are too few to tune on: give at least %d", len(t.Clips), fewestClips)
	case t.Best == 0:
		return "no profile is better than " + first
	case !t.Better():
		return fmt.Sprintf("no better than %s: the gain of %s is inside the noise (%s)", first, t.Runs[t.Best].Name, numbers)
	}
	return fmt.Sprintf("%s is better than %s (%s)", t.Runs[t.Best].Name, first, numbers)
}

// against is the difference of a profile to the first.
func (t *Tuning) against(p int) Difference {
	var d []float64
	for _, c := range t.Clips {
		d = append(d, c.Costs[p]-c.Costs[0])
	}
	return Paired(d)
}

// mean is the cost of a profile over all clips.
func (t *Tuning) mean(p int) float64 {
	var v []float64
	for _, c := range t.Clips {
		v = append(v, c.Costs[p])
	}
	return stat.Mean(v, nil)
}
