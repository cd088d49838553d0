package path

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
)

// putt is a struck ball, integrated step by step from forces and torque on a
// sphere, so that it shares no formula with the fitted model.
type putt struct {
	impact, speed, friction, decel, spin float64 // s, m/s, 1, m/s^2, rad/s forward
}

const ballRadius = 0.0214 // m

// run returns the ball's distance from its place at every 0.1 ms.
func (p putt) run(seconds float64) []float64 {
	const h = 1e-4
	x, v, w := 0.0, p.speed, p.spin
	out := make([]float64, int(seconds/h)+2)
	for i := range out {
		t := float64(i) * h
		out[i] = x
		if t < p.impact {
			continue
		}
		dt := math.Min(h, t+h-p.impact)
		slip := v - w*ballRadius
		switch {
		case v <= 0:
			v = 0
		case math.Abs(slip) > 0.004:
			s := math.Copysign(1, slip)
			v -= s * p.friction * 9.81 * dt
			w += s * 5 * p.friction * 9.81 / (2 * ballRadius) * dt
		default:
			v -= p.decel * dt
			w = v / ballRadius
		}
		x += math.Max(v, 0) * dt
	}
	return out
}

type ballCamera struct {
	rate, pxPerM, noise, exposure float64
	hidden                        int     // frames lost after impact
	yaw                           float64 // rad, with the camera 3 m away
}

// film returns what a camera sees: means over the exposure, with noise.
func (c ballCamera) film(p putt, seconds float64, rng *rand.Rand) track.Path {
	x := p.run(seconds + 0.1)
	pos := func(t float64) float64 {
		i := max(0, min(len(x)-1, int(math.Round(t*1e4))))
		return x[i] / (1 + x[i]*math.Sin(c.yaw)/3)
	}
	path := track.Path{Object: track.Ball}
	u := c.noise / c.pxPerM
	lost := 0
	for i := 0; float64(i)/c.rate < seconds; i++ {
		t := float64(i) / c.rate
		mean := 0.0
		for k := 0; k < 21; k++ {
			mean += pos(t+c.exposure*(float64(k)-10)/21) / 21
		}
		q := track.Point{Frame: i, T: t, X: mean + u*rng.NormFloat64(), Y: u * rng.NormFloat64(), U: u, Seen: mean < 1.2}
		if t > p.impact && lost < c.hidden {
			lost++
			q.Seen = false
		}
		if !q.Seen {
			q = track.Point{Frame: i, T: t}
		}
		path.Points = append(path.Points, q)
	}
	return path
}

func randomPutt(rng *rand.Rand) putt {
	p := putt{
		impact:   0.7 + rng.Float64()/30,
		speed:    1.0 + 2.4*rng.Float64(),
		friction: 0.2 + 0.3*rng.Float64(),
		decel:    18 * 0.3048 / (7 + 5*rng.Float64()),
	}
	p.spin = (rng.Float64()*0.6 - 0.1) * p.speed / ballRadius // a little backspin to half of rolling
	return p
}

// TestFitLaunch scores random launches against the simulated truth.
func TestFitLaunch(t *testing.T) {
	for _, rate := range []float64{60, 120} {
		rng := rand.New(rand.NewPCG(7, uint64(rate)))
		var tErr, vErr []float64
		inT, inV, n := 0, 0, 0
		for range 200 {
			p := randomPutt(rng)
			c := ballCamera{rate: rate, pxPerM: 380 + 270*rng.Float64(), noise: 0.05 + 0.25*rng.Float64(), hidden: rng.IntN(3), yaw: (rng.Float64()*6 - 3) * math.Pi / 180}
			c.exposure = rng.Float64() / rate
			film := c.film(p, 2, rng)
			rest, err := FindRest(film, 0, p.impact-0.05)
			if err != nil {
				t.Fatal(err)
			}
			l, err := FitLaunch(film, rest, DefaultOptions())
			if err != nil {
				t.Fatalf("%+v %+v: %v", p, c, err)
			}
			n++
			tErr = append(tErr, math.Abs(l.T-p.impact))
			vErr = append(vErr, math.Abs(l.Speed/p.speed-1))
			if math.Abs(l.T-p.impact) < 1.96*l.UT {
				inT++
			}
			if math.Abs(l.Speed-p.speed) < 1.96*l.USpeed {
				inV++
			}
		}
		t95, v95 := quantile(tErr, 0.95), quantile(vErr, 0.95)
		t.Logf("%.0f frames/s: 95%% of t0 within %.2f ms, of v0 within %.2f %%; inside u95: t0 %d, v0 %d of %d", rate, 1e3*t95, 100*v95, inT, inV, n)
		if t95 > 0.1/rate || v95 > 0.02 {
			t.Errorf("%.0f frames/s: 95%% of t0 within %.2f ms (wanted %.2f), of v0 within %.2f %% (wanted 2)", rate, 1e3*t95, 1e2/rate, 100*v95)
		}
		for what, in := range map[string]int{"t0": inT, "v0": inV} {
			if share := float64(in) / float64(n); share < 0.9 || share > 0.995 {
				t.Errorf("%.0f frames/s: %.1f %% of the %s lie inside u95 (wanted 90 to 99)", rate, 100*share, what)
			}
		}
	}
}

func TestFitLaunchRefuses(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	c := ballCamera{rate: 60, pxPerM: 500, noise: 0.1}
	still := c.film(putt{impact: 99}, 2, rng)
	if _, err := FitLaunch(still, Rest{U: 1e-4, T1: 0.5}, DefaultOptions()); !errors.Is(err, ErrNoLaunch) {
		t.Errorf("a ball at rest: got %v, wanted ErrNoLaunch", err)
	}
	p := putt{impact: 0.7, speed: 2, friction: 0.4, decel: 0.6}
	short := c.film(p, 0.75, rng)
	if _, err := FitLaunch(short, Rest{U: 1e-4, T1: 0.5}, DefaultOptions()); !errors.Is(err, ErrTooFew) {
		t.Errorf("a clip that ends 50 ms after impact: got %v, wanted ErrTooFew", err)
	}
}

// A few wild samples must not move the launch by more than its uncertainty.
func TestFitLaunchStrays(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 20 {
		p := randomPutt(rng)
		film := ballCamera{rate: 60, pxPerM: 450, noise: 0.1}.film(p, 2, rng)
		rest, _ := FindRest(film, 0, 0.6)
		for k := 0; k < 3; k++ {
			i := int(p.impact*60) + 4 + 5*k
			film.Points[i].X += 0.03
		}
		l, err := FitLaunch(film, rest, DefaultOptions())
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Abs(l.Speed/p.speed - 1); d > 0.03 {
			t.Errorf("speed %.3f instead of %.3f m/s (%.1f %%)", l.Speed, p.speed, 100*d)
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
	sim := putt{speed: 2, friction: 0.4, decel: 0.5486}.run(4)
	if x := sim[len(sim)-1]; math.Abs(x-2.1095) > 5e-3 {
		t.Errorf("simulated roll %.4f m, wanted 2.1095", x)
	}
}

func quantile(v []float64, p float64) float64 {
	s := append([]float64(nil), v...)
	for i := range s {
		for j := i; j > 0 && s[j] < s[j-1]; j-- {
			s[j], s[j-1] = s[j-1], s[j]
		}
	}
	return s[min(len(s)-1, int(p*float64(len(s))))]
}
