package path

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"strokereel/track"
)

// ErrNoLaunch is wrapped when the ball did not leave its place.
var ErrNoLaunch = errors.New("the ball was not struck")

// Rest is where a ball lies before it is struck, along the line.
type Rest struct {
	X, U   float64 // m, U is the standard uncertainty
	T0, T1 float64 // s, the first and the last time it was seen there
}

// Launch is the start of a struck ball's roll. Speed is that at separation, not
// a mean over the skid.
type Launch struct {
	T, UT         float64 // s, first contact of face and ball
	Speed, USpeed float64 // m/s, in the scale of the path; without the scale's own doubt
	Correlation   float64 // of T and Speed
	Rest          Rest
	RollShare     float64 // 1, speed when pure rolling starts over Speed
	URollShare    float64
	Roll, URoll   float64 // m/s^2, deceleration while rolling
	RMS           float64 // m, residuals of the frames used
	Birge         float64 // factor by which the stated U was enlarged, at least 1
	Frames        int     // frames of the moving ball used
}

// FindRest returns where the ball lies: the weighted mean of its positions from
// t0 to t1, with the observed scatter when that is larger than U allows.
func FindRest(ball track.Path, t0, t1 float64) (Rest, error) {
	r := Rest{T0: math.Inf(1), T1: math.Inf(-1)}
	var xs []float64
	var sw, swx float64
	for _, q := range ball.Points {
		if q.Seen && q.T >= t0 && q.T <= t1 {
			w := 1 / (q.U * q.U)
			sw += w
			swx += w * q.X
			xs = append(xs, q.X)
			r.T0, r.T1 = math.Min(r.T0, q.T), math.Max(r.T1, q.T)
		}
	}
	if len(xs) == 0 {
		return Rest{}, fmt.Errorf("finding where the ball lies between %.3f and %.3f s: %w (none)", t0, t1, ErrTooFew)
	}
	r.X, r.U = swx/sw, 1/math.Sqrt(sw)
	ss := 0.0
	for _, x := range xs {
		ss += sq(x - r.X)
	}
	if n := float64(len(xs)); n > 1 {
		r.U = math.Max(r.U, math.Sqrt(ss/(n*(n-1))))
	}
	return r, nil
}

// FitLaunch fits the roll of a ball that left its place after rest.T1 (s). The
// ball's first frames may be missing; frames that may show it both at rest and
// moving are left out (the exposure is unknown but not longer than a frame).
//
// The skid is not known from one clip, so it is not fitted: launches are fitted
// for a grid of frictions and spins, and weighed by how well each explains the
// frames. The spread between them is part of UT and USpeed. It fails with
// ErrNoLaunch when the ball stays where it is and ErrTooFew when too few frames
// show it moving.
func FitLaunch(ball track.Path, rest Rest, o Options) (Launch, error) {
	if err := o.Validate(); err != nil {
		return Launch{}, err
	}
	if err := check(ball); err != nil {
		return Launch{}, err
	}
	rest.U = math.Hypot(rest.U, o.Launch.RestU)
	l := launching{plain: o, o: o.Launch, rest: rest, interval: medianInterval(ball.Points)}
	moving, err := l.moving(ball.Points)
	if err != nil {
		return Launch{}, err
	}
	start, err := l.guess(moving)
	if err != nil {
		return Launch{}, err
	}
	l.use(moving, start.t0)
	for range 2 { // strays first show once the rest fits
		rough, err := l.grid(start, 1)
		if err != nil {
			return Launch{}, err
		}
		start = rough[0].rollFit
		l.use(withoutFar(moving, rough[0], o.Launch.OutlierFactor), start.t0)
	}
	fits, err := l.grid(start, 5)
	if err != nil {
		return Launch{}, err
	}
	return l.combine(fits), nil
}

// launching is one fit in progress.
type launching struct {
	o        LaunchOptions
	rest     Rest
	interval float64 // s between frames
	points   []track.Point
	plain    Options
}

// moving returns the samples from the first that has left the place for good.
func (l *launching) moving(points []track.Point) ([]track.Point, error) {
	seen := onlySeen(points)
	for i, q := range seen {
		if q.T < l.rest.T1-l.interval || q.X-l.rest.X < math.Max(l.o.Step, 5*math.Hypot(q.U, l.rest.U)) {
			continue
		}
		end := i
		for end < len(seen) && seen[end].T <= q.T+l.o.FitTime {
			end++
		}
		if end-i < l.o.MinFrames {
			return nil, fmt.Errorf("fitting the launch of the ball: %w once it moved (%d, needed %d)", ErrTooFew, end-i, l.o.MinFrames)
		}
		next := seen[i+l.o.MinFrames-1]
		if (next.X-q.X)/(next.T-q.T) >= l.o.MinSpeed {
			return onlySeen(l.plain.withoutStrays(seen[i:end])), nil
		}
	}
	return nil, fmt.Errorf("fitting the launch of the ball: %w", ErrNoLaunch)
}

// guess draws a line through the first moving samples, as robustly as a median
// of slopes is.
func (l *launching) guess(moving []track.Point) (rollFit, error) {
	n := min(len(moving), max(l.o.MinFrames, int(0.15/l.interval)))
	var slopes, starts []float64
	for i := 0; i < n; i++ {
		for j := i + 1; j < n; j++ {
			slopes = append(slopes, (moving[j].X-moving[i].X)/(moving[j].T-moving[i].T))
		}
	}
	speed := median(slopes)
	if speed < l.o.MinSpeed {
		return rollFit{}, fmt.Errorf("fitting the launch of the ball: %w (it crept at %.2f m/s)", ErrNoLaunch, speed)
	}
	for _, q := range moving[:n] {
		starts = append(starts, q.T-(q.X-l.rest.X)/speed)
	}
	return rollFit{t0: median(starts), speed: speed, roll: l.o.RollDecel, rest: l.rest.X}, nil
}

// use keeps the samples that show nothing but the moving ball.
func (l *launching) use(moving []track.Point, t0 float64) {
	var kept []track.Point
	for _, q := range moving {
		if q.T-t0 > l.interval/2 {
			kept = append(kept, q)
		}
	}
	l.points = kept
}

func onlySeen(points []track.Point) []track.Point {
	var seen []track.Point
	for _, q := range points {
		if q.Seen {
			seen = append(seen, q)
		}
	}
	return seen
}

func medianInterval(points []track.Point) float64 {
	var d []float64
	for i := 1; i < len(points); i++ {
		d = append(d, points[i].T-points[i-1].T)
	}
	return median(d)
}

func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	s := append([]float64(nil), v...)
	sort.Float64s(s)
	if n := len(s); n%2 == 0 {
		return (s[n/2-1] + s[n/2]) / 2
	}
	return s[len(s)/2]
}
