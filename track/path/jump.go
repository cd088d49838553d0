package path

import (
	"fmt"
	"math"

	"strokereel/track"
)

// Jump is the motion along the line on either side of a moment at which the
// speed may jump while the position does not: the head at impact.
type Jump struct {
	T               float64
	X, UX           float64 // m, position at T
	Before, UBefore float64 // m/s, just before T
	After, UAfter   float64 // m/s, just after T
	Birge           float64 // factor by which the stated U was enlarged, at least 1
	N               int     // samples used
}

// JumpOptions are the settings of FitJump.
type JumpOptions struct {
	HalfWidth    float64 `key:"half_width" unit:"s" range:"0.04..0.3" help:"samples this far to either side of impact are used; 0.13 s is half a downstroke"`
	Acceleration float64 `key:"acceleration" unit:"m/s^2" range:"1..100" help:"usual size (standard deviation) of the head's acceleration at impact; 8 m/s^2 is that at the top of a long stroke"`
	Jerk         float64 `key:"jerk" unit:"m/s^3" range:"5..1000" help:"usual size of the acceleration's rate of change; 60 m/s^3 is a harmonic stroke of 0.3 m with a downstroke of 0.3 s, half as much again"`
	Snap         float64 `key:"snap" unit:"m/s^4" range:"10..20000" help:"usual size of the jerk's rate of change; 800 m/s^4 leaves room for strokes less smooth than a harmonic one (300 m/s^4)"`
}

// jumpCoefficients are position, then speed, acceleration, jerk and snap before
// and after.
const jumpCoefficients = 9

// FitJump fits the position along the line on both sides of the moment at, in
// one least-squares solution: the two sides share the position, which pins the
// end of each, and their higher derivatives are held by what a stroke usually
// does (Gaussian priors). Samples within skip (s) of the moment are left out:
// their exposure may show both speeds.
func FitJump(p track.Path, at, skip float64, o JumpOptions) (Jump, error) {
	var in []track.Point
	sides := [2]int{}
	for _, q := range p.Points {
		if d := q.T - at; q.Seen && math.Abs(d) >= skip && math.Abs(d) <= o.HalfWidth {
			in = append(in, q)
			if d > 0 {
				sides[1]++
			} else {
				sides[0]++
			}
		}
	}
	if min(sides[0], sides[1]) < 3 {
		return Jump{}, fmt.Errorf("fitting the speed at %.3f s: %w (%d before, %d after)", at, ErrTooFew, sides[0], sides[1])
	}
	priors := [jumpCoefficients]float64{0, 0, o.Acceleration, o.Jerk, o.Snap, 0, o.Acceleration, o.Jerk, o.Snap}
	coef, cov, chi2, err := solveJump(in, at, priors, 1)
	if err != nil {
		return Jump{}, err
	}
	birge := math.Sqrt(math.Max(1, (chi2+believedDOF)/(float64(len(in))-4+believedDOF)))
	if birge > 1 {
		if coef, cov, _, err = solveJump(in, at, priors, birge); err != nil {
			return Jump{}, err
		}
	}
	return Jump{
		T: at, X: coef[0], UX: math.Sqrt(cov[0][0]),
		Before: coef[1], UBefore: math.Sqrt(cov[1][1]),
		After: coef[5], UAfter: math.Sqrt(cov[5][5]),
		Birge: birge, N: len(in),
	}, nil
}

// solveJump solves the normal equations; enlarge multiplies the stated U.
func solveJump(in []track.Point, at float64, priors [jumpCoefficients]float64, enlarge float64) (coef []float64, cov [][]float64, chi2 float64, err error) {
	normal, rhs := square(jumpCoefficients), make([]float64, jumpCoefficients)
	for k, u := range priors {
		if u > 0 {
			normal[k][k] = 1 / (u * u)
		}
	}
	for _, q := range in {
		row := jumpRow(q.T - at)
		w := 1 / (q.U * q.U * enlarge * enlarge)
		for i := range row {
			rhs[i] += w * row[i] * q.X
			for j := range row {
				normal[i][j] += w * row[i] * row[j]
			}
		}
	}
	// Derivatives differ by orders of magnitude: balance them for the solver.
	scale := make([]float64, jumpCoefficients)
	for i := range scale {
		scale[i] = 1 / math.Sqrt(normal[i][i])
	}
	for i := range normal {
		for j := range normal[i] {
			normal[i][j] *= scale[i] * scale[j]
		}
	}
	inv, ok := invert(normal)
	if !ok {
		return nil, nil, 0, fmt.Errorf("fitting the speed at %.3f s: %w", at, ErrTooFew)
	}
	coef = make([]float64, jumpCoefficients)
	for i := range inv {
		for j := range inv[i] {
			inv[i][j] *= scale[i] * scale[j]
			coef[i] += inv[i][j] * rhs[j]
		}
	}
	for _, q := range in {
		x := 0.0
		for i, r := range jumpRow(q.T - at) {
			x += r * coef[i]
		}
		chi2 += (q.X - x) * (q.X - x) / (q.U * q.U)
	}
	return coef, inv, chi2, nil
}

// jumpRow returns what each coefficient adds to the position at a time after
// the jump (negative: before it).
func jumpRow(t float64) [jumpCoefficients]float64 {
	row := [jumpCoefficients]float64{0: 1}
	k := 1
	if t > 0 {
		k = 5
	}
	row[k], row[k+1], row[k+2], row[k+3] = t, t*t/2, t*t*t/6, t*t*t*t/24
	return row
}
