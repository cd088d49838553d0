package path

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"strokereel/track"
)

// window is the prior, conditioned on the samples of a stretch of time.
type window struct {
	prior    stationary
	middle   float64 // s
	breaks   []breakTerms
	samples  []track.Point
	terms    [][]float64   // trend and breaks, per sample
	chol     mat.TriDense  // of x
	cholY    *mat.TriDense // of y, the same unless it is known otherwise than x
	x0, y0   float64
	x        []float64 // whitened positions
	pullX    []float64 // what each sample's covariance with a moment counts for
	pullY    []float64
	enlarged float64 // factor of all variances, at least 1
}

// believedDOF is the weight, in degrees of freedom, of the belief that the
// stated U is right.
const believedDOF = 10

// among returns the covariance of samples of a stationary motion.
func (s stationary) among(samples []track.Point) *mat.SymDense {
	k := mat.NewSymDense(len(samples), nil)
	for i, p := range samples {
		for j := 0; j <= i; j++ {
			k.SetSym(i, j, s.cov(p.T - samples[j].T)[0])
		}
	}
	return k
}

// newWindow conditions on samples, each exposed for the time e at most; among is
// the prior's covariance of them.
func newWindow(prior stationary, among *mat.SymDense, middle float64, breaks []breakTerms, samples []track.Point, e float64) (*window, error) {
	n := len(samples)
	w := &window{prior: prior, middle: middle, breaks: breaks, samples: samples, terms: make([][]float64, n), x: make([]float64, n)}
	y := make([]float64, n)
	w.x0, w.y0 = samples[n/2].X, samples[n/2].Y
	k := mat.NewSymDense(n, nil)
	apart := false
	for i, p := range samples {
		t := trendAt(p.T-middle, 0)
		w.terms[i] = t[:]
		for _, b := range breaks {
			f := b.felt(p.T, e)
			w.terms[i] = append(w.terms[i], f[:]...)
		}
		for j := 0; j <= i; j++ {
			k.SetSym(i, j, among.At(i, j)+dot(w.terms[i], w.terms[j]))
		}
		k.SetSym(i, i, k.At(i, i)+p.U*p.U)
		w.x[i], y[i] = p.X-w.x0, p.Y-w.y0
		apart = apart || p.UY > 0
	}
	if err := factorize(k, &w.chol); err != nil {
		return nil, fmt.Errorf("following the motion around %.3f s: %w", middle, err)
	}
	w.cholY = &w.chol
	if apart {
		for i, p := range samples {
			if p.UY > 0 {
				k.SetSym(i, i, k.At(i, i)+p.UY*p.UY-p.U*p.U)
			}
		}
		w.cholY = &mat.TriDense{}
		if err := factorize(k, w.cholY); err != nil {
			return nil, fmt.Errorf("following the motion around %.3f s: %w", middle, err)
		}
	}
	whiten(&w.chol, w.x)
	whiten(w.cholY, y)
	chi2 := dot(w.x, w.x) + dot(y, y)
	w.pullX, w.pullY = slices.Clone(w.x), y
	unwhiten(&w.chol, w.pullX)
	unwhiten(w.cholY, w.pullY)
	w.enlarged = math.Max(1, (chi2+believedDOF)/float64(2*n+believedDOF))
	return w, nil
}

func factorize(k *mat.SymDense, to *mat.TriDense) error {
	var c mat.Cholesky
	if !c.Factorize(k) {
		return errors.New("the stated uncertainties are too small to be computed with")
	}
	c.LTo(to)
	return nil
}

// whiten solves L v = b in place.
func whiten(l *mat.TriDense, b []float64) {
	raw := l.RawTriangular()
	for i := range b {
		row := raw.Data[i*raw.Stride : i*raw.Stride+i+1]
		b[i] = (b[i] - dot(row[:i], b)) / row[i]
	}
}

// unwhiten solves L' v = b in place.
func unwhiten(l *mat.TriDense, b []float64) {
	raw := l.RawTriangular()
	for i := len(b) - 1; i >= 0; i-- {
		row := raw.Data[i*raw.Stride : i*raw.Stride+i+1]
		b[i] /= row[i]
		for j, v := range row[:i] {
			b[j] -= v * b[i]
		}
	}
}

// at returns the motion at t, after a break that lies exactly there if asked
// for, else before it.
func (w *window) at(t float64, after bool) Motion {
	m := Motion{T: t, N: len(w.samples), of: w, after: after}
	var terms [3][]float64
	for order := range terms {
		terms[order] = w.termsAt(t, order, after)
	}
	var x, y [3]float64
	for i, p := range w.samples {
		k := w.prior.cov(t - p.T)
		for order := range k {
			c := k[order] + dot(terms[order], w.terms[i])
			x[order] += c * w.pullX[i]
			y[order] += c * w.pullY[i]
		}
	}
	m.X, m.Y = w.x0+x[0], w.y0+y[0]
	m.VX, m.VY, m.AX, m.AY = x[1], y[1], x[2], y[2]
	return m
}

// u is the standard uncertainty of a derivative at t, of x or, by the other factor, of y.
func (w *window) u(l *mat.TriDense, t float64, order int, after bool) float64 {
	terms := w.termsAt(t, order, after)
	cross := make([]float64, len(w.samples))
	for i, p := range w.samples {
		cross[i] = w.prior.cov(t - p.T)[order] + dot(terms, w.terms[i])
	}
	whiten(l, cross)
	v := w.prior.variance()[order] + dot(terms, terms) - dot(cross, cross)
	return math.Sqrt(math.Max(v, 0) * w.enlarged)
}

func (w *window) termsAt(t float64, order int, after bool) []float64 {
	v := trendAt(t-w.middle, order)
	out := v[:]
	for _, b := range w.breaks {
		var f [3]float64
		if t > b.at || after {
			f = b.after(t, order)
		}
		out = append(out, f[:]...)
	}
	return out
}

// evidence is the logarithm of the probability density of the samples' x.
func (w *window) evidence() float64 {
	l := -dot(w.x, w.x) / 2
	for i := range w.x {
		l -= math.Log(w.chol.At(i, i))
	}
	return l
}

// dot is over the length of a.
func dot(a, b []float64) float64 {
	s := 0.0
	b = b[:len(a)]
	for i, v := range a {
		s += v * b[i]
	}
	return s
}
