package ball

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// meanPatch is the mean picture of a still ball under one exposure.
type meanPatch struct {
	x0, y0, side int
	n            int
	sum          []float64
	level        float64 // brightness of the ball
}

const (
	// sameLight is by how many levels a ball's brightness may differ in the pictures
	// of one mean: a tenth of its light. Phones change their exposure in steps.
	sameLight = 12
	// clippedFrom is the level from which a mean picture is cut off here and there.
	clippedFrom = 225
)

// patch returns the mean picture for a brightness of the ball.
func (b *Ball) patch(level float64) *meanPatch {
	for i := range b.sums {
		if m := &b.sums[i]; math.Abs(m.level-level) <= sameLight {
			return m
		}
	}
	b.sums = append(b.sums, meanPatch{level: level})
	return &b.sums[len(b.sums)-1]
}

// best returns the mean picture that shows most of the ball's shading: of those of
// enough frames one that is not cut off, of these the one of most frames; else the
// darkest.
func (b *Ball) best() *meanPatch {
	var best *meanPatch
	for i := range b.sums {
		m := &b.sums[i]
		switch {
		case m.n < minRulerFrames:
		case best == nil:
			best = m
		case m.level < clippedFrom && best.level < clippedFrom:
			if m.n > best.n {
				best = m
			}
		case m.level < best.level:
			best = m
		}
	}
	return best
}

// add takes one frame's picture around (x, y); the first call sets the window.
func (m *meanPatch) add(p plane, x, y, r float64) {
	if m.n == 0 {
		half := int(math.Ceil(1.8 * r))
		m.side = 2*half + 1
		m.x0, m.y0 = int(math.Round(x))-half, int(math.Round(y))-half
		m.sum = make([]float64, m.side*m.side)
	}
	if m.x0 < 0 || m.y0 < 0 || m.x0+m.side > p.w || m.y0+m.side > p.h {
		return
	}
	for j := 0; j < m.side; j++ {
		row := p.pix[(m.y0+j)*p.w+m.x0:]
		for i := 0; i < m.side; i++ {
			m.sum[j*m.side+i] += float64(row[i])
		}
	}
	m.n++
}

// ErrNoRuler is returned when the ball was never seen alone at rest.
var ErrNoRuler = errors.New("the ball was never seen at rest away from the putter")

const (
	// rulerRows is how much of the ball's height is used, as a share of its
	// half height: above and below it the contact shadow and the glare of
	// lamps spoil the edge, and they say nothing about the width.
	rulerRows = 0.75
	// gammaLow and gammaHigh bound the transfer curves of phones; the mean of
	// the two widths is taken and half their difference is a term of U. An
	// edge fitted without undoing the curve would come out too wide, since a
	// bright ball's blur outshines the floor.
	gammaLow, gammaHigh = 1.9, 2.5
	// redLow is the lowest for red: its colour part was blurred by the phone after
	// the transfer curve, not before.
	redLow = 1
	// halfWidthU is how well half the width is known, as a share, from the
	// places where brightness falls to half: without it a dark mark in the
	// middle of a small ball can be taken for the shading of a smaller one.
	halfWidthU = 0.02
	// looseWidthU is the same of a ball that is cut off in brightness: those places lie
	// elsewhere then.
	looseWidthU = 0.1
	// minRulerFrames is how many frames the mean picture needs.
	minRulerFrames = 6
)

// Outline is the measured outline of a ball at rest, px.
type Outline struct {
	X, Y     float64 // centre
	Width    float64 // horizontal: this is the ruler
	Height   float64
	UWidth   float64 // standard uncertainty: scatter, transfer curve, edge model
	Softness float64 // standard deviation of the edge's blur
}

// Outline measures the ball from its mean picture at rest.
func (b *Ball) Outline() (Outline, error) {
	m := b.best()
	if m == nil {
		return Outline{}, ErrNoRuler
	}
	from, to := gammaLow, gammaHigh
	if b.red {
		from, to = redLow, gammaLow
	}
	low, err := b.fitSphere(m, from)
	if err != nil {
		return Outline{}, err
	}
	high, err := b.fitSphere(m, to)
	if err != nil {
		return Outline{}, err
	}
	uCurve := math.Abs(high.a-low.a) / math.Sqrt(3)
	uFit := 2 * math.Max(low.ua, high.ua)
	over := bloom * high.clipped * high.clipped
	return Outline{
		X: (low.x + high.x) / 2, Y: (low.y + high.y) / 2,
		Width: low.a + high.a - over, Height: low.b + high.b,
		UWidth:   math.Sqrt(uFit*uFit + uCurve*uCurve + edgeModelU*edgeModelU + over*over),
		Softness: (low.sigma + high.sigma) / 2,
	}, nil
}

