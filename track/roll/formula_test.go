package roll

import (
	"errors"
	"math"
	"testing"
)

const (
	sixFeet = 1.8288 // m/s: 6.00 ft/s
	sphere  = 5. / 7
	degree  = math.Pi / 180
)

// level is a level green of a reading (ft) with a friction.
func level(reading, friction float64) Ground {
	return Ground{Friction: friction, Deceleration: Deceleration(reading, sixFeet), SlopeShare: sphere}
}

type check struct {
	name           string
	got, want, tol float64
}

func run(t *testing.T, checks []check) {
	t.Helper()
	for _, c := range checks {
		if !(math.Abs(c.got-c.want) <= c.tol) {
			t.Errorf("%s: %.6g, want %.6g within %.2g", c.name, c.got, c.want, c.tol)
		}
	}
}

// Green speed. The numbers were computed by hand from the sources' formulas.
func TestGreenSpeed(t *testing.T) {
	var checks []check
	// Kinematics with 6.00 ft/s: a = 18 / reading ft/s^2.
	for i, want := range []float64{0.7838, 0.6858, 0.6096, 0.5486, 0.4988, 0.4572, 0.4220, 0.3919} {
		reading := float64(7 + i)
		a := Deceleration(reading, sixFeet)
		checks = append(checks, check{"deceleration", a, want, 1e-4},
			check{"deceleration in feet", a / FootLength, 18 / reading, 1e-12},
			check{"time on the level", sixFeet / a, reading / 3, 1e-9})
	}
	run(t, append(checks,
		// Brede 1990, USGA Green Section Record 28(6), 10-12; the same formula in a
		// course-rating manual of the USGA, section 8.
		check{"level speed of 6 and 12 ft", LevelSpeed(6, 12), 8, 1e-3},
		check{"level speed of 9 and 14 ft", LevelSpeed(9, 14), 10.957, 1e-3},
		check{"level speed of 8 and 10 ft", LevelSpeed(8, 10), 8.889, 1e-3},
		check{"slope of 6 and 12 ft", SlopeFromReadings(6, 12, sixFeet, sphere) / degree, 1.870, 1e-3},
		// Conversions of one reading: a, a/g, and Penner's rho = 7a/5g, which is
		// another number (Penner, Can. J. Phys. 80, 2002, 83, p. 85, as quoted).
		check{"a/g at 10 ft", Deceleration(10, sixFeet) / Gravity, 0.0559, 1e-4},
		check{"rho at 10 ft", 1.4 * Deceleration(10, sixFeet) / Gravity, 0.0783, 1e-4},
		// His three values (p. 85, and 931-940, p. 935, as quoted), a = (5/7) rho g,
		// are readings of 12, 6 and 4 ft on a ramp of 1.83 m/s.
		check{"rho of 0.065", Deceleration(12.06, 1.83), 5. / 7 * 0.065 * Gravity, 1e-3},
		check{"rho of 0.131", Deceleration(5.98, 1.83), 5. / 7 * 0.131 * Gravity, 2e-3},
		check{"rho of 0.196", Deceleration(4.00, 1.83), 5. / 7 * 0.196 * Gravity, 3e-3},
		// Holmes 1986, as quoted: 6.00 ft/s at the foot of the ramp.
		check{"ramp", DefaultOptions().RampSpeed, 6 * FootLength, 1e-12},
		// Science and Golf, doi 10.4324/9780203715000-70, abstract: a reading of 10 ft
		// is off by 1 ft, so its deceleration by a tenth.
		check{"reading off by a tenth", 1 - Deceleration(11, sixFeet)/Deceleration(10, sixFeet), 0.1, 0.01},
	))
	// A ball on a ramp's groove, contacts half an inch apart, from 30 in at 20
	// degrees: between the two published speeds.
	c, r := 0.25*0.0254, 0.84*0.0254
	k := 0.4 * r * r / (r*r - c*c)
	v := math.Sqrt(2 * Gravity * 30 * 0.0254 * math.Sin(20*degree) / (1 + k))
	o := DefaultOptions()
	if math.Abs(v-1.885) > 2e-3 || v < o.RampSpeed || v > o.RampSpeedMax {
		t.Errorf("a ball leaves the ramp with %.4f m/s, outside %g to %g", v, o.RampSpeed, o.RampSpeedMax)
	}
	// The same manual: moderate when down is 2 to 3 times up, steep above.
	for _, k := range []struct {
		up, down float64
		want     string
	}{{6, 12, ModerateGreen}, {5, 16, SteepGreen}, {9, 10, LevelGreen}} {
		if got := SlopeClass(k.up, k.down); got != k.want {
			t.Errorf("%g and %g ft are %q, want %q", k.up, k.down, got, k.want)
		}
	}
}

