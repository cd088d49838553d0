package path

import (
	"fmt"
	"math"
	"sort"

	"strokereel/track"
)

// Curve is a path that can be asked for its motion at any moment. It never
// looks across its breaks.
type Curve struct {
	o        Options
	segments [][]track.Point // seen samples between breaks, times rising
	breaks   []float64
}

// NewCurve prepares a path. Breaks are moments (s) at which the speed may jump.
// A sample within reach (s) of one may show both speeds, as the exposure is
// unknown but not longer than a frame; it is trusted less.
func NewCurve(p track.Path, breaks []float64, reach float64, o Options) (*Curve, error) {
	if err := o.Validate(); err != nil {
		return nil, err
	}
	if err := check(p); err != nil {
		return nil, err
	}
	c := &Curve{o: o, breaks: append([]float64(nil), breaks...)}
	sort.Float64s(c.breaks)
	c.segments = make([][]track.Point, len(c.breaks)+1)
	seen := onlySeen(p.Points)
	for k, q := range seen {
		if c.nearBreak(q.T, reach) {
			q.U = math.Hypot(q.U, kink(seen, k, reach))
		}
		i := c.segment(q.T)
		c.segments[i] = append(c.segments[i], q)
	}
	return c, nil
}

// usualLoss is the share of its speed that a head usually loses at impact:
// between 5 and 30 % (momentum: a head of 0.35 kg loses 21 %).
const usualLoss = 0.2

// kink is the standard uncertainty by which a sample that shows both speeds may
// lie off either: at most an eighth of the way lost in one exposure, each part
// of that being as likely.
func kink(seen []track.Point, k int, reach float64) float64 {
	a, b := seen[max(0, k-1)], seen[min(len(seen)-1, k+1)]
	if a.T == b.T {
		return 0
	}
	way := math.Hypot(b.X-a.X, b.Y-a.Y) / (b.T - a.T) * 2 * reach
	return usualLoss * way / 8 / math.Sqrt(3)
}

// check refuses paths no fit can be made of.
func check(p track.Path) error {
	last := math.Inf(-1)
	for _, q := range p.Points {
		if !(q.T > last) || math.IsInf(q.T, 0) {
			return fmt.Errorf("reading the path of the %s: times must rise, frame %d is at %g s after %g s", p.Object, q.Frame, q.T, last)
		}
		last = q.T
		if q.Seen && (math.IsNaN(q.X+q.Y) || math.IsInf(q.X+q.Y, 0) || !(q.U > 0) || math.IsInf(q.U, 0)) {
			return fmt.Errorf("reading the path of the %s: frame %d is seen but has no usable position or uncertainty", p.Object, q.Frame)
		}
	}
	return nil
}

func (c *Curve) nearBreak(t, reach float64) bool {
	for _, b := range c.breaks {
		if math.Abs(t-b) < reach {
			return true
		}
	}
	return false
}

// segment returns the stretch between breaks that holds t; a moment exactly on
// a break belongs to the stretch before it.
func (c *Curve) segment(t float64) int { return sort.SearchFloat64s(c.breaks, t) }

// At returns the motion at t (s).
func (c *Curve) At(t float64) (Fit, error) { return c.best(c.segments[c.segment(t)], t, 0) }

// Speed returns the motion at t (s) with the window that suits the velocity
// best, which is longer than the one that suits the position.
func (c *Curve) Speed(t float64) (Fit, error) { return c.best(c.segments[c.segment(t)], t, 1) }

// SpeedBefore is Speed just before a break at t, known to ut. The motion after
// the break begins where the motion before it ends, so its position there counts
// as one more sample.
func (c *Curve) SpeedBefore(t, ut float64) (Fit, error) {
	s := c.segments[c.segment(t)]
	if f, err := c.best(c.segments[c.segment(math.Nextafter(t, math.Inf(1)))], t, 0); err == nil {
		u := math.Hypot(f.U(0), usualLoss*f.VX*ut)
		s = append(append([]track.Point(nil), s...), track.Point{T: t, X: f.X, Y: f.Y, U: u, Seen: true})
	}
	return c.best(s, t, 1)
}

// SpeedAfter is Speed just after a break at t.
func (c *Curve) SpeedAfter(t float64) (Fit, error) {
	return c.best(c.segments[c.segment(math.Nextafter(t, math.Inf(1)))], t, 1)
}

// Span returns the times of the first and last sample of the stretch that
// holds t; ok is false when the stretch is empty.
func (c *Curve) Span(t float64) (first, last float64, ok bool) {
	s := c.segments[c.segment(t)]
	if len(s) == 0 {
		return 0, 0, false
	}
	return s[0].T, s[len(s)-1].T, true
}

func (c *Curve) best(s []track.Point, t float64, order int) (Fit, error) {
	if err := c.reachable(s, t); err != nil {
		return Fit{}, err
	}
	var (
		best    weights
		samples []track.Point
		lowest  = math.Inf(1)
		why     error
		seen    = -1
	)
	for half := c.o.HalfWidth; half <= c.o.MaxHalfWidth*1.0001; half *= 1.4 {
		in := within(s, t-half, t+half)
		if len(in) == seen {
			continue // the longer window holds nothing more
		}
		seen = len(in)
		hopeless := true // longer windows only follow the motion worse
		for degree := 2; degree <= 3; degree++ {
			w, err := weigh(in, t, degree)
			if err != nil {
				why = err
				continue
			}
			model := sq(c.model(w, order))
			hopeless = hopeless && model > lowest
			if u := w.cov[order][order] + model; u < lowest {
				best, samples, lowest = w, in, u
			}
		}
		if hopeless && samples != nil {
			break
		}
	}
	if samples == nil {
		return Fit{}, why
	}
	f := best.apply(samples)
	for k := range f.Model {
		f.Model[k] = c.model(best, k)
	}
	return f, nil
}

func (c *Curve) model(w weights, order int) float64 {
	frequency := c.o.StrokeFrequency
	if order == 1 {
		frequency = c.o.SpeedFrequency
	}
	return math.Hypot(w.miss(order, c.o.StrokeAmplitude, frequency),
		w.miss(order, c.o.TremorAmplitude, c.o.TremorFrequency))
}

func (c *Curve) reachable(s []track.Point, t float64) error {
	i := sort.Search(len(s), func(i int) bool { return s[i].T >= t })
	switch {
	case len(s) == 0:
		return fmt.Errorf("fitting the motion at %.3f s: %w (none)", t, ErrTooFew)
	case i == 0 && s[0].T-t > c.o.Reach, i == len(s) && t-s[i-1].T > c.o.Reach:
		return fmt.Errorf("fitting the motion at %.3f s: the object was seen from %.3f to %.3f s only: %w", t, s[0].T, s[len(s)-1].T, ErrTooFew)
	case i > 0 && i < len(s) && s[i].T-t > 1e-9 && s[i].T-s[i-1].T > c.o.MaxGap:
		return fmt.Errorf("fitting the motion at %.3f s: the object was not seen from %.3f to %.3f s: %w", t, s[i-1].T, s[i].T, ErrTooFew)
	}
	return nil
}

func within(s []track.Point, from, to float64) []track.Point {
	i := sort.Search(len(s), func(i int) bool { return s[i].T >= from-1e-9 })
	j := sort.Search(len(s), func(i int) bool { return s[i].T > to+1e-9 })
	return s[i:j]
}

func sq(v float64) float64 { return v * v }
