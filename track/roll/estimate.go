package roll

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Quantity is a value with its standard uncertainty.
type Quantity struct{ Value, U float64 }

// rectangular is a quantity known only to lie between two limits (JCGM
// 100:2008, 4.3.7).
func rectangular(min, max float64) Quantity {
	return Quantity{(min + max) / 2, (max - min) / math.Sqrt(12)}
}

// disputed is a quantity of which one source's value is used although another has
// a different one: as uncertain as if it could lie anywhere in an interval as wide
// as they are apart.
func disputed(used, other float64) Quantity {
	return Quantity{used, math.Abs(other-used) / math.Sqrt(12)}
}

// Estimate is a positive quantity. What is uncertain of speeds, lengths and
// distances are factors, so the uncertainty is that of the logarithm.
type Estimate struct {
	Value float64
	U     float64 // standard uncertainty of the logarithm
	DOF   float64 // degrees of freedom of U; 0 means none are needed
}

// Known reports whether there is a value.
func (e Estimate) Known() bool { return e.Value > 0 }

// Interval returns the ends of the 95 % interval.
func (e Estimate) Interval() (low, high float64) {
	k := math.Exp(factor(e.DOF) * e.U)
	return e.Value / k, e.Value * k
}

// factor is the coverage factor for 95 % (JCGM 100:2008, G.3).
func factor(dof float64) float64 {
	if dof == 0 || dof > 1e4 {
		return distuv.UnitNormal.Quantile(0.975)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: math.Max(dof, 1)}.Quantile(0.975)
}

// times is the product of powers of independent estimates, with the degrees of
// freedom of Welch and Satterthwaite (JCGM 100:2008, G.4.1).
func times(factors ...power) Estimate {
	out := Estimate{Value: 1}
	var fourth float64
	for _, f := range factors {
		if !f.of.Known() {
			return Estimate{}
		}
		u := f.to * f.of.U
		out.Value *= math.Pow(f.of.Value, f.to)
		out.U = math.Hypot(out.U, u)
		if f.of.DOF > 0 {
			fourth += math.Pow(u, 4) / f.of.DOF
		}
	}
	if fourth > 0 {
		out.DOF = math.Pow(out.U, 4) / fourth
	}
	return out
}

// power is an estimate to a power.
type power struct {
	of Estimate
	to float64
}

// Exactly is a quantity that is wished for, not measured.
func Exactly(v float64) Estimate { return Estimate{Value: v} }