// Property: the harmonic mean of two readings is exact for any constant slope.
func TestHarmonicMeanIsExact(t *testing.T) {
	reading := func(slope float64) float64 {
		g := level(10, 0.4)
		g.Slope = slope
		return sixFeet * sixFeet / (2 * g.Rolling() * FootLength)
	}
	for _, c := range []struct{ slope, up, down float64 }{
		{0.5, 8.997, 11.254}, {1, 8.177, 12.868}, {1.5, 7.494, 15.022}, {2, 6.917, 18.042},
	} {
		up, down := reading(c.slope*degree), reading(-c.slope*degree)
		run(t, []check{{"up", up, c.up, 1e-3}, {"down", down, c.down, 1e-3}, {"level", LevelSpeed(up, down), 10, 1e-6},
			{"slope", SlopeFromReadings(up, down, sixFeet, sphere) / degree, c.slope, 1e-9}})
		if plain := (up + down) / 2; plain < 10.1 {
			t.Errorf("the plain mean is %.2f, nearly right by chance", plain)
		}
	}
}

func TestRoll(t *testing.T) {
	way := func(g Ground, b Ball) Way {
		t.Helper()
		w, err := g.Roll(b)
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	two := way(level(10, 0.4), Ball{Speed: 2})
	short := way(level(10, 0.4), Ball{Speed: 1.5})
	checks := []check{
		// Penner 2002; Perry, The Physics Teacher, 2002; Cochran and Stobbs 1968: 5/7.
		{"rolling speed", two.Speed, 1.42857, 1e-5},
		{"rolling speed of 2.56", way(level(10, 0.4), Ball{Speed: 2.56}).Speed, 1.82857, 1e-5},
		// A textbook sphere, checked by integration elsewhere.
		{"skid time", two.Time, 0.14562, 2e-5}, {"skid length", two.Length, 0.24964, 3e-5}, {"skid length of 1.5", short.Length, 0.14042, 2e-5},
		{"forward spin", way(level(10, 0.4), Ball{2, 20}).Speed, 1.55049, 2e-5}, {"backward spin", way(level(10, 0.4), Ball{2, -20}).Speed, 1.30666, 2e-5},
	}
	for _, c := range []struct{ reading, distance, duration, share float64 }{
		{8, 1.7376, 2.2287, 0.144}, {10, 2.1095, 2.7495, 0.118}, {12, 2.4815, 3.2702, 0.101},
	} {
		w := way(level(c.reading, 0.4), Ball{Speed: 2})
		checks = append(checks, check{"distance", w.Distance, c.distance, 1e-4 * c.distance}, check{"duration", w.Duration, c.duration, 1e-4 * c.duration},
			check{"skid share", w.Length / w.Distance, c.share, 5e-4})
		// Cochran and Stobbs 1968, as quoted: a skid of 15 to 20 %; a wider band.
		if share := w.Length / w.Distance; share < 0.10 || share > 0.20 {
			t.Errorf("the skid is %.1f %% of the way", 100*share)
		}
	}
	// A ball that rolls already: spin v / r.
	for _, c := range []struct{ reading, distance, speed float64 }{{10, 3.048, 1.8288}, {9, 3, 1.91249}, {10, 6, 2.56587}} {
		w := way(level(c.reading, 0.4), Ball{c.speed, c.speed / BallRadius})
		checks = append(checks, check{"rolling at once", w.Distance, c.distance, 2e-5 * c.distance})
	}
	// Penner's 5/7 of the slope: 10 ft, one degree up and down.
	for _, c := range []struct{ slope, a, distance float64 }{{1, 0.67093, 2.4924}, {-1, 0.42635, 3.9223}} {
		g := level(10, 0.4)
		g.Slope = c.slope * degree
		checks = append(checks, check{"deceleration on a slope", g.Rolling(), c.a, 1e-4 * c.a},
			check{"stop on a slope", way(g, Ball{sixFeet, sixFeet / BallRadius}).Distance, c.distance, 1e-4 * c.distance})
	}
	// Gaze (chapter summary of Vickers 2007): at 3 m, 2.929 s after 2.4 m/s on 10 ft.
	g := level(10, 0.4)
	skid, err := g.Skid(Ball{Speed: 2.4})
	if err != nil {
		t.Fatal(err)
	}
	a := g.Rolling()
	at := skid.Time + (skid.Speed-math.Sqrt(skid.Speed*skid.Speed-2*a*(3-skid.Length)))/a
	// An off-centre hit (Proceedings (MDPI) 2, 2018, 242): 13 % less roll is 6.7 % less speed.
	run(t, append(checks, check{"time to 3 m", at, 2.929, 1e-3},
		check{"13 % less roll", way(g, Ball{Speed: 2 * 0.9327}).Distance / two.Distance, 0.87, 1e-3},
		// J. Human Kinetics 60(1), 233: half a percent of speed is one of distance.
		check{"half a percent", way(g, Ball{Speed: 2 * 1.005}).Distance/two.Distance - 1, 0.010025, 1e-6}))
}

// Property: stopping distance grows with the square of speed on any plane slope
// (abstract on a golf ball on an inclined green; The Physics Teacher 63(1), 29,
// 2025).
func TestDoubleSpeedFourTimesAsFar(t *testing.T) {
	for _, slope := range []float64{-1, 0, 0.7} {
		g := level(11, 0.3)
		g.Slope = slope * degree
		for _, spin := range []float64{0, 1, 40} { // share of rolling, in percent
			one, err1 := g.Roll(Ball{1.3, spin / 100 * 1.3 / BallRadius})
			two, err2 := g.Roll(Ball{2.6, spin / 100 * 2.6 / BallRadius})
			if err1 != nil || err2 != nil || math.Abs(two.Distance/one.Distance-4) > 1e-9 {
				t.Errorf("slope %g, spin %g %%: %g times as far, %v, %v", slope, spin, two.Distance/one.Distance, err1, err2)
			}
		}
	}
}

// An algebra check: the closed forms against the same laws followed in small
// steps. It says nothing of real greens.
func TestAlgebraAgainstIntegration(t *testing.T) {
	for _, c := range []struct {
		name  string
		g     Ground
		b     Ball
		steps float64
	}{
		{"level, no spin", level(9, 0.4), Ball{Speed: 2}, 2e-5},
		{"uphill with spin", Ground{0.2, 0.55, 1.2 * degree, sphere}, Ball{1.6, 15}, 2e-5},
		{"downhill with backspin", Ground{0.5, 0.5, -1 * degree, sphere}, Ball{2.4, -10}, 2e-5},
		{"turning faster than it goes", Ground{0.3, 0.6, 0, 1}, Ball{1, 90}, 2e-5},
	} {
		t.Run(c.name, func(t *testing.T) {
			w, err := c.g.Roll(c.b)
			if err != nil {
				t.Fatal(err)
			}
			x, d, rolling := integrate(c.g, c.b, c.steps)
			run(t, []check{{"distance", w.Distance, x, 1e-4 * x}, {"duration", w.Duration, d, 1e-4 * d}, {"rolling speed", w.Speed, rolling, 1e-4 * rolling}})
		})
	}
}

// integrate follows a ball in steps of dt.
func integrate(g Ground, b Ball, dt float64) (x, t, rolling float64) {
	v, w := b.Speed, b.Spin
	sliding := true
	sign := math.Copysign(1, v-BallRadius*w)
	for v > 0 {
		pull := Gravity * math.Sin(g.Slope)
		a, turn := -sign*g.Friction*Gravity*math.Cos(g.Slope)-pull, sign*2.5*g.Friction*Gravity*math.Cos(g.Slope)/BallRadius
		if sliding && sign*(v-BallRadius*w) <= 0 {
			sliding, rolling = false, v
		}
		if !sliding {
			a = -g.Rolling()
			turn = a / BallRadius
		}
		x, t = x+v*dt+a*dt*dt/2, t+dt
		v, w = v+a*dt, w+turn*dt
	}
	return x, t, rolling
}

// Property: the launch speed found for a distance rolls that distance, and the
// speed a green asks for a distance is the one that rolls it.
func TestLaunchUndoesRoll(t *testing.T) {
	for _, slope := range []float64{-1.2, 0, 2} {
		for _, spin := range []float64{-15, 0, 15, 60} {
			for _, v := range []float64{0.8, 2, 4.5} {
				g := level(8, 0.35)
				g.Slope = slope * degree
				w, err := g.Roll(Ball{v, spin})
				if err != nil {
					t.Fatal(err)
				}
				if got, err := g.Launch(w.Distance, spin); err != nil || math.Abs(got-v) > 1e-6*v {
					t.Errorf("slope %g, spin %g: %g m/s rolls %g m, which asks %g m/s, %v", slope, spin, v, w.Distance, got, err)
				}
			}
		}
	}
	green, err := NewGreen(Facts{Speed: 9, Slope: 0.5 * degree}, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	anyone, err := Anyone(DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range []float64{1, 2, 3.5} {
		d, err := green.Distance(Quantity{v, 0.02})
		if err != nil {
			t.Fatal(err)
		}
		if got, err := green.Speed(d.Value); err != nil || math.Abs(got.Value-v) > 1e-6*v {
			t.Errorf("%g m/s rolls %g m, which asks %g m/s, %v", v, d.Value, got.Value, err)
		}
		if b, err := anyone.Budget(green, d.Value); err != nil || math.Abs(b.BallSpeed.Value-v) > 1e-6*v {
			t.Errorf("the budget for %g m/s asks %g m/s, %v", v, b.BallSpeed.Value, err)
		}
	}
}

// Which share of the slope counts is disputed (the sphere's 5/7 lets a ball on a
// green of 14 ft stop up to 3.21 degrees, a share of 1 up to 2.29): the interval
// of a sloping putt must hold both.
func TestDisputedSlope(t *testing.T) {
	for _, c := range []struct{ share, limit float64 }{{sphere, 3.21}, {1, 2.29}} {
		g := level(14, 0.4)
		g.SlopeShare = c.share
		for _, s := range []struct {
			slope float64
			stops bool
		}{{-c.limit + 0.02, true}, {-c.limit - 0.02, false}} {
			g.Slope = s.slope * degree
			if _, err := g.Roll(Ball{Speed: 1}); (err == nil) != s.stops || err != nil && !errors.Is(err, ErrNeverStops) {
				t.Errorf("share %.2f, slope %.2f: %v", c.share, s.slope, err)
			}
		}
	}
	green, err := NewGreen(Facts{Speed: 8, Slope: 1.5 * degree}, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	e, err := green.Distance(Quantity{2.2, 0.02})
	if err != nil {
		t.Fatal(err)
	}
	lo, hi := e.Interval()
	for _, share := range []float64{sphere, 1} {
		g := green.Ground()
		g.SlopeShare = share
		if w, err := g.Roll(Ball{Speed: 2.2, Spin: 7.5}); err != nil || w.Distance < lo || w.Distance > hi {
			t.Errorf("with a share of %.2f it rolls %.2f m, outside %.2f to %.2f, %v", share, w.Distance, lo, hi, err)
		}
	}
}
