package roll

import (
	"math"
	"testing"
)

// exact is a stroke without any scatter of a player whose time goes as length to
// the power drift.
func exact(back, drift float64) Stroke {
	t := 0.3 * math.Pow(back/0.3, drift)
	head := 1.8 * back / t
	q := func(v float64) Quantity { return Quantity{v, 0.002 * v} }
	return Stroke{Back: q(back), Through: q(1.2 * back), DownTime: q(t), BackTime: q(2.1 * t), HeadSpeed: q(head), BallSpeed: q(1.6 * head)}
}

func TestPlayer(t *testing.T) {
	green, err := NewGreen(Facts{Speed: 9}, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name    string
		drift   float64
		lengths []float64
		several bool
		tol     float64
	}{
		{"the same time for every length", 0, []float64{0.2, 0.3, 0.4}, true, 0.01},
		{"more time for longer ones", 0.25, []float64{0.16, 0.16, 0.3, 0.3, 0.45, 0.45}, true, 0.03},
		{"one length", 0, []float64{0.3, 0.3, 0.3}, false, 0.01},
	} {
		t.Run(c.name, func(t *testing.T) {
			var strokes []Stroke
			for _, l := range c.lengths {
				strokes = append(strokes, exact(l, c.drift))
			}
			p, err := NewPlayer(strokes, DefaultOptions())
			if err != nil {
				t.Fatal(err)
			}
			if p.Several != c.several || !p.Measured || p.Strokes != len(strokes) {
				t.Errorf("player %+v", p)
			}
			run(t, []check{{"ratio", p.Ratio.Value, 1.6, 1e-9}, {"tempo", p.Tempo.Value, 2.1, 1e-9}, {"gain", p.Gain.Value, 1.8, 1e-9}})
			// The putt that a 36 cm backstroke of this player makes.
			want := exact(0.36, c.drift)
			d, err := green.Distance(want.BallSpeed)
			if err != nil {
				t.Fatal(err)
			}
			b, err := p.Budget(green, d.Value)
			if err != nil {
				t.Fatal(err)
			}
			rel := func(name string, got Estimate, want Quantity) check {
				return check{name, got.Value / want.Value, 1, c.tol}
			}
			run(t, []check{rel("ball", b.BallSpeed, want.BallSpeed), rel("head", b.HeadSpeed, want.HeadSpeed), rel("back", b.Back, want.Back),
				rel("through", b.Through, want.Through), rel("down time", b.DownTime, want.DownTime), rel("back time", b.BackTime, want.BackTime)})
			lo, hi := b.Back.Interval()
			if lo > want.Back.Value || hi < want.Back.Value || hi/lo > 1.5 {
				t.Errorf("backstroke %.3f to %.3f m", lo, hi)
			}
		})
	}
}

