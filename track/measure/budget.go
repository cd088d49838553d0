package measure

import (
	"math"
	"sort"
)

// Input is one independent quantity of a budget.
type Input struct {
	Name     string
	Value, U float64
	DOF      float64 // degrees of freedom of U; 0 means none are needed (known beforehand)
}

// Term is what one input adds to a measure.
type Term struct {
	Input
	Sensitivity float64 // change of the measure per unit of the input
	Share       float64 // of the variance, 0 to 1
}

// Budget explains the uncertainty of one measure, the largest term first.
type Budget struct {
	ID    string
	Value float64
	U     float64 // combined standard uncertainty
	DOF   float64 // effective degrees of freedom
	K     float64 // coverage factor for 95 %
	Terms []Term
}

// U95 is the expanded uncertainty.
func (b Budget) U95() float64 { return b.K * b.U }

// Propagate applies the law of propagation (JCGM 100:2008, eq. 10) to f of
// independent inputs. Sensitivities are central differences over one U either
// side (5.1.3, note 2).
func Propagate(id string, inputs []Input, f func([]float64) float64) Budget {
	v := make([]float64, len(inputs))
	for i, in := range inputs {
		v[i] = in.Value
	}
	b := Budget{ID: id, Value: f(v)}
	var u, nu []float64
	for i, in := range inputs {
		if in.U == 0 {
			continue
		}
		v[i] = in.Value + in.U
		hi := f(v)
		v[i] = in.Value - in.U
		lo := f(v)
		v[i] = in.Value
		t := Term{Input: in, Sensitivity: (hi - lo) / (2 * in.U)}
		part := math.Abs(hi-lo) / 2
		if part == 0 {
			continue
		}
		dof := in.DOF
		if dof == 0 {
			dof = math.Inf(1)
		}
		u, nu = append(u, part), append(nu, dof)
		b.U += part * part
		b.Terms = append(b.Terms, t)
	}
	for i := range b.Terms {
		b.Terms[i].Share = u[i] * u[i] / b.U
	}
	b.U = math.Sqrt(b.U)
	b.DOF = EffectiveDOF(u, nu)
	b.K = StudentFactor(0.95, math.Max(1, math.Floor(math.Min(b.DOF, 1e6))))
	sort.SliceStable(b.Terms, func(i, j int) bool { return b.Terms[i].Share > b.Terms[j].Share })
	return b
}
