package ball

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

const (
	// rulerRows is how much of the ball's height is used, as a share of its
	// half height: above and below it the contact shadow and the glare of
	// lamps spoil the edge, and they say nothing about the width.
	rulerRows = 0.75
	// halfWidthU is how well half the width is known, as a share, from the
	// places where brightness falls to half: without it a dark mark in the
	// middle of a small ball can be taken for the shading of a smaller one.
	halfWidthU = 0.02
	// looseWidthU is the same of a ball that is cut off in brightness: those places lie
	// elsewhere then.
	looseWidthU = 0.1
)

// haloWidth is how wide, px, the rim is that a phone's sharpening draws: dark
// outside and bright inside the edge, so it does not move the edge itself.
const haloWidth = 1.2

// sphere is the outline of a shaded ball: an ellipse with half axes a and b
// whose edge is soft by sigma.
type sphere struct {
	x, y, a, b, sigma float64
	ua                float64 // standard uncertainty of a
	clipped           float64 // share of it that is cut off in brightness
}

// fitSphere fits the picture of a lit sphere on a plain floor to the mean
// patch.
//
// The brightness of a matt sphere under any distant light is a sum of its
// normal's components (Lambert), so inside it is 1, nx, ny, nz, and where the light
// comes from above, so that the lower part has none, ny^2 and ny nz too (Ramamoorthi
// and Hanrahan 2001, from memory: nine such terms tell any light to a few per cent; four
// of them change along a row as the edge does). Outside it is a plane. With the rim
// that sharpening draws, those ten factors follow linearly from the outline, which
// is found by Gauss-Newton (variable projection, Golub and Pereyra 1973).
//
// How much each sample counts is returned, and taken as it is where it is known from
// another curve: in light, what is not the ball stands out more than in codes.
func (b *Ball) fitSphere(m *meanPatch, gamma float64, known []float64) (sphere, []float64, error) {
	light := m.light(gamma)
	half := b.Radius + b.spread
	x0, y0 := m.corner(b)
	p := []float64{b.RestX - x0, b.RestY - y0, half, half * 1.02, 0.8}
	prior := []float64{0, 0, half * halfWidthU, b.Radius * 0.06, 0.3}
	cut := newClipping(light, m.side, p, gamma)
	if cut.clipped > 0 {
		prior[2] = half * looseWidthU
	}
	if known != nil {
		copy(cut.weights, known)
	}
	weights := cut.weights
	mean := append([]float64(nil), p...)
	mean[3] = 0
	var normal *mat.SymDense
	var jac *mat.Dense
	var resid *mat.VecDense
	for iter := 0; iter < 14; iter++ {
		r0, shade, n := residuals(light, weights, m.side, p)
		if r0 == nil {
			return sphere{}, nil, ErrNoRuler
		}
		resid = r0
		s2 := mat.Dot(r0, r0) / math.Max(1, float64(n)-factors-float64(len(p)))
		cut.censor(light, m.side, p, shade)
		if known == nil && (iter == 4 || iter == 8) {
			reweigh(weights, r0)
			if iter == 8 {
				over := make([]float64, len(light)) // the residuals are weighed: their signs stay
				for i := range over {
					over[i] = -r0.AtVec(i) / linear(m.level, gamma)
				}
				uncover(weights, over, m.side, p)
			}
			continue
		}
		jac = mat.NewDense(r0.Len(), len(p), nil)
		for k := range p {
			h := 1e-3
			q := append([]float64(nil), p...)
			q[k] += h
			r1, _, _ := residuals(light, weights, m.side, q)
			if r1 == nil {
				return sphere{}, nil, ErrNoRuler
			}
			for i := 0; i < r0.Len(); i++ {
				jac.Set(i, k, (r1.AtVec(i)-r0.AtVec(i))/h)
			}
		}
		normal = mat.NewSymDense(len(p), nil)
		normal.SymOuterK(1, jac.T())
		g := mat.NewVecDense(len(p), nil)
		g.MulVec(jac.T(), r0)
		g.ScaleVec(-1, g)
		for k, u := range prior {
			if u == 0 {
				continue
			}
			normal.SetSym(k, k, normal.At(k, k)+s2/(u*u))
			target := mean[k]
			if k == 3 { // the outline is a little taller than wide, never flatter
				target = p[2] * 1.03
			}
			g.SetVec(k, g.AtVec(k)+s2/(u*u)*(target-p[k]))
		}
		var chol mat.Cholesky
		if !chol.Factorize(normal) {
			return sphere{}, nil, ErrNoRuler
		}
		step := mat.NewVecDense(len(p), nil)
		if err := chol.SolveVecTo(step, g); err != nil {
			return sphere{}, nil, ErrNoRuler
		}
		for k := range p {
			p[k] += math.Max(-0.5, math.Min(0.5, step.AtVec(k)))
		}
		p[4] = math.Max(0.2, math.Min(2.5, p[4]))
	}
	if p[2] < 0.7*b.Radius || p[2] > 1.3*b.Radius {
		return sphere{}, nil, ErrNoRuler
	}
	var chol mat.Cholesky
	var inverse mat.SymDense
	if !chol.Factorize(normal) || chol.InverseTo(&inverse) != nil {
		return sphere{}, nil, ErrNoRuler
	}
	told := make([]float64, len(light)) // by how much each sample's residual moves a
	for i := range told {
		for k := range p {
			told[i] += inverse.At(2, k) * jac.At(i, k) * resid.AtVec(i)
		}
	}
	return sphere{x: p[0] + x0, y: p[1] + y0, a: p[2], b: p[3], sigma: p[4], ua: scatter(told, m.side), clipped: cut.clipped}, weights, nil
}

