package roll

import (
	"errors"
	"fmt"
	"math"

	"strokereel/track"
)

func (g Green) ground(p [parameters]float64) Ground {
	return Ground{Friction: p[pFriction], Deceleration: Deceleration(math.Exp(p[pReading]), p[pRamp]), Slope: p[pSlope], SlopeShare: p[pShare]}
}

// distance is the way of a ball for given parameters.
func (g Green) distance(speed float64, p [parameters]float64) (float64, error) {
	w, err := g.ground(p).Roll(Ball{speed, p[pSpin]})
	return w.Distance, err
}

// by are the derivatives of the logarithm of f by each parameter, over one
// standard uncertainty either side (JCGM 100:2008, 5.1.3, note 2).
func (g Green) by(f func(p [parameters]float64) (float64, error)) (by [parameters]float64, err error) {
	for i := range by {
		u := math.Sqrt(g.cov[i][i])
		if u == 0 {
			continue
		}
		lo, hi := g.mean, g.mean
		lo[i], hi[i] = lo[i]-u, hi[i]+u
		x, errLo := f(lo)
		y, errHi := f(hi)
		if err = errors.Join(errLo, errHi); err != nil {
			return by, err
		}
		by[i] = math.Log(y/x) / (2 * u)
	}
	return by, nil
}

// slopes are the derivatives of the logarithm of the distance: by each parameter,
// and by the logarithm of the speed.
func (g Green) slopes(speed float64) (by [parameters]float64, bySpeed float64, err error) {
	by, err = g.by(func(p [parameters]float64) (float64, error) { return g.distance(speed, p) })
	if errors.Is(err, ErrNeverStops) {
		return by, 0, fmt.Errorf("how far it rolls has no upper end: with what is not known of the slope, %w", ErrNeverStops)
	}
	const step = 0.01
	slower, errLo := g.distance(speed*(1-step), g.mean)
	faster, errHi := g.distance(speed*(1+step), g.mean)
	return by, math.Log(faster/slower) / math.Log((1+step)/(1-step)), errors.Join(err, errLo, errHi)
}

// variance of a logarithm with these derivatives, from the parameters.
func (g Green) variance(by [parameters]float64) float64 {
	v := 0.0
	for i := range by {
		for j := range by {
			v += by[i] * by[j] * g.cov[i][j]
		}
	}
	return v
}

// Distance is how far a ball of this speed (m/s) rolls.
func (g Green) Distance(speed Quantity) (Estimate, error) {
	e, _, err := g.Explain(speed)
	return e, err
}

// Explain is Distance with what its uncertainty is made of. Parameters that share
// a doubt, as those of measured rolls do, have it split evenly in their shares.
func (g Green) Explain(speed Quantity) (Estimate, []track.Term, error) {
	if !g.Known() {
		return Estimate{}, nil, errUnread
	}
	if !(speed.Value > 0) || math.IsInf(speed.Value, 0) || !(speed.U >= 0) {
		return Estimate{}, nil, fmt.Errorf("predicting a roll: needs a ball speed above zero and its uncertainty (got %g and %g m/s)", speed.Value, speed.U)
	}
	d, err := g.distance(speed.Value, g.mean)
	if err != nil {
		return Estimate{}, nil, fmt.Errorf("predicting a roll: %w", err)
	}
	by, bySpeed, err := g.slopes(speed.Value)
	if err != nil {
		return Estimate{}, nil, fmt.Errorf("predicting a roll: %w", err)
	}
	read := bySpeed * speed.U / speed.Value
	variance := g.variance(by) + read*read + g.scatter*g.scatter
	terms := []track.Term{
		{Symbol: "v_ball", Name: "ball speed", Unit: "m/s", Value: speed.Value, U: speed.U, Sensitivity: bySpeed / speed.Value, Share: read * read / variance},
		{Symbol: "e", Name: "scatter of single rolls", Unit: "1", U: g.scatter, Sensitivity: 1, Share: g.scatter * g.scatter / variance},
	}
	for i, p := range named {
		p.Value, p.U, p.Sensitivity = g.mean[i], math.Sqrt(g.cov[i][i]), by[i]
		for j := range by {
			p.Share += by[i] * g.cov[i][j] * by[j] / variance
		}
		terms = append(terms, p)
	}
	return Estimate{Value: d, U: math.Sqrt(variance)}, terms, nil
}

// named are the parameters as people read them.
var named = [parameters]track.Term{
	pReading:  {Symbol: "ln S", Name: "logarithm of the green speed in feet", Unit: "1"},
	pRamp:     {Symbol: "v_ramp", Name: "speed off the ramp of the green's instrument", Unit: "m/s"},
	pFriction: {Symbol: "µ", Name: "friction while the ball slides", Unit: "1"},
	pSpin:     {Symbol: "ω", Name: "spin at launch", Unit: "rad/s"},
	pSlope:    {Symbol: "σ", Name: "slope along the putt", Unit: "rad"},
	pShare:    {Symbol: "c", Name: "share of the slope that counts", Unit: "1"},
}

// Speed is the ball speed (m/s) that rolls a distance (m).
func (g Green) Speed(distance float64) (Estimate, error) {
	if !g.Known() {
		return Estimate{}, errUnread
	}
	if err := CheckDistance(distance); err != nil {
		return Estimate{}, err
	}
	v, err := g.ground(g.mean).Launch(distance, g.mean[pSpin])
	if err != nil {
		return Estimate{}, fmt.Errorf("finding the ball speed for %g m: %w", distance, err)
	}
	by, bySpeed, err := g.slopes(v)
	if err != nil {
		return Estimate{}, fmt.Errorf("finding the ball speed for %g m: %w", distance, err)
	}
	return Estimate{Value: v, U: math.Sqrt(g.variance(by)) / bySpeed}, nil
}

// PastHole is the speed (m/s) at the hole of a ball that would roll so much (m)
// beyond it.
func (g Green) PastHole(beyond float64) (Estimate, error) {
	if err := CheckDistance(beyond); err != nil {
		return Estimate{}, err
	}
	speed := func(p [parameters]float64) (float64, error) { return g.ground(p).PastHole(beyond) }
	v, err := speed(g.mean)
	if err != nil {
		return Estimate{}, err
	}
	by, err := g.by(speed)
	return Estimate{Value: v, U: math.Sqrt(g.variance(by))}, err
}

// Ground is the ground at the means, for a look at parts of the way.
func (g Green) Ground() Ground { return g.ground(g.mean) }

// Reading is the green's speed on the level, ft, as given or as fitted.
func (g Green) Reading() Estimate {
	return Estimate{Value: math.Exp(g.mean[pReading]), U: math.Sqrt(g.cov[pReading][pReading])}
}