// haloWidth is how wide, px, the rim is that a phone's sharpening draws: dark
// outside and bright inside the edge, so it does not move the edge itself.
const haloWidth = 1.2

// edgeModelU is what the edge model leaves, px of width: sharpening by the
// phone draws a halo that a Gaussian edge does not have.
const edgeModelU = 0.1

// sphere is the outline of a shaded ball: an ellipse with half axes a and b
// whose edge is soft by sigma.
type sphere struct {
	x, y, a, b, sigma float64
	ua                float64 // standard uncertainty of a
	clipped           float64 // share of it that is cut off in brightness
}

// light is the mean picture in light that is linear if the transfer curve is a power
// of gamma, 1 being the end of the scale.
func (m *meanPatch) light(gamma float64) []float64 {
	light := make([]float64, len(m.sum))
	for i, s := range m.sum {
		light[i] = linear(s/float64(m.n), gamma)
	}
	return light
}

func linear(level, gamma float64) float64 { return math.Pow(math.Max(0, (level-16)/219), gamma) }

// fitSphere fits the picture of a lit sphere on a plain floor to the mean
// patch.
//
// The brightness of a matt sphere under any distant light is a sum of its
// normal's components (Lambert), so inside it is 1, nx, ny, nz; outside it is a
// plane. With the rim that sharpening draws, those eight factors follow linearly
// from the outline, which is found by Gauss-Newton (variable projection, Golub and
// Pereyra 1973).
func (b *Ball) fitSphere(m *meanPatch, gamma float64) (sphere, error) {
	light := m.light(gamma)
	half := b.Radius + b.spread
	p := []float64{b.RestX - float64(m.x0), b.RestY - float64(m.y0), half, half * 1.02, 0.8}
	prior := []float64{0, 0, half * halfWidthU, b.Radius * 0.06, 0.3}
	cut := newClipping(light, m.side, p, gamma)
	if cut.clipped > 0 {
		prior[2] = half * looseWidthU
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
			return sphere{}, ErrNoRuler
		}
		resid = r0
		s2 := mat.Dot(r0, r0) / math.Max(1, float64(n)-12)
		cut.censor(light, m.side, p, shade)
		if iter == 4 || iter == 8 {
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
				return sphere{}, ErrNoRuler
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
			return sphere{}, ErrNoRuler
		}
		step := mat.NewVecDense(len(p), nil)
		if err := chol.SolveVecTo(step, g); err != nil {
			return sphere{}, ErrNoRuler
		}
		for k := range p {
			p[k] += math.Max(-0.5, math.Min(0.5, step.AtVec(k)))
		}
		p[4] = math.Max(0.2, math.Min(2.5, p[4]))
	}
	if p[2] < 0.7*b.Radius || p[2] > 1.3*b.Radius {
		return sphere{}, ErrNoRuler
	}
	var chol mat.Cholesky
	var inverse mat.SymDense
	if !chol.Factorize(normal) || chol.InverseTo(&inverse) != nil {
		return sphere{}, ErrNoRuler
	}
	// What no sphere explains (a mark, dimples) sits inside the ball and says
	// little about the edge: each sample's own residual counts (White,
	// Econometrica 48, 1980, 817-838, from memory). Neighbouring samples of
	// decoded video err together; a quarter of them are independent.
	var varA float64
	for i := 0; i < jac.RawMatrix().Rows; i++ {
		lever := 0.0
		for k := range p {
			lever += inverse.At(2, k) * jac.At(i, k)
		}
		varA += lever * lever * resid.AtVec(i) * resid.AtVec(i)
	}
	return sphere{x: p[0] + float64(m.x0), y: p[1] + float64(m.y0), a: p[2], b: p[3], sigma: p[4], ua: 2 * math.Sqrt(varA), clipped: cut.clipped}, nil
}

// factors is how many numbers the shading of a ball and of the floor has.
const factors = 8

// lit fills in the factors of a place, and returns how far outside the outline it is.
func lit(row []float64, x, y float64, p []float64) (dist float64) {
	dx, dy := x-p[0], y-p[1]
	nx, ny := dx/p[2], dy/p[3]
	rho := math.Sqrt(nx*nx + ny*ny)
	dist = (rho - 1) * math.Hypot(dx, dy) / math.Max(rho, 1e-6)
	cover := 0.5 * math.Erfc(dist/p[4]/math.Sqrt2)
	nz := math.Sqrt(math.Max(0, 1-rho*rho))
	row[0], row[1], row[2], row[3] = cover, cover*clampUnit(nx), cover*ny, cover*nz
	row[4], row[5], row[6] = 1-cover, (1-cover)*nx, (1-cover)*ny
	row[7] = dist * math.Exp(-dist*dist/2/haloWidth/haloWidth)
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