// factors is how many numbers the shading of a ball and of the floor has.
const factors = 10

// lit fills in the factors of a place, and returns how far outside the outline it is.
func lit(row []float64, x, y float64, p []float64) (dist float64) {
	dx, dy := x-p[0], y-p[1]
	nx, ny := dx/p[2], dy/p[3]
	rho := math.Max(math.Hypot(nx, ny), 1e-6)
	radius := math.Max(math.Hypot(dx, dy)/rho, 1e-6) // of the outline, in this direction
	dist = (rho - 1) * radius
	z := dist / p[4]
	cover := 0.5 * math.Erfc(z/math.Sqrt2)
	nz := 0.0
	if cover > 1e-6 {
		// At the rim the ball falls away steeply: what is seen there is its part that
		// lies inside, so many px on the mean.
		depth := p[4]*math.Exp(-z*z/2)/math.Sqrt(2*math.Pi)/cover - dist
		inner := math.Max(0, 1-depth/radius)
		nz = math.Sqrt(1 - inner*inner)
	}
	row[0], row[1], row[2], row[3] = cover, cover*clampUnit(nx), cover*ny, cover*nz
	row[4], row[5], row[6] = 1-cover, (1-cover)*nx, (1-cover)*ny
	row[7] = dist * math.Exp(-dist*dist/2/haloWidth/haloWidth)
	row[8], row[9] = cover*ny*ny, cover*ny*nz
	return dist
}

// residuals returns the weighted residuals of the best shading for an outline
// p = (x, y, a, b, sigma), that shading, and how many samples count.
func residuals(light, weights []float64, side int, p []float64) (*mat.VecDense, []float64, int) {
	res := mat.NewVecDense(len(light), nil)
	basis := mat.NewDense(len(light), factors, nil)
	n := 0
	for j := 0; j < side; j++ {
		dy := float64(j) - p[1]
		if math.Abs(dy) > rulerRows*p[3] {
			continue
		}
		for i := 0; i < side; i++ {
			at := j*side + i
			if weights[at] == 0 {
				continue
			}
			w := math.Sqrt(weights[at])
			row := basis.RawRowView(at)
			lit(row, float64(i), float64(j), p)
			for k := range row {
				row[k] *= w
			}
			res.SetVec(at, w*light[at])
			n++
		}
	}
	normal := mat.NewSymDense(factors, nil)
	normal.SymOuterK(1, basis.T())
	for k := 0; k < factors; k++ {
		normal.SetSym(k, k, normal.At(k, k)+1e-9)
	}
	var rhs, coef, model mat.VecDense
	rhs.MulVec(basis.T(), res)
	var chol mat.Cholesky
	if n < 40 || !chol.Factorize(normal) || chol.SolveVecTo(&coef, &rhs) != nil {
		return nil, nil, 0
	}
	model.MulVec(basis, &coef)
	res.SubVec(&model, res)
	return res, coef.RawVector().Data, n
}

func clampUnit(v float64) float64 { return math.Max(-1, math.Min(1, v)) }

// reweigh lowers the weight of samples that no sphere explains: a mark on the
// ball, a line on the mat. The scatter is told by the median of the residuals,
// which a mark does not widen; a normal distribution's standard deviation is
// 1.4826 times the median of its magnitudes.
func reweigh(weights []float64, res *mat.VecDense) {
	var sizes []float64
	for i, w := range weights {
		// Samples outside the rows that count have no residual.
		if r := math.Abs(res.AtVec(i)); r > 0 && w > 0 {
			sizes = append(sizes, r/math.Sqrt(w))
		}
	}
	if len(sizes) == 0 {
		return
	}
	slices.Sort(sizes)
	sigma := 1.4826 * sizes[len(sizes)/2]
	for i, w := range weights {
		if w == 0 {
			continue
		}
		r := math.Abs(res.AtVec(i)) / math.Sqrt(w)
		weights[i] = math.Min(1, 2.5*sigma/math.Max(r, 1e-12))
	}
}
