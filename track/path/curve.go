package path

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"strokereel/track"
)

// ErrTooFew is wrapped by errors about moments at which too little was seen.
var ErrTooFew = errors.New("too few seen samples")

// Motion is what is known of an object at one moment. The uncertainty is that of x, and
// of y alike unless samples have one of its own.
type Motion struct {
	T      float64
	X, Y   float64 // m
	VX, VY float64 // m/s
	AX, AY float64 // m/s^2
	N      int     // samples it rests on
	of     *window
	after  bool
}

// U returns the standard uncertainty of the position (order 0), the velocity
// (1) or the acceleration (2).
func (m Motion) U(order int) float64 { return m.of.u(&m.of.chol, m.T, order, m.after) }

// UY returns the standard uncertainty of the position across the line.
func (m Motion) UY() float64 { return m.of.u(m.of.cholY, m.T, 0, m.after) }

// sharpness enlarges the uncertainty of positions where a stroke starts, stops or is
// let go: it does so more sharply than the prior expects, which simulated strokes
// show to cost that much.
const sharpness = 1.35

// UTurn is the standard uncertainty of the position where a motion begins or ends.
func (m Motion) UTurn() float64 { return sharpness * m.U(0) }

// Curve is a path that can be asked for its motion at any moment.
type Curve struct {
	o        Options
	segments [][]track.Point // seen samples between breaks, times rising
	samples  []track.Point   // all of them
	breaks   []float64
	exposure float64 // s
	windows  map[int]*window
}

// NewCurve prepares a path. Breaks are moments (s) at which the speed may jump.
// A frame whose exposure (s) holds one shows the mean of both speeds; as the
// exposure is never known well, its sample is trusted less.
func NewCurve(p track.Path, breaks []float64, exposure float64, o Options) (*Curve, error) {
	if err := o.Validate(); err != nil {
		return nil, err
	}
	if err := check(p); err != nil {
		return nil, err
	}
	c := &Curve{o: o, breaks: append([]float64(nil), breaks...), exposure: exposure, windows: map[int]*window{}}
	sort.Float64s(c.breaks)
	c.segments = make([][]track.Point, len(c.breaks)+1)
	c.samples = onlySeen(p.Points)
	for k, q := range c.samples {
		if 2*c.toBreak(q.T) < exposure {
			c.samples[k].U = math.Hypot(q.U, kink(c.samples, k, exposure))
		}
		i := c.segment(q.T)
		c.segments[i] = append(c.segments[i], c.samples[k])
	}
	return c, nil
}

// usualLoss is the share of its speed that a head usually loses at impact:
// between 5 and 30 % (momentum: a head of 0.35 kg loses 21 %).
const usualLoss = 0.2

// kink is the standard uncertainty by which a sample that shows both speeds may
// lie off: at most an eighth of the way lost in one exposure, each part of that
// being as likely.
func kink(seen []track.Point, k int, exposure float64) float64 {
	a, b := seen[max(0, k-1)], seen[min(len(seen)-1, k+1)]
	if a.T == b.T {
		return 0
	}
	way := math.Hypot(b.X-a.X, b.Y-a.Y) / (b.T - a.T) * exposure
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

// toBreak is the time to the nearest break, s.
func (c *Curve) toBreak(t float64) float64 {
	d := math.Inf(1)
	for _, b := range c.breaks {
		d = math.Min(d, math.Abs(t-b))
	}
	return d
}

// segment returns the stretch between breaks that holds t; a moment exactly on
// a break belongs to the stretch before it.
func (c *Curve) segment(t float64) int { return sort.SearchFloat64s(c.breaks, t) }

// At returns the motion at t (s); at a break, that before it.
func (c *Curve) At(t float64) (Motion, error) { return c.motion(t, false) }

// After returns the motion just after a break at t (s).
func (c *Curve) After(t float64) (Motion, error) { return c.motion(t, true) }

func (c *Curve) motion(t float64, after bool) (Motion, error) {
	side := c.segment(t)
	if after {
		side = c.segment(math.Nextafter(t, math.Inf(1)))
	}
	if err := c.reachable(c.segments[side], t); err != nil {
		return Motion{}, err
	}
	w, err := c.window(int(math.Floor(t / block)))
	if err != nil {
		return Motion{}, err
	}
	return w.at(t, after), nil
}

// block is the stretch of time that is answered from one window, s.
const block = 0.2

func (c *Curve) window(i int) (*window, error) {
	if w, ok := c.windows[i]; ok {
		return w, nil
	}
	from, to := float64(i)*block-c.o.Window, float64(i+1)*block+c.o.Window
	in := nearest(within(c.samples, from, to), from+c.o.Window, to-c.o.Window)
	if len(in) < 3 {
		return nil, fmt.Errorf("following the motion from %.3f to %.3f s: %w (%d)", from, to, ErrTooFew, len(in))
	}
	prior := c.o.prior()
	w, err := newWindow(prior, prior.among(in), (from+to)/2, c.o.breakTerms(c.breaks, from, to), in, c.exposure)
	if err == nil {
		c.windows[i] = w
	}
	return w, err
}

// beside is how many samples on either side of a stretch are enough at any rate.
const beside = 36

// nearest leaves out what is far from a stretch when there are many samples.
func nearest(s []track.Point, from, to float64) []track.Point {
	i := sort.Search(len(s), func(i int) bool { return s[i].T >= from })
	j := sort.Search(len(s), func(i int) bool { return s[i].T > to })
	return s[max(0, i-beside):min(len(s), j+beside)]
}

func (o Options) prior() stationary {
	return stationary{size: o.StrokeSize, span: o.StrokeTime, tremor: o.TremorSize, frequency: o.TremorFrequency, coherence: o.TremorCoherence}
}

// breakTerms are those of the breaks between two moments.
func (o Options) breakTerms(breaks []float64, from, to float64) (terms []breakTerms) {
	for _, b := range breaks {
		if b > from && b < to {
			terms = append(terms, breakTerms{at: b, sizes: [3]float64{o.StepSpeed, o.StepAcceleration, stepJerk}})
		}
	}
	return terms
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

func (c *Curve) reachable(s []track.Point, t float64) error {
	i := sort.Search(len(s), func(i int) bool { return s[i].T >= t })
	switch {
	case len(s) == 0:
		return fmt.Errorf("following the motion at %.3f s: %w (none)", t, ErrTooFew)
	case i == 0 && s[0].T-t > c.o.Reach, i == len(s) && t-s[i-1].T > c.o.Reach:
		return fmt.Errorf("following the motion at %.3f s: the object was seen from %.3f to %.3f s only: %w", t, s[0].T, s[len(s)-1].T, ErrTooFew)
	case i > 0 && i < len(s) && s[i].T-t > 1e-9 && s[i].T-s[i-1].T > c.o.MaxGap:
		return fmt.Errorf("following the motion at %.3f s: the object was not seen from %.3f to %.3f s: %w", t, s[i-1].T, s[i].T, ErrTooFew)
	}
	return nil
}

func within(s []track.Point, from, to float64) []track.Point {
	i := sort.Search(len(s), func(i int) bool { return s[i].T >= from-1e-9 })
	j := sort.Search(len(s), func(i int) bool { return s[i].T > to+1e-9 })
	return s[i:j]
}

func sq(v float64) float64 { return v * v }
