package path

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
)

// plain conditions the free trend alone, a cubic, on samples with x = f(t).
func plain(t *testing.T, n int, dt, u float64, f func(float64) float64) *window {
	t.Helper()
	var p []track.Point
	for i := range n {
		at := float64(i-n/2) * dt
		p = append(p, track.Point{Frame: i, T: at, X: f(at), U: u, Seen: true})
	}
	none := stationary{span: 1}
	w, err := newWindow(none, none.among(p), 0, nil, p, 0)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// Without stroke and tremor the prior is a free cubic; on even spacing its
// weights are the filter of Savitzky and Golay, Anal. Chem. 36, 1964, 1627; the
// tables are theirs, the first-derivative and second-derivative rows from memory.
func TestFreeCubicIsSavitzkyGolay(t *testing.T) {
	tests := []struct {
		name    string
		order   int
		table   []float64
		divisor float64
	}{
		{"smoothing 5", 0, []float64{-3, 12, 17, 12, -3}, 35},
		{"smoothing 7", 0, []float64{-2, 3, 6, 7, 6, 3, -2}, 21},
		{"smoothing 9", 0, []float64{-21, 14, 39, 54, 59, 54, 39, 14, -21}, 231},
		{"smoothing 11", 0, []float64{-36, 9, 44, 69, 84, 89, 84, 69, 44, 9, -36}, 429},
		{"slope of a cubic 5", 1, []float64{1, -8, 0, 8, -1}, 12},
		{"slope of a cubic 7", 1, []float64{22, -67, -58, 0, 58, 67, -22}, 252},
		{"bend 5", 2, []float64{2, -1, -2, -1, 2}, 7},
		{"bend 7", 2, []float64{5, 0, -3, -4, -3, 0, 5}, 42},
	}
	const dt, unit = 0.04, 1e-3
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			n := len(test.table)
			for i, c := range test.table {
				m := plain(t, n, dt, 1e-5, func(at float64) float64 {
					if math.Abs(at-float64(i-n/2)*dt) < dt/2 {
						return unit
					}
					return 0
				}).at(0, false)
				got := [3]float64{m.X, m.VX * dt, m.AX * dt * dt}[test.order] / unit
				if math.Abs(got-c/test.divisor) > 1e-5 {
					t.Errorf("coefficient %d: %.6f, wanted %g/%g", i, got, c, test.divisor)
				}
			}
		})
	}
}

// Noise gain sqrt(sum c^2) of the smoothing tables above.
func TestFreeCubicNoise(t *testing.T) {
	for n, want := range map[int]float64{5: 0.6969, 7: 0.5774, 9: 0.5054, 11: 0.4555} {
		const u = 1e-6
		m := plain(t, n, 0.02, u, func(float64) float64 { return 0 }).at(0, false)
		if got := m.U(0) / u; math.Abs(got-want) > 1e-4 {
			t.Errorf("%d points: gain %.4f, wanted %.4f", n, got, want)
		}
	}
}

// The derivatives of the prior's covariance against differences of it, an
// algebra check.
func TestCovarianceDerivatives(t *testing.T) {
	s := DefaultOptions().prior()
	const h = 1e-4
	for _, tau := range []float64{-0.3, -0.05, 0.013, 0.11, 0.6} {
		k := s.cov(tau)
		before, after := s.cov(tau-h), s.cov(tau+h)
		if d := (after[0] - before[0]) / (2 * h); math.Abs(d-k[1]) > 1e-5*math.Abs(d)+1e-9 {
			t.Errorf("slope at %g s: %g, differences say %g", tau, k[1], d)
		}
		if d := (after[1] - before[1]) / (2 * h); math.Abs(d-k[2]) > 1e-5*math.Abs(d)+1e-7 {
			t.Errorf("bend at %g s: %g, differences say %g", tau, k[2], d)
		}
	}
	v, k := s.variance(), s.cov(0)
	if math.Abs(v[0]-k[0]) > 1e-12 || math.Abs(v[1]+k[2]) > 1e-9 {
		t.Errorf("variances %g %g, the covariance says %g %g", v[0], v[1], k[0], -k[2])
	}
	if d := -(s.cov(h)[2] - 2*k[2] + s.cov(-h)[2]) / (h * h); math.Abs(v[2]+d) > 0.02*v[2] {
		t.Errorf("variance of the acceleration %g, differences say %g", v[2], -d)
	}
}

