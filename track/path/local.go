package path

import (
	"errors"
	"fmt"
	"math"

	"strokereel/track"
)

// Side says which samples a local fit may use.
type Side int

// The sides of a local fit.
const (
	Both   Side = iota
	Before      // samples not later than the moment asked for
	After       // samples not earlier than the moment asked for
)

// ErrTooFew is wrapped by errors of fits that would rest on too few samples.
var ErrTooFew = errors.New("too few seen samples")

// Fit is the motion at one moment. The covariance holds for x and for y alike,
// in the order position, velocity, acceleration.
type Fit struct {
	T          float64
	X, Y       float64 // m
	VX, VY     float64 // m/s
	AX, AY     float64 // m/s^2; 0 with an infinite variance when Degree < 2
	Cov        [3][3]float64
	Model      [3]float64 // standard uncertainty from motion the polynomial cannot follow
	Birge      float64    // factor by which the stated U was enlarged, at least 1
	N, Degree  int
	First, End float64 // s, times of the first and the last sample used
}

// U returns the standard uncertainty of the position (order 0), the velocity
// (1) or the acceleration (2), noise and model together.
func (f Fit) U(order int) float64 {
	return math.Sqrt(f.Cov[order][order] + f.Model[order]*f.Model[order])
}

// believedDOF is the weight, in degrees of freedom, of the belief that the
// stated U is right: a handful of residuals alone would enlarge U by chance in
// every second window.
const believedDOF = 10

// Local fits a polynomial of the given degree to the seen samples within
// halfWidth (s) of the moment at. Samples are weighted by 1/U^2 and the
// covariance is enlarged when the residuals are larger than U allows (Birge,
// Phys. Rev. 40, 1932, 207, from memory). It fails with ErrTooFew when there are
// not more samples than coefficients; a window that is exactly filled cannot
// tell its own noise.
func Local(points []track.Point, at, halfWidth float64, degree int, side Side) (Fit, error) {
	from, to := at-halfWidth, at+halfWidth
	switch side {
	case Before:
		to = at
	case After:
		from = at
	}
	var in []track.Point
	for _, p := range points {
		if p.Seen && p.T >= from-1e-9 && p.T <= to+1e-9 {
			in = append(in, p)
		}
	}
	w, err := weigh(in, at, degree)
	if err != nil {
		return Fit{}, err
	}
	return w.apply(in), nil
}

// weights turn the positions of some samples into polynomial coefficients.
type weights struct {
	at     float64
	degree int
	rows   [][]float64 // rows[k][i]: share of sample i in the k-th derivative
	cov    [][]float64 // of the derivatives, for the stated U
	times  []float64   // s, relative to at
}

// maxDegree bounds the polynomials; higher ones only follow noise.
const maxDegree = 5

func weigh(in []track.Point, at float64, degree int) (weights, error) {
	if degree < 0 || degree > maxDegree {
		return weights{}, fmt.Errorf("fitting the motion at %.3f s: the degree must be between 0 and %d (got %d)", at, maxDegree, degree)
	}
	m := degree + 1
	if len(in) < m+1 {
		return weights{}, fmt.Errorf("fitting the motion at %.3f s: %w (%d, needed %d)", at, ErrTooFew, len(in), m+1)
	}
	unit := 1e-9 // the window's own time unit keeps the normal matrix well scaled
	for _, p := range in {
		unit = math.Max(unit, math.Abs(p.T-at))
	}
	normal := square(m)
	powers := make([][maxDegree + 1]float64, len(in))
	for i, p := range in {
		if !(p.U > 0) {
			return weights{}, fmt.Errorf("fitting the motion at %.3f s: frame %d has no uncertainty (got %g)", at, p.Frame, p.U)
		}
		for k, v := 0, 1.0; k < m; k, v = k+1, v*(p.T-at)/unit {
			powers[i][k] = v
		}
		weight := 1 / (p.U * p.U)
		for r := 0; r < m; r++ {
			for c := 0; c <= r; c++ { // invert reads the lower half
				normal[r][c] += powers[i][r] * powers[i][c] * weight
			}
		}
	}
	inv, ok := invert(normal)
	if !ok {
		return weights{}, fmt.Errorf("fitting the motion at %.3f s: the samples do not fix a polynomial of degree %d: %w", at, degree, ErrTooFew)
	}
	w := weights{at: at, degree: degree, rows: make([][]float64, m), cov: inv}
	cells := make([]float64, (m+1)*len(in))
	w.times, cells = cells[:len(in)], cells[len(in):]
	var scale [maxDegree + 1]float64 // coefficient -> derivative
	for k, s := 0, 1.0; k < m; k++ {
		scale[k] = s
		s *= float64(k+1) / unit
		w.rows[k] = cells[k*len(in) : (k+1)*len(in)]
	}
	for i, p := range in {
		w.times[i] = p.T - at
		weight := 1 / (p.U * p.U)
		for k := 0; k < m; k++ {
			for c := 0; c < m; c++ {
				w.rows[k][i] += scale[k] * inv[k][c] * powers[i][c] * weight
			}
		}
	}
	for r := 0; r < m; r++ {
		for c := 0; c < m; c++ {
			w.cov[r][c] *= scale[r] * scale[c]
		}
	}
	return w, nil
}

// miss returns the rms, over all phases, of what the weights get wrong in the
// order-th derivative of a sine of the given amplitude (m) and frequency (Hz).
func (w weights) miss(order int, amplitude, frequency float64) float64 {
	omega := 2 * math.Pi * frequency
	var re, im float64
	for i, t := range w.times {
		s, c := math.Sincos(omega * t)
		re += w.rows[order][i] * c
		im += w.rows[order][i] * s
	}
	switch order { // the true derivative is (i omega)^order
	case 0:
		re--
	case 1:
		im -= omega
	case 2:
		re += omega * omega
	}
	return amplitude * math.Hypot(re, im) / math.Sqrt2
}

func (w weights) apply(in []track.Point) Fit {
	f := Fit{T: w.at, N: len(in), Degree: w.degree, Birge: 1, First: in[0].T, End: in[len(in)-1].T}
	dx, dy := make([]float64, w.degree+1), make([]float64, w.degree+1)
	for k, row := range w.rows {
		for i, p := range in {
			dx[k] += row[i] * p.X
			dy[k] += row[i] * p.Y
		}
	}
	chi2 := 0.0
	for i, p := range in {
		rx, ry, power := p.X, p.Y, 1.0
		for k := range dx {
			rx -= dx[k] * power
			ry -= dy[k] * power
			power *= w.times[i] / float64(k+1)
		}
		chi2 += (rx*rx + ry*ry) / (p.U * p.U)
	}
	dof := float64(2 * (len(in) - w.degree - 1))
	if ratio := (chi2 + believedDOF) / (dof + believedDOF); ratio > 1 {
		f.Birge = math.Sqrt(ratio)
	}
	for r := range f.Cov {
		for c := range f.Cov[r] {
			if r <= w.degree && c <= w.degree {
				f.Cov[r][c] = w.cov[r][c] * f.Birge * f.Birge
			} else if r == c {
				f.Cov[r][c] = math.Inf(1)
			}
		}
	}
	f.X, f.Y = dx[0], dy[0]
	if w.degree >= 1 {
		f.VX, f.VY = dx[1], dy[1]
	}
	if w.degree >= 2 {
		f.AX, f.AY = dx[2], dy[2]
	}
	return f
}
