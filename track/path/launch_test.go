package path

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
	"strokereel/track/tracktest"
)

// ballCamera films a ball. The line may lead away from the camera, 3 m off.
type ballCamera struct {
	tracktest.Camera
	hidden int     // frames lost after impact
	yaw    float64 // rad
}

func (c ballCamera) film(b tracktest.Ball, seconds float64, rng *rand.Rand) track.Path {
	roll := b.Roll(seconds + 0.1)
	p := c.Film(track.Ball, func(t float64) (x, y float64) {
		x = roll(t)
		return x / (1 + x*math.Sin(c.yaw)/3), 0
	}, seconds, rng)
	lost := 0
	for i, q := range p.Points {
		gone := q.X > 1.2 // out of the picture
		if q.T > b.Impact && lost < c.hidden {
			lost++
			gone = true
		}
		if gone {
			p.Points[i] = track.Point{Frame: q.Frame, T: q.T}
		}
	}
	return p
}

// launch films a ball for two seconds and fits its launch.
func (c ballCamera) launch(t *testing.T, b tracktest.Ball, rng *rand.Rand) Launch {
	t.Helper()
	film := c.film(b, 2, rng)
	rest, err := FindRest(film, 0, b.Impact-0.05)
	if err != nil {
		t.Fatal(err)
	}
	l, err := FitLaunch(film, rest, DefaultOptions())
	if err != nil {
		t.Fatalf("%+v %+v: %v", b, c, err)
	}
	return l
}

func randomBall(rng *rand.Rand) tracktest.Ball {
	return tracktest.DrawBall(rng, 0.7+rng.Float64()/30, 1.2+2.4*rng.Float64())
}

// TestFitLaunch scores random launches against the simulated truth.
func TestFitLaunch(t *testing.T) {
	for _, test := range []struct {
		name           string
		rate           float64
		noise          [2]float64 // px
		hidden         int        // at most
		limitT, limitV float64    // s, 1; 0 for coverage only
	}{
		{"60 frames/s", 60, [2]float64{0.05, 0.2}, 0, 0.1 / 60, 0.02},
		{"120 frames/s", 120, [2]float64{0.05, 0.2}, 2, 0.1 / 120, 0.02},
		{"60 frames/s, noisy and hidden", 60, [2]float64{0.05, 0.3}, 2, 0.15 / 60, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(7, uint64(test.rate)))
			var tErr, vErr []float64
			inT, inV := 0, 0
			const n = 120
			for range n {
				p := randomBall(rng)
				noise := test.noise[0] + (test.noise[1]-test.noise[0])*rng.Float64()
				c := ballCamera{tracktest.DrawCamera(rng, test.rate, noise), rng.IntN(test.hidden + 1), (rng.Float64()*6 - 3) * math.Pi / 180}
				c.Exposure *= 4 // up to the whole frame
				l := c.launch(t, p, rng)
				tErr = append(tErr, l.T-p.Impact)
				vErr = append(vErr, l.Speed/p.Speed-1)
				if math.Abs(l.T-p.Impact) < 1.96*l.UT {
					inT++
				}
				if math.Abs(l.Speed-p.Speed) < 1.96*l.USpeed {
					inV++
				}
			}
			t95, v95 := tracktest.Quantile(tErr, 0.95), tracktest.Quantile(vErr, 0.95)
			t.Logf("95%% of t0 within %.2f ms, of v0 within %.2f %%; inside u95: t0 %d, v0 %d of %d", 1e3*t95, 100*v95, inT, inV, n)
			if t95 > test.limitT {
				t.Errorf("95%% of t0 within %.2f ms, wanted %.2f", 1e3*t95, 1e3*test.limitT)
			}
			if test.limitV > 0 && v95 > test.limitV {
				t.Errorf("95%% of v0 within %.2f %%, wanted %.2f", 1e2*v95, 1e2*test.limitV)
			}
			for what, in := range map[string]int{"t0": inT, "v0": inV} {
				if share := float64(in) / n; share < 0.9 {
					t.Errorf("%.1f %% of the %s lie inside u95, wanted 90 to 99", 100*share, what)
				}
			}
		})
	}
}