func TestTooFew(t *testing.T) {
	c, err := NewCurve(track.Path{Points: []track.Point{{T: 0, U: 1, Seen: true}, {T: 0.02, U: 1, Seen: true}}}, nil, 0, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	if _, err := c.At(0.01); !errors.Is(err, ErrTooFew) {
		t.Errorf("two samples: got %v, wanted ErrTooFew", err)
	}
}

// Residuals far above the stated U must enlarge the result's.
func TestEnlarged(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	w := plain(t, 41, 0.01, 1e-4, func(float64) float64 { return 5e-4 * rng.NormFloat64() })
	// Only x scatters: half of the sum of squares.
	if f := math.Sqrt(w.enlarged); f < 2.5 || f > 4.5 {
		t.Errorf("noise of five times the stated U in one of two coordinates: enlarged %.1f times, wanted about 3.5", f)
	}
}

// strike is a stroke to impact at t = 0, after which the head has lost a fifth of
// its speed and slows down.
func strike(before func(float64) float64, speed float64) func(float64) float64 {
	return func(t float64) float64 {
		if t > 0 {
			return 0.8*speed*t - 1.2*t*t
		}
		return before(t)
	}
}

// Closed forms of a stroke: harmonic quarter wave (textbook), constant
// acceleration (form reported of Craig, Delay, Grealy and Lee, Nature 405, 2000,
// 295), and driven at twice its own frequency (solved from the abstract of
// Grober, arXiv:0903.1762, 2009).
func TestCurveClosedForms(t *testing.T) {
	tests := []struct {
		name  string
		x     func(t float64) float64 // m, from rest at the top to impact at t = 0
		speed float64
	}{
		{"harmonic", func(t float64) float64 { return 0.3 * math.Sin(math.Pi/0.6*t) }, 1.570796},
		{"constant acceleration", func(t float64) float64 {
			a := 2 * 0.241 / (0.317 * 0.317)
			return 1.52050*t + a*t*t/2
		}, 1.52050},
		{"driven", func(t float64) float64 {
			w := math.Pi / 0.9
			c := 0.3 / (1.5 * math.Sqrt(3))
			return -2 * c * math.Sin(w*(t+0.9)) * (1 - math.Cos(w*(t+0.9)))
		}, 1.61227},
	}
	for _, test := range tests {
		for _, rate := range []float64{60, 120, 240} {
			p := track.Path{Object: track.Putter}
			x := strike(test.x, test.speed)
			for i := -int(0.3 * rate); i < int(0.2*rate); i++ {
				at := (float64(i) + 0.37) / rate
				p.Points = append(p.Points, track.Point{Frame: i, T: at, X: x(at), U: 0.0001, Seen: true})
			}
			c, err := NewCurve(p, []float64{0}, 0, DefaultOptions())
			if err != nil {
				t.Fatal(err)
			}
			m, err := c.At(0)
			if err != nil {
				t.Fatal(err)
			}
			if d := math.Abs(m.VX - test.speed); d > 0.01*test.speed || d > 2*m.U(1) {
				t.Errorf("%s at %g frames/s: %.4f m/s (u %.4f), wanted %.4f", test.name, rate, m.VX, m.U(1), test.speed)
			}
			if u := m.U(1); u > 0.02*test.speed {
				t.Errorf("%s at %g frames/s: the speed is known to %.4f m/s only", test.name, rate, u)
			}
		}
	}
}

// A step of a fifth is found to a small part of a frame, and a smooth motion has
// none.
func TestFindStep(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	for _, rate := range []float64{60, 120, 240} {
		var chi2, worst float64
		const trials = 5
		for k := range trials {
			at := 0.01*rng.Float64() - 0.005
			stroke, smooth := track.Path{Object: track.Putter}, track.Path{Object: track.Putter}
			x := strike(func(t float64) float64 { return 0.3 * math.Sin(math.Pi/0.6*t) }, 1.570796)
			for i := -int(0.3 * rate); i < int(0.3*rate); i++ {
				when := float64(i) / rate
				q := track.Point{Frame: i, T: when, X: x(when-at) + 1e-4*rng.NormFloat64(), Y: 1e-4 * rng.NormFloat64(), U: 1e-4, Seen: true}
				stroke.Points = append(stroke.Points, q)
				q.X = 0.3*math.Sin(math.Pi/0.6*when) + 1e-4*rng.NormFloat64()
				smooth.Points = append(smooth.Points, q)
			}
			st, err := FindStep(stroke, -0.025, 0.025, 0, DefaultOptions())
			if err != nil {
				t.Fatal(err)
			}
			chi2 += sq((st.T - at) / st.U)
			worst = math.Max(worst, math.Abs(st.T-at))
			if loss := 1 - st.After/st.Before; st.Gain < 8 || math.Abs(loss-0.2) > 0.06 {
				t.Errorf("%g frames/s, stroke %d: gain %.1f, loss %.2f", rate, k, st.Gain, loss)
			}
			if st, err := FindStep(smooth, -0.025, 0.025, 0, DefaultOptions()); err != nil || st.Gain > 8 {
				t.Errorf("%g frames/s, smooth motion %d: a step with gain %.1f (%v)", rate, k, st.Gain, err)
			}
		}
		if worst > 0.004 || chi2/trials > 2.5 {
			t.Errorf("%g frames/s: worst %.1f ms, chi-square %.2f per stroke", rate, 1000*worst, chi2/trials)
		}
	}
}
