package measure

import (
	"math"
	"sort"

	"strokereel/track"
)

// Input is one independent quantity of a budget. Without U it is taken as exact:
// its doubt is in another term or too small to matter.
type Input struct {
	Symbol, Name, Unit string
	Value, U           float64
	DOF                float64 // degrees of freedom of U; 0 means none are needed (known beforehand)
}

// exactStep is the step, as a share, over which the sensitivity to an exact input
// is taken.
const exactStep = 1e-4

// noChange is the relative change of a value that rounding alone can make.
const noChange = 1e-12

// Propagate applies the law of propagation (JCGM 100:2008, eq. 10) to f of
// independent inputs. Sensitivities are central differences over one U either
// side (5.1.3, note 2). Inputs that f does not look at are no terms.
func Propagate(inputs []Input, f func([]float64) float64) track.Budget {
	v := make([]float64, len(inputs))
	for i, in := range inputs {
		v[i] = in.Value
	}
	b := track.Budget{Value: f(v)}
	var u, nu []float64
	for i, in := range inputs {
		step := in.U
		if step == 0 {
			step = exactStep * math.Max(math.Abs(in.Value), exactStep)
		}
		v[i] = in.Value + step
		hi := f(v)
		v[i] = in.Value - step
		lo := f(v)
		v[i] = in.Value
		if unmoved := noChange * math.Abs(b.Value); math.Abs(hi-b.Value) <= unmoved && math.Abs(lo-b.Value) <= unmoved {
			continue
		}
		t := track.Term{Symbol: in.Symbol, Name: in.Name, Unit: in.Unit, Value: in.Value, U: in.U, DOF: in.DOF, Sensitivity: (hi - lo) / (2 * step)}
		part := math.Abs(t.Sensitivity) * in.U
		dof := in.DOF
		if dof == 0 {
			dof = math.Inf(1)
		}
		u, nu = append(u, part), append(nu, dof)
		b.U += part * part
		b.Terms = append(b.Terms, t)
	}
	for i := range b.Terms {
		if b.U > 0 {
			b.Terms[i].Share = u[i] * u[i] / b.U
		}
	}
	b.U = math.Sqrt(b.U)
	b.DOF = EffectiveDOF(u, nu)
	b.K = StudentFactor(0.95, math.Max(1, math.Floor(math.Min(b.DOF, 1e6))))
	sort.SliceStable(b.Terms, func(i, j int) bool { return b.Terms[i].Share > b.Terms[j].Share })
	return b
}