// A ball that rolls at once is not told to be faster for a skid too short to be seen.
func TestFitLaunchOfABallWithoutSkid(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	mean, inside := 0.0, 0
	const n = 60
	for range n {
		p := randomBall(rng)
		p.Spin = p.Speed / tracktest.BallRadius
		c := ballCamera{Camera: tracktest.DrawCamera(rng, 60, 0.2)}
		l := c.launch(t, p, rng)
		mean += (l.Speed/p.Speed - 1) / n
		if math.Abs(l.Speed-p.Speed) < 1.96*l.USpeed {
			inside++
		}
	}
	t.Logf("mean error %.2f %%, %d of %d inside u95", 100*mean, inside, n)
	if math.Abs(mean) > 0.01 || inside < 0.9*n {
		t.Errorf("the mean error is %.2f %%, %d of %d inside u95", 100*mean, inside, n)
	}
}

func TestFitLaunchRefuses(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	c := ballCamera{Camera: tracktest.Camera{Rate: 60, PxPerM: 500, Noise: 0.1}}
	still := c.film(tracktest.Ball{Impact: 99}, 2, rng)
	if _, err := FitLaunch(still, Rest{U: 1e-4, T1: 0.5}, DefaultOptions()); !errors.Is(err, ErrNoLaunch) {
		t.Errorf("a ball at rest: got %v, wanted ErrNoLaunch", err)
	}
	p := tracktest.Ball{Impact: 0.7, Speed: 2, Friction: 0.4, Decel: 0.6}
	short := c.film(p, 0.75, rng)
	if _, err := FitLaunch(short, Rest{U: 1e-4, T1: 0.5}, DefaultOptions()); !errors.Is(err, ErrTooFew) {
		t.Errorf("a clip that ends 50 ms after impact: got %v, wanted ErrTooFew", err)
	}
}

// A few wild samples must not move the launch by more than its uncertainty.
func TestFitLaunchStrays(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 20 {
		p := randomBall(rng)
		film := ballCamera{Camera: tracktest.Camera{Rate: 60, PxPerM: 450, Noise: 0.1}}.film(p, 2, rng)
		rest, _ := FindRest(film, 0, 0.6)
		for k := 0; k < 3; k++ {
			i := int(p.Impact*60) + 4 + 5*k
			film.Points[i].X += 0.03
		}
		l, err := FitLaunch(film, rest, DefaultOptions())
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Abs(l.Speed/p.Speed - 1); d > 0.03 {
			t.Errorf("speed %.3f instead of %.3f m/s (%.1f %%)", l.Speed, p.Speed, 100*d)
		}
	}
}

// Speed at the start of pure rolling and skid length: no launch spin gives 5/7
// (Penner, Can. J. Phys. 80, 2002, 83) and x = 12 v0^2/(49 mu g); the simulator
// and the fitted model must agree with them.
func TestRollModel(t *testing.T) {
	m := rollModel{skid: 0.4 * 9.81, share: 5.0 / 7}
	f := rollFit{speed: 2, roll: 0.5486}
	if x := m.at(f, 0.14562); math.Abs(x-0.24964) > 2e-5 {
		t.Errorf("skid length %.5f m, wanted 0.24964", x)
	}
	if x := m.at(f, 60); math.Abs(x-2.1095) > 2e-4 {
		t.Errorf("total roll %.4f m, wanted 2.1095", x)
	}
	sim := tracktest.Ball{Speed: 2, Friction: 0.4, Decel: 0.5486}.Roll(4)
	if x := sim(4); math.Abs(x-2.1095) > 5e-3 {
		t.Errorf("simulated roll %.4f m, wanted 2.1095", x)
	}
}
