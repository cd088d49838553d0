package path

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
)

// samplesOf returns samples 1 s apart, centred on 0, with x = f(t).
func samplesOf(n int, f func(float64) float64) []track.Point {
	var p []track.Point
	for i := range n {
		t := float64(i - n/2)
		p = append(p, track.Point{Frame: i, T: t, X: f(t), U: 1, Seen: true})
	}
	return p
}

// On even spacing and equal weights a local fit is the filter of Savitzky and
// Golay, Anal. Chem. 36, 1964, 1627; the tables are theirs, the first-derivative
// and second-derivative rows from memory.
func TestLocalIsSavitzkyGolay(t *testing.T) {
	tests := []struct {
		name          string
		degree, order int
		table         []float64
		divisor       float64
	}{
		{"smoothing 5", 2, 0, []float64{-3, 12, 17, 12, -3}, 35},
		{"smoothing 7", 3, 0, []float64{-2, 3, 6, 7, 6, 3, -2}, 21},
		{"smoothing 9", 2, 0, []float64{-21, 14, 39, 54, 59, 54, 39, 14, -21}, 231},
		{"smoothing 11", 3, 0, []float64{-36, 9, 44, 69, 84, 89, 84, 69, 44, 9, -36}, 429},
		{"slope 5", 2, 1, []float64{-2, -1, 0, 1, 2}, 10},
		{"slope 7", 2, 1, []float64{-3, -2, -1, 0, 1, 2, 3}, 28},
		{"slope of a cubic 5", 3, 1, []float64{1, -8, 0, 8, -1}, 12},
		{"slope of a cubic 7", 3, 1, []float64{22, -67, -58, 0, 58, 67, -22}, 252},
		{"bend 5", 2, 2, []float64{2, -1, -2, -1, 2}, 7},
		{"bend 7", 2, 2, []float64{5, 0, -3, -4, -3, 0, 5}, 42},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			n := len(test.table)
			for i, c := range test.table {
				one := samplesOf(n, func(t float64) float64 {
					if t == float64(i-n/2) {
						return 1
					}
					return 0
				})
				f, err := Local(one, 0, float64(n/2), test.degree, Both)
				if err != nil {
					t.Fatal(err)
				}
				got := [3]float64{f.X, f.VX, f.AX}[test.order]
				if math.Abs(got-c/test.divisor) > 1e-12 {
					t.Errorf("coefficient %d: %.6f, wanted %g/%g", i, got, c, test.divisor)
				}
			}
		})
	}
}

// Noise gain sqrt(sum c^2) of the tables above.
func TestLocalNoise(t *testing.T) {
	for n, want := range map[int][2]float64{5: {0.6969, 0.3162}, 7: {0.5774, 0.1890}, 9: {0.5054, 0.1291}, 11: {0.4555, 0.0953}} {
		f, err := Local(samplesOf(n, func(t float64) float64 { return t }), 0, float64(n/2), 2, Both)
		if err != nil {
			t.Fatal(err)
		}
		for k, w := range want {
			if got := math.Sqrt(f.Cov[k][k]); math.Abs(got-w) > 1e-4 {
				t.Errorf("%d points: gain %.4f of derivative %d, wanted %.4f", n, got, k, w)
			}
		}
	}
}

// Slope of the harmonic quarter wave (downstroke 0.317 s) at 60 frames/s: the
// share of the true speed that a quadratic window keeps.
func TestLocalAmplitudeLoss(t *testing.T) {
	omega := math.Pi / (2 * 0.317)
	for n, want := range map[int]float64{5: 0.9961, 7: 0.9921, 9: 0.9866, 11: 0.9799} {
		var p []track.Point
		for i := range n {
			at := float64(i-n/2) / 60
			p = append(p, track.Point{T: at, X: math.Sin(omega * at), U: 1, Seen: true})
		}
		f, err := Local(p, 0, 1, 2, Both)
		if err != nil {
			t.Fatal(err)
		}
		if got := f.VX / omega; math.Abs(got-want) > 1e-4 {
			t.Errorf("%d points: %.4f of the speed, wanted %.4f", n, got, want)
		}
	}
}

// A polynomial of the fit's degree comes back exactly from uneven, partly unseen
// samples of any weight, on either side.
func TestLocalExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	f := func(t float64) float64 { return 0.3 - 1.2*t + 2.5*t*t - 7*t*t*t }
	var p []track.Point
	for at := -0.2; at < 0.2; at += 0.005 + 0.02*rng.Float64() {
		p = append(p, track.Point{T: at, X: f(at), Y: -f(at), U: 1e-4 * (1 + rng.Float64()), Seen: rng.Float64() < 0.8})
	}
	for _, side := range []Side{Both, Before, After} {
		got, err := Local(p, 0.01, 0.15, 3, side)
		if err != nil {
			t.Fatal(err)
		}
		v := -1.2 + 5*0.01 - 21*1e-4
		a := 5 - 42*0.01
		if math.Abs(got.X-f(0.01)) > 1e-9 || math.Abs(got.VX-v) > 1e-7 || math.Abs(got.AX-a) > 1e-5 || math.Abs(got.VY+v) > 1e-7 {
			t.Errorf("side %d: x %.9f v %.7f a %.5f, wanted %.9f %.7f %.5f", side, got.X, got.VX, got.AX, f(0.01), v, a)
		}
		if (side == Before && got.End > 0.01) || (side == After && got.First < 0.01) {
			t.Errorf("side %d used samples from %.3f to %.3f", side, got.First, got.End)
		}
	}
}

func TestLocalTooFew(t *testing.T) {
	if _, err := Local(samplesOf(3, math.Abs), 0, 5, 2, Both); !errors.Is(err, ErrTooFew) {
		t.Errorf("three samples for a quadratic: got %v, wanted ErrTooFew", err)
	}
}

// Residuals far above the stated U must enlarge the result's.
func TestLocalBirge(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	p := samplesOf(41, func(float64) float64 { return 5 * rng.NormFloat64() })
	f, err := Local(p, 0, 20, 2, Both)
	if err != nil {
		t.Fatal(err)
	}
	if f.Birge < 3 || f.Birge > 6 {
		t.Errorf("noise of five times the stated U: enlarged %.1f times, wanted about 5", f.Birge)
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
			for i := -int(0.3 * rate); i < int(0.1*rate); i++ {
				at := (float64(i) + 0.37) / rate
				x := test.x(at)
				if at > 0 {
					x = 0.8 * test.speed * at // the head has lost a fifth
				}
				p.Points = append(p.Points, track.Point{Frame: i, T: at, X: x, U: 0.0001, Seen: true})
			}
			c, err := NewCurve(p, []float64{0}, 0.5/rate, DefaultOptions())
			if err != nil {
				t.Fatal(err)
			}
			f, err := c.SpeedBefore(0, 0)
			if err != nil {
				t.Fatal(err)
			}
			// One part in as many as there are frames in a second: a window of
			// seven frames cannot follow the bend more closely.
			if d := math.Abs(f.VX - test.speed); d > test.speed/rate || d > 2*f.U(1) {
				t.Errorf("%s at %g frames/s: %.4f m/s (u %.4f), wanted %.4f", test.name, rate, f.VX, f.U(1), test.speed)
			}
		}
	}
}
