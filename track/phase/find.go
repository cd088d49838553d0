package phase

import (
	"fmt"
	"math"
	"sort"

	"strokereel/track"
	"strokereel/track/path"
)

// Find returns the strokes of a clip in the order of time. A clip without a
// stroke has none, which is no error; an error is a path that cannot be read or
// a setting that makes no sense.
func Find(in Input, o Options) ([]Stroke, error) {
	if err := o.Validate(); err != nil {
		return nil, err
	}
	if in.Smoothing == (path.Options{}) {
		in.Smoothing = path.DefaultOptions()
	}
	in.Putter = path.WithoutStrays(in.Putter, in.Smoothing)
	c, err := path.NewCurve(in.Putter, nil, 0, in.Smoothing)
	if err != nil {
		return nil, fmt.Errorf("finding the strokes: %w", err)
	}
	if in.FrameInterval <= 0 {
		in.FrameInterval = interval(in.Putter)
	}
	f := finder{in: in, o: o, curve: c, series: newSeries(in.Putter, c)}
	if !in.DirectionKnown && len(in.Launches) == 0 && f.facesAway() {
		f.in.Putter = mirrored(in.Putter)
		f.reversed = true
		if f.curve, err = path.NewCurve(f.in.Putter, nil, 0, in.Smoothing); err != nil {
			return nil, fmt.Errorf("finding the strokes: %w", err)
		}
		f.series = newSeries(f.in.Putter, f.curve)
	}
	return f.strokes()
}

// finder is one search in progress.
type finder struct {
	in       Input
	o        Options
	curve    *path.Curve
	series   series
	reversed bool
}

// facesAway reports whether the largest swing goes the other way.
func (f *finder) facesAway() bool {
	largest := func(s series) float64 {
		back := 0.0
		for _, w := range s.swings(f.o) {
			back = math.Max(back, w.back)
		}
		return back
	}
	turned := append(series(nil), f.series...)
	for i := range turned {
		turned[i].x, turned[i].vx = -turned[i].x, -turned[i].vx
	}
	return largest(turned) > largest(f.series)
}

// candidate is a swing with the ball it struck, -1 for none.
type candidate struct {
	swing
	launch int
	blind  bool // no swing was seen, only the ball
}

func (f *finder) strokes() ([]Stroke, error) {
	var out []Stroke
	for _, c := range f.candidates() {
		if c.launch < 0 && len(out) > 0 && f.fromFinish(c, out[len(out)-1]) {
			continue
		}
		s, err := f.stroke(c)
		if err != nil {
			return nil, err
		}
		s.Index = len(out)
		out = append(out, s)
	}
	return out, nil
}

// fromFinish reports whether a swing began where an earlier stroke was held:
// walking on after a putt is no practice stroke.
func (f *finder) fromFinish(c candidate, before Stroke) bool {
	stop, end := before.Event(track.Stop), before.Event(track.HoldEnd)
	from := f.series[c.address.to].t
	return stop.Known() && end.Known() && from >= stop.T-f.o.StillTime && f.series[c.address.from].t <= end.T
}

// candidates pairs swings with launches.
func (f *finder) candidates() []candidate {
	var out []candidate
	struck := map[int]bool{}
	for _, w := range f.series.swings(f.o) {
		c := candidate{swing: w, launch: -1}
		best := f.o.LaunchReach
		for i, l := range f.in.Launches {
			if d := math.Abs(l.T - w.pass); d <= best && !struck[i] {
				best, c.launch = d, i
			}
		}
		if c.launch < 0 && w.back < mm(f.o.MinPractice) {
			continue
		}
		if c.launch >= 0 {
			struck[c.launch] = true
		}
		out = append(out, c)
	}
	for i, l := range f.in.Launches {
		if struck[i] {
			continue
		}
		c := candidate{launch: i}
		w, ok := f.series.loose(l.T, f.o)
		c.swing, c.blind = w, !ok
		if c.blind {
			c.pass = l.T
		}
		out = append(out, c)
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].pass < out[j].pass })
	return out
}

func interval(p track.Path) float64 {
	var d []float64
	for i := 1; i < len(p.Points); i++ {
		d = append(d, p.Points[i].T-p.Points[i-1].T)
	}
	if len(d) == 0 {
		return 0
	}
	sort.Float64s(d)
	return d[len(d)/2]
}
