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
	l := launching{plain: o, o: o.Launch, rest: rest, interval: medianInterval(ball.Points)}
	rest.U = math.Hypot(rest.U, o.Launch.RestU)
	l.rest = rest
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

// gridFit is the fit of one model of the grid.
type gridFit struct {
	rollFit
	model rollModel
	chi2  float64 // of the samples and the priors
	mass  float64 // share of the models the node stands for
	cov   [][]float64
}

const (
	gravity = 9.81 // m/s^2
	// nodes per direction of the grid; twice as many change neither T nor
	// Speed by a tenth of its uncertainty.
	nodes = 7
	// unlikely is a rise of chi^2 above which a model carries no weight.
	unlikely = 14.0
)

// grid fits models over all frictions and shares that explain the frames and
// returns the fits, the best one first.
func (l *launching) grid(start rollFit, passes int) ([]gridFit, error) {
	if len(l.points) < l.o.MinFrames-1 {
		return nil, fmt.Errorf("fitting the launch of the ball: %w once it moved (%d)", ErrTooFew, len(l.points))
	}
	fits := refine(gravity*l.o.MinFriction, gravity*l.o.MaxFriction, passes, func(skid float64) []gridFit {
		return refine(l.o.MinRollShare, 1, passes, func(share float64) []gridFit {
			if f, ok := l.fit(rollModel{skid: skid, share: share}, start); ok {
				start = f.rollFit // the next node is near
				return []gridFit{f}
			}
			return nil
		})
	})
	if len(fits) == 0 {
		return nil, fmt.Errorf("fitting the launch of the ball: its frames do not look like a rolling ball: %w", ErrNoLaunch)
	}
	sort.SliceStable(fits, func(i, j int) bool { return fits[i].chi2 < fits[j].chi2 })
	return fits, nil
}

// refine lays nodes over [lo, hi], narrows the interval to the nodes that are
// not unlikely, and lays them again, at most so many passes.
func refine(lo, hi float64, passes int, at func(float64) []gridFit) []gridFit {
	var fits []gridFit
	for range passes {
		fits = nil
		step := (hi - lo) / (nodes - 1)
		least := math.Inf(1)
		lows := make([]float64, nodes)
		for i := range lows {
			lows[i] = math.Inf(1)
			for _, f := range at(lo + float64(i)*step) {
				f.mass *= step
				if i == 0 || i == nodes-1 {
					f.mass /= 2 // the ends of the trapezium rule
				}
				fits = append(fits, f)
				lows[i] = math.Min(lows[i], f.chi2)
			}
			least = math.Min(least, lows[i])
		}
		first, last := nodes-1, 0
		for i, low := range lows {
			if low < least+unlikely {
				first, last = min(first, i), max(last, i)
			}
		}
		if last-first >= nodes/2 || last < first {
			return fits
		}
		lo, hi = lo+float64(max(0, first-1))*step, lo+float64(min(nodes-1, last+1))*step
	}
	return fits
}

// fit is Gauss and Newton's method with the priors of roll, rest and bend. A
// step that makes the fit worse is halved: the model has a kink where the skid
// ends.
func (l *launching) fit(m rollModel, f rollFit) (gridFit, bool) {
	cost := l.chi2(m, f)
	for step := 0; step < 15; step++ {
		move, inv, ok := l.step(m, f)
		if !ok {
			return gridFit{}, false
		}
		next, nextCost := f, math.Inf(1)
		for part := 1.0; part > 0.1 && !(nextCost <= cost); part /= 2 {
			next = f.moved(move, part)
			nextCost = l.chi2(m, next)
		}
		gain := cost - nextCost
		if gain > 0 {
			f, cost = next, nextCost
		}
		if gain < 0.01 { // a hundredth of chi^2 is a tenth of a standard uncertainty
			return gridFit{rollFit: f, model: m, chi2: cost, mass: 1, cov: inv}, f.speed > l.o.MinSpeed/2
		}
	}
	return gridFit{}, false
}

func (f rollFit) moved(move [parameters]float64, part float64) rollFit {
	f.t0 += part * move[0]
	f.speed = math.Max(f.speed+part*move[1], 0.02)
	f.roll = math.Max(f.roll+part*move[2], 0.05)
	f.rest += part * move[3]
	f.bend += part * move[4]
	return f
}