// A shorter backstroke for the same ball takes less time and more acceleration,
// as length over speed and speed squared over length.
func TestShorter(t *testing.T) {
	green, _ := NewGreen(Facts{Speed: 9}, DefaultOptions())
	p, err := NewPlayer([]Stroke{exact(0.3, 0)}, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	b, err := p.Budget(green, 4)
	if err != nil {
		t.Fatal(err)
	}
	half, err := p.Shorter(b, Exactly(b.Back.Value/2))
	if err != nil {
		t.Fatal(err)
	}
	run(t, []check{
		{"time", half.DownTime.Value / b.DownTime.Value, 0.5, 1e-6}, {"acceleration", half.Acceleration.Value / b.Acceleration.Value, 2, 1e-6},
		{"ball", half.BallSpeed.Value, b.BallSpeed.Value, 0}, {"through", half.Through.Value, b.Through.Value, 0},
		{"speed from time and acceleration", half.Acceleration.Value * half.DownTime.Value, b.HeadSpeed.Value, 1e-9},
	})
	even, err := p.WithRatio(b, 1)
	if err != nil {
		t.Fatal(err)
	}
	run(t, []check{{"even", even.Back.Value, b.Through.Value, 1e-12}})
}

// The gain of strokes that are known in closed form, and that of tour means
// (Marquardt 2007, Annual Review of Golf Coaching, 101-114, table 2, as quoted).
func TestGain(t *testing.T) {
	const back, time = 0.241, 0.317
	for _, c := range []struct {
		name       string
		speed, tol float64
		gain       float64
	}{
		{"constant acceleration", 2 * back / time, 1e-9, 2}, // 1.52050 m/s
		{"a quarter of a pendulum's swing", math.Pi * back / (2 * time), 1e-9, math.Pi / 2},
		{"tour means", 1.510, 1e-3, 1.986},
	} {
		q := func(v float64) Quantity { return Quantity{v, 0.01 * v} }
		p, err := NewPlayer([]Stroke{{Back: q(back), DownTime: q(time), BackTime: q(0.67), HeadSpeed: q(c.speed), BallSpeed: q(1.6 * c.speed)}}, DefaultOptions())
		if err != nil {
			t.Fatal(err)
		}
		run(t, []check{{c.name, p.Gain.Value, c.gain, c.tol}, {"tempo", p.Tempo.Value, 2.1136, 1e-4}})
		// With it, the player's own backstroke for this ball takes the player's own time.
		b, err := p.Shorter(p.For(Estimate{Value: 1.6 * c.speed}), Exactly(back))
		if err != nil {
			t.Fatal(err)
		}
		run(t, []check{{"own time", b.DownTime.Value, time, 1e-9}, {"acceleration", b.Acceleration.Value, c.speed / time, 1e-9}})
	}
}

// Measured rolls decide over the sheet when the two contradict each other, and
// give a green to a lesson without a sheet.
func TestFit(t *testing.T) {
	o := DefaultOptions()
	real := level(6.5, 0.35)
	var rolls []Measured
	for _, v := range []float64{1.6, 2, 2.4} {
		w, err := real.Roll(Ball{v, 5})
		if err != nil {
			t.Fatal(err)
		}
		rolls = append(rolls, Measured{Quantity{v, 0.02 * v}, w.Distance})
	}
	for _, c := range []struct {
		name  string
		sheet float64
		aside bool
	}{{"a sheet that is right", 6.5, false}, {"no sheet", 0, false}, {"a sheet that is wrong", 11, true}} {
		t.Run(c.name, func(t *testing.T) {
			g, err := NewGreen(Facts{Speed: c.sheet}, o)
			if err != nil {
				t.Fatal(err)
			}
			g, err = g.Fit(rolls)
			if err != nil {
				t.Fatal(err)
			}
			w, _ := real.Roll(Ball{2.2, 5})
			d, err := g.Distance(Quantity{2.2, 0.044})
			if err != nil {
				t.Fatal(err)
			}
			if lo, hi := d.Interval(); w.Distance < lo || w.Distance > hi || (hi-lo)/2 > 0.105*w.Distance {
				t.Errorf("%.2f m is said to be %.2f to %.2f", w.Distance, lo, hi)
			}
			if g.Aside != c.aside || g.Rolls != 3 {
				t.Errorf("aside %v, %d rolls", g.Aside, g.Rolls)
			}
			if _, err := g.Fit(rolls); err == nil {
				t.Error("the same rolls were taken in twice")
			}
		})
	}
	// Rolls that contradict each other make the interval wider.
	g, _ := NewGreen(Facts{Speed: 9}, o)
	calm, err1 := g.Fit([]Measured{{Quantity{2, 0.02}, 2}, {Quantity{2, 0.02}, 2}, {Quantity{2, 0.02}, 2}})
	torn, err2 := g.Fit([]Measured{{Quantity{2, 0.02}, 1.4}, {Quantity{2, 0.02}, 2}, {Quantity{2, 0.02}, 2.9}})
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	a, err1 := calm.Distance(Quantity{2, 0.02})
	b, err2 := torn.Distance(Quantity{2, 0.02})
	if err1 != nil || err2 != nil || b.U < 2*a.U {
		t.Errorf("rolls of 1.4 to 2.9 m leave an uncertainty of %.3f beside %.3f, %v, %v", b.U, a.U, err1, err2)
	}
}

// A roll that is much too long is not explained by a floor slippier than floors
// are: no parameter leaves its limits, and the sheet is doubted instead.
func TestFitStaysWithinLimits(t *testing.T) {
	o := DefaultOptions()
	for _, c := range []struct {
		speed, rolled float64
		aside         bool
	}{
		{8, 2.0, false}, {8, 2.3, false}, {8, 2.5, false}, {8, 2.9, true}, {8, 1.2, true}, {0, 2.9, false}, {0, 6, false}, {0, 0.7, false},
	} {
		g, err := NewGreen(Facts{Speed: c.speed}, o)
		if err != nil {
			t.Fatal(err)
		}
		// By hand: 2.1 m/s rolls 2.0 m on 8 ft.
		g, err = g.Fit([]Measured{{Quantity{2.1, 0.042}, c.rolled}})
		if err != nil {
			t.Fatal(err)
		}
		if g.Aside != c.aside {
			t.Errorf("%g ft, rolled %g m: the sheet is doubted: %v", c.speed, c.rolled, g.Aside)
		}
		for _, p := range []struct {
			name     string
			got      float64
			min, max float64
		}{
			{"friction", g.mean[pFriction], o.FrictionMin, o.FrictionMax}, {"spin", g.mean[pSpin], o.SpinMin, o.SpinMax}, {"share", g.mean[pShare], o.SlopeShareMin, o.SlopeShareMax},
			{"slope", g.mean[pSlope], -o.SlopeError * degree, o.SlopeError * degree}, {"reading", g.Reading().Value, LeastSpeed, MostSpeed},
			{"ramp", g.mean[pRamp], 2*o.RampSpeed - o.RampSpeedMax, o.RampSpeedMax},
		} {
			if p.got < p.min-1e-9 || p.got > p.max+1e-9 {
				t.Errorf("%g ft, rolled %g m: %s %g, outside %g to %g", c.speed, c.rolled, p.name, p.got, p.min, p.max)
			}
		}
	}
}

// More readings of the same green up and down lead to the green's own speed, and
// the putt up is shorter than the putt down.
func TestUphill(t *testing.T) {
	o := DefaultOptions()
	f, err := Uphill(8.177, 12.868, o)
	if err != nil {
		t.Fatal(err)
	}
	run(t, []check{{"level", f.Speed, 10, 1e-3}})
	up, err1 := NewGreen(f, o)
	down, err2 := NewGreen(Facts{f.Speed, -f.Slope}, o)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	// Whatever the share of the slope, a ball rolling with the ramp's speed makes
	// the two readings.
	for _, c := range []struct {
		g    Green
		want float64
	}{{up, 8.177}, {down, 12.868}} {
		a := c.g.Ground().Rolling()
		run(t, []check{{"reading", o.RampSpeed * o.RampSpeed / (2 * a * FootLength), c.want, 1e-3}})
	}
}
