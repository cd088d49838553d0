package roll

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Measured is a ball of which speed (m/s) and roll (m) were both measured.
type Measured struct {
	Speed    Quantity
	Distance float64
}

// contradiction is how unlikely measured rolls may be under what is known
// beforehand before that is doubted.
const contradiction = 0.001

// Fit returns the green with measured rolls taken in: weighted least squares in
// which what was known beforehand counts as further observations (the covariance
// of the result follows as in JCGM 102:2011, annex; the weights are 1/u^2). No
// parameter leaves the limits it is known to lie in. A green speed that the rolls
// contradict is set aside; rolls that contradict each other widen the result
// (Birge's ratio).
func (g Green) Fit(rolls []Measured) (Green, error) {
	for _, r := range rolls {
		if err := CheckDistance(r.Distance); err != nil {
			return Green{}, fmt.Errorf("fitting the green: a measured roll: %w", err)
		}
		if !(r.Speed.Value > 0) || !(r.Speed.U > 0) || math.IsInf(r.Speed.Value+r.Speed.U, 0) {
			return Green{}, fmt.Errorf("fitting the green: a ball that rolled %g m needs a measured speed and its uncertainty (got %g and %g m/s)", r.Distance, r.Speed.Value, r.Speed.U)
		}
	}
	if g.Rolls > 0 {
		return Green{}, fmt.Errorf("fitting the green: it holds %d measured rolls already, give all of them at once", g.Rolls)
	}
	if len(rolls) == 0 {
		return g, nil
	}
	limit := distuv.ChiSquared{K: float64(len(rolls))}.Quantile(1 - contradiction)
	out, chi2, err := g.fit(rolls)
	if g.read && (err != nil || chi2 > limit) {
		wide := g
		reading := anyReading()
		wide.mean[pReading], wide.cov[pReading][pReading] = reading.Value, reading.U*reading.U
		wide.low[pReading], wide.high[pReading] = anyLimits()
		wide.Aside = true
		out, chi2, err = wide.fit(rolls)
	}
	if err != nil {
		return Green{}, fmt.Errorf("fitting the green to %d measured rolls: %w", len(rolls), err)
	}
	if birge := chi2 / float64(len(rolls)); chi2 > limit {
		for i := range out.cov {
			for j := range out.cov {
				out.cov[i][j] *= birge
			}
		}
		out.scatter *= math.Sqrt(birge)
	}
	out.Rolls += len(rolls)
	return out, nil
}

const (
	iterations = 50
	settled    = 1e-9 // of one standard uncertainty
)

// fit finds the parameters, counted in standard uncertainties from their means,
// by Gauss and Newton, and the sum of squares there.
func (g Green) fit(rolls []Measured) (Green, float64, error) {
	var z [parameters]float64
	at := g
	for range iterations {
		normal, right, _, err := g.equations(at, z, rolls)
		if err != nil {
			return Green{}, 0, err
		}
		var low, high [parameters]float64 // of a step
		for i := range z {
			if u := math.Sqrt(g.cov[i][i]); u > 0 {
				low[i], high[i] = (g.low[i]-g.mean[i])/u-z[i], (g.high[i]-g.mean[i])/u-z[i]
			}
		}
		step, err := within(normal, right, low, high)
		if err != nil {
			return Green{}, 0, err
		}
		most := 0.0
		for i := range z {
			z[i] += step[i]
			most = math.Max(most, math.Abs(step[i]))
			at.mean[i] = g.mean[i] + z[i]*math.Sqrt(g.cov[i][i])
		}
		if most < settled {
			break
		}
	}
	normal, _, chi2, err := g.equations(at, z, rolls)
	if err != nil {
		return Green{}, 0, err
	}
	var inverse mat.Dense
	if err := inverse.Inverse(normal); err != nil {
		return Green{}, 0, err
	}
	for i := range at.cov {
		for j := range at.cov {
			at.cov[i][j] = inverse.At(i, j) * math.Sqrt(g.cov[i][i]*g.cov[j][j])
		}
	}
	return at, chi2, nil
}

// within solves normal equations for a step between two limits: what would go
// beyond a limit stays there, and the rest is solved for again.
func within(normal *mat.SymDense, right *mat.VecDense, low, high [parameters]float64) (step [parameters]float64, err error) {
	var held [parameters]bool
	for beyond := true; beyond; {
		a, b := mat.NewSymDense(parameters, nil), mat.NewVecDense(parameters, nil)
		for i := range parameters {
			if held[i] {
				a.SetSym(i, i, 1)
				b.SetVec(i, step[i])
				continue
			}
			v := right.AtVec(i)
			for j := range parameters {
				if held[j] {
					v -= normal.At(i, j) * step[j]
				} else {
					a.SetSym(i, j, normal.At(i, j))
				}
			}
			b.SetVec(i, v)
		}
		var s mat.VecDense
		if err := s.SolveVec(a, b); err != nil {
			return step, err
		}
		beyond = false
		for i := range parameters {
			step[i] = math.Max(low[i], math.Min(high[i], s.AtVec(i)))
			if !held[i] && step[i] != s.AtVec(i) {
				held[i], beyond = true, true
			}
		}
	}
	return step, nil
}

// equations are the normal equations at a place: the identity for what was known
// beforehand and one row for each roll.
func (g Green) equations(at Green, z [parameters]float64, rolls []Measured) (*mat.SymDense, *mat.VecDense, float64, error) {
	normal, right := mat.NewSymDense(parameters, nil), mat.NewVecDense(parameters, nil)
	chi2 := 0.0
	for i, v := range z {
		normal.SetSym(i, i, 1)
		right.SetVec(i, -v)
		chi2 += v * v
	}
	for _, r := range rolls {
		d, err := g.distance(r.Speed.Value, at.mean)
		if err != nil {
			return nil, nil, 0, err
		}
		by, bySpeed, err := at.slopes(r.Speed.Value)
		if err != nil {
			return nil, nil, 0, err
		}
		read, tape := bySpeed*r.Speed.U/r.Speed.Value, g.tape/r.Distance
		w := 1 / (read*read + g.scatter*g.scatter + tape*tape)
		miss := math.Log(r.Distance / d)
		chi2 += w * miss * miss
		for i := range by {
			si := by[i] * math.Sqrt(g.cov[i][i])
			right.SetVec(i, right.AtVec(i)+w*si*miss)
			for j := i; j < parameters; j++ {
				normal.SetSym(i, j, normal.At(i, j)+w*si*by[j]*math.Sqrt(g.cov[j][j]))
			}
		}
	}
	return normal, right, chi2, nil
}