// step returns the Gauss-Newton step from f and the covariance there.
func (l *launching) step(m rollModel, f rollFit) (move [parameters]float64, cov [][]float64, ok bool) {
	normal, right := square(parameters), [parameters]float64{}
	for _, q := range l.points {
		d := m.slopes(f, q.T)
		w := 1 / (q.U * q.U)
		r := q.X - m.at(f, q.T)
		for a := range d {
			right[a] += w * d[a] * r
			for b := 0; b <= a; b++ {
				normal[a][b] += w * d[a] * d[b]
			}
		}
	}
	for k, prior := range [][2]float64{
		2: {l.o.RollDecel - f.roll, l.o.RollDecelU},
		3: {l.rest.X - f.rest, l.rest.U},
		4: {-f.bend, l.o.BendU},
	} {
		if prior[1] > 0 {
			normal[k][k] += 1 / sq(prior[1])
			right[k] += prior[0] / sq(prior[1])
		}
	}
	cov, ok = invert(normal)
	if !ok {
		return move, nil, false
	}
	for a := range move {
		for b := range right {
			move[a] += cov[a][b] * right[b]
		}
	}
	return move, cov, true
}

func (l *launching) chi2(m rollModel, f rollFit) float64 {
	c := sq((f.roll-l.o.RollDecel)/l.o.RollDecelU) + sq((f.rest-l.rest.X)/l.rest.U) + sq(f.bend/l.o.BendU) +
		sq((m.share-l.o.RollShare)/l.o.RollShareU)
	for _, q := range l.points {
		c += sq((q.X - m.at(f, q.T)) / q.U)
	}
	return c
}

// withoutFar leaves out samples far from a fit. The scatter is taken from the
// median, which strays cannot move.
func withoutFar(moving []track.Point, fit gridFit, factor float64) []track.Point {
	off := make([]float64, len(moving))
	for i, q := range moving {
		off[i] = math.Abs(q.X-fit.model.at(fit.rollFit, q.T)) / q.U
	}
	scatter := math.Max(1, 1.4826*median(off))
	var kept []track.Point
	for i, q := range moving {
		if off[i] <= factor*scatter {
			kept = append(kept, q)
		}
	}
	return kept
}

// combine weighs the fits of the grid by their likelihood: the variance is the
// mean of the variances plus the variance of the means.
func (l *launching) combine(fits []gridFit) Launch {
	best := fits[0]
	dof := float64(len(l.points) - 2)
	birge2 := math.Max(1, (best.chi2+believedDOF)/(dof+believedDOF))
	var w, t, v, share, roll float64
	for _, f := range fits {
		p := f.mass * math.Exp((best.chi2-f.chi2)/(2*birge2))
		w += p
		t += p * (f.t0 - best.t0)
		v += p * f.speed
		share += p * f.model.share
		roll += p * f.roll
	}
	t, v, share, roll = best.t0+t/w, v/w, share/w, roll/w
	var tt, vv, tv, ss, rr float64
	for _, f := range fits {
		p := f.mass * math.Exp((best.chi2-f.chi2)/(2*birge2)) / w
		tt += p * (birge2*f.cov[0][0] + sq(f.t0-t))
		vv += p * (birge2*f.cov[1][1] + sq(f.speed-v))
		tv += p * (birge2*f.cov[0][1] + (f.t0-t)*(f.speed-v))
		ss += p * sq(f.model.share-share)
		rr += p * (birge2*f.cov[2][2] + sq(f.roll-roll))
	}
	rms := 0.0
	for _, q := range l.points {
		rms += sq(q.X - best.model.at(best.rollFit, q.T))
	}
	return Launch{
		T: t, UT: math.Sqrt(tt), Speed: v, USpeed: math.Sqrt(vv), Correlation: tv / math.Sqrt(tt*vv),
		Rest: l.rest, RollShare: share, URollShare: math.Sqrt(ss), Roll: roll, URoll: math.Sqrt(rr),
		RMS: math.Sqrt(rms / float64(len(l.points))), Birge: math.Sqrt(birge2), Frames: len(l.points),
	}
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
