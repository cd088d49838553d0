package measure

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"strokereel/track"
	"strokereel/track/path"
)

// A head that looks up sets off from rest and goes on ever faster. The sticker on its
// cap goes with it, and before and meanwhile with the trunk that sways; the picture of
// the head turns, but by how much a turn of a round head turns its picture is not well
// known. So both are fitted at once,
//
//	cap     = a + b t + c t^2 + A (t - t0)^k
//	picture = d               + G (t - t0)^k    after t0, by what the limit is of each,
//
// for every moment t0 and power k that may be, each weighed by how likely it makes what
// was seen, and the turn's size is told by the cap, whose way per degree is known.

const (
	// rampBefore and rampAfter are how far before the look-up as first told, and how
	// far after it, s, the fit looks.
	rampBefore, rampAfter = 0.32, 0.05
	// rampStep is the grid of the moments at which a head may set off, s.
	rampStep = 0.004
	// alikeFrames is how many frames in a row a codec makes err alike, which are worth
	// one.
	alikeFrames = 2
	// swayTurns is how much the sway of a trunk speeds up or slows down, m/s2, standard
	// uncertainty: one of 5 mm to either side in a stroke of a second by 0.2 at most.
	swayTurns = 0.1
	// leastNoise is the least share of the variance told of the places seen that they
	// are taken to scatter by when they scatter less: much of it is what all of them err
	// alike, which moves nothing here.
	leastNoise = 0.25
	// leastRamp is how many frames the fit needs.
	leastRamp = 12
)

// rampPowers are the ways in which heads set off: from almost evenly, as a small turn
// does that slows down again before the limit, to a speeding up that itself grows.
var rampPowers = []float64{1.25, 1.5, 1.75, 2, 2.25, 2.5}

// reading is a place seen at a moment: of the cap, or of the picture's rim.
type reading struct {
	t, x, weight float64 // weight is one over the variance
	picture      bool
}

// setsOff fits the cap's sticker and the head's picture around a look-up that was told
// coarsely.
func (w *work) setsOff(p *pose, cap watched, about float64) (track.Event, bool) {
	from, to := math.Max(about-rampBefore, w.stroke.Event(track.Start).T-addressSpan), math.Min(about+rampAfter, cap.last)
	var seen []reading
	collect := func(of track.Path, picture bool) {
		for _, q := range path.WithoutStrays(of, w.in.Smoothing).Points {
			if q.Seen && q.T >= from && q.T <= to {
				seen = append(seen, reading{q.T - about, q.X, 1 / (alikeFrames * q.U * q.U), picture})
			}
		}
	}
	collect(w.stroke.Toward(w.in.Body.Paths[track.Cap]), false)
	if len(seen) < leastRamp {
		return track.Event{}, false
	}
	if rim, radius := p.rim(); radius > 0 {
		collect(rim, true)
	}
	var n, sum, sumSq float64
	least := math.Inf(1)
	var fits []ramp
	for t0 := from - about + 3*rampStep; t0 < to-about; t0 += rampStep {
		for _, power := range rampPowers {
			if f, ok := fitRamp(seen, t0, power, cap.limit); ok && f.passes < to-about+rampAfter {
				fits, least = append(fits, f), math.Min(least, f.misfit)
			}
		}
	}
	noise := math.Max(leastNoise, least/(float64(len(seen))/alikeFrames-rampTerms))
	for _, f := range fits {
		weight := math.Exp((least - f.misfit) / (2 * noise))
		n, sum, sumSq = n+weight, sum+weight*f.passes, sumSq+weight*(f.passes*f.passes+noise*f.u*f.u)
	}
	if n == 0 {
		return track.Event{}, false
	}
	at := sum / n
	u := math.Sqrt(sumSq/n - at*at)
	m, err := cap.curve.At(about + at)
	if err != nil {
		return track.Event{}, false
	}
	speed := math.Max(math.Abs(m.VX)/cap.limit, 1e-3)
	return w.lookedAt(cap, about+at, speed, []track.Term{
		{Symbol: "x", Name: "moment told by the fit, as a way of the " + cap.what, Unit: "m", U: u * speed * cap.limit},
	}), true
}

// ramp is a fit for one moment of setting off and one power.
type ramp struct {
	misfit    float64 // sum of squares in standard uncertainties
	passes, u float64 // s, when the cap has gone its limit since it set off
}

// rampTerms are a, b, c, A, d and G.
const rampTerms = 6

func fitRamp(seen []reading, t0, power, limit float64) (ramp, bool) {
	normal, right := mat.NewSymDense(rampTerms, nil), mat.NewVecDense(rampTerms, nil)
	normal.SetSym(2, 2, 4/(swayTurns*swayTurns)) // c is half of what the sway turns by
	const vague = 1e-6
	for i := range rampTerms {
		normal.SetSym(i, i, normal.At(i, i)+vague)
	}
	row := func(r reading) *mat.VecDense {
		v := mat.NewVecDense(rampTerms, nil)
		gone := math.Pow(math.Max(0, r.t-t0), power)
		if r.picture {
			v.SetVec(4, 1)
			v.SetVec(5, gone)
		} else {
			v.SetVec(0, 1)
			v.SetVec(1, r.t-t0)
			v.SetVec(2, (r.t-t0)*(r.t-t0))
			v.SetVec(3, gone)
		}
		return v
	}
	for _, r := range seen {
		v := row(r)
		normal.SymRankOne(normal, r.weight, v)
		right.AddScaledVec(right, r.weight*r.x, v)
	}
	var chol mat.Cholesky
	var fit mat.VecDense
	var spread mat.SymDense
	if !chol.Factorize(normal) || chol.SolveVecTo(&fit, right) != nil || chol.InverseTo(&spread) != nil {
		return ramp{}, false
	}
	size, turn := fit.AtVec(3), fit.AtVec(5)
	if size == 0 || size*turn > 0 {
		return ramp{}, false // as the cap goes one way, the crown of a head that looks down goes the other
	}
	f := ramp{misfit: math.Pow(2*fit.AtVec(2)/swayTurns, 2)}
	for _, r := range seen {
		off := r.x - mat.Dot(row(r), &fit)
		f.misfit += r.weight * off * off
	}
	long := math.Pow(limit/math.Abs(size), 1/power)
	f.passes = t0 + long
	f.u = math.Sqrt(spread.At(3, 3)) / math.Abs(size) * long / power
	return f, true
}
