package path

import (
	"fmt"
	"math"
	"sort"

	"strokereel/track"
)

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
	// mostRollShare is where a ball's skid ends that still has one.
	mostRollShare = 0.999
	// unlikely is a rise of chi^2 above which a model carries no weight.
	unlikely = 14.0
)

// grid fits models over all frictions and shares that explain the frames, and the one
// that rolls at once, and returns the fits, the best one first.
func (l *launching) grid(start rollFit, passes int) ([]gridFit, error) {
	if len(l.points) < l.o.MinFrames-1 {
		return nil, fmt.Errorf("fitting the launch of the ball: %w once it moved (%d)", ErrTooFew, len(l.points))
	}
	fits := refine(gravity*l.o.MinFriction, gravity*l.o.MaxFriction, passes, func(skid float64) []gridFit {
		return refine(l.o.MinRollShare, mostRollShare, passes, func(share float64) []gridFit {
			if f, ok := l.fit(rollModel{skid: skid, share: share}, start); ok {
				start = f.rollFit // the next node is near
				return []gridFit{f}
			}
			return nil
		})
	})
	if f, ok := l.fit(rollModel{skid: gravity * l.o.MaxFriction, share: 1}, start); ok && l.o.RollsAtOnce > 0 {
		f.mass = l.o.RollsAtOnce / (1 - l.o.RollsAtOnce) * l.skidding()
		fits = append(fits, f)
	}
	if len(fits) == 0 {
		return nil, fmt.Errorf("fitting the launch of the ball: its frames do not look like a rolling ball: %w", ErrNoLaunch)
	}
	sort.SliceStable(fits, func(i, j int) bool { return fits[i].chi2 < fits[j].chi2 })
	return fits, nil
}

// skidding is the mass of all models that skid, of which those unlikely beforehand
// have little.
func (l *launching) skidding() float64 {
	at := func(share float64) float64 { return math.Erf((share - l.o.RollShare) / l.o.RollShareU / math.Sqrt2) }
	shares := l.o.RollShareU * math.Sqrt(math.Pi/2) * (at(1) - at(l.o.MinRollShare))
	return gravity * (l.o.MaxFriction - l.o.MinFriction) * shares
}

// prior is what is held against a model beforehand, as a chi^2. A ball that rolls at
// once is a kind of its own.
func (l *launching) prior(m rollModel) float64 {
	if m.share == 1 {
		return 0
	}
	return sq((m.share - l.o.RollShare) / l.o.RollShareU)
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
	c := sq((f.roll-l.o.RollDecel)/l.o.RollDecelU) + sq((f.rest-l.rest.X)/l.rest.U) + sq(f.bend/l.o.BendU) + l.prior(m)
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
		if q.Given || off[i] <= factor*scatter {
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
