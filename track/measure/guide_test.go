package measure

import (
	"math"
	"testing"

	"strokereel/track"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tolerance {
		t.Errorf("%s: %.6g, wanted %.6g (within %.2g)", what, got, want, tolerance)
	}
}

// End gauge calibration, JCGM 100:2008, H.1 (values as quoted by others and
// recomputed): l = 50.000 838 mm, u = 32 nm, 16 degrees of freedom, k = 2.92,
// U99 = 93 nm. Lengths in nm.
func TestGuideEndGauge(t *testing.T) {
	ud := math.Sqrt(5.8*5.8 + 3.9*3.9 + 6.7*6.7)
	nud := EffectiveDOF([]float64{5.8, 3.9, 6.7}, []float64{24, 5, 8})
	near(t, "u of the difference (nm)", ud, 9.68, 0.01)
	near(t, "its degrees of freedom", nud, 25.4, 0.1)
	b := Propagate([]Input{
		{Name: "length of the standard", Value: 50000623, U: 25, DOF: 18},
		{Name: "difference", Value: 215, U: ud, DOF: nud},
		{Name: "expansion of the standard", Value: 11.5e-6, U: 1.2e-6},
		{Name: "temperature", Value: -0.1, U: 0.41},
		{Name: "difference of expansions", Value: 0, U: 0.58e-6, DOF: 50},
		{Name: "difference of temperatures", Value: 0, U: 0.029, DOF: 2},
	}, func(v []float64) float64 {
		ls, d, as, theta, da, dt := v[0], v[1], v[2], v[3], v[4], v[5]
		return ls + d - ls*(da*theta+as*dt)
	})
	near(t, "length (nm)", b.Value, 50000838, 0.5)
	near(t, "u (nm)", b.U, 31.71, 0.05)
	near(t, "degrees of freedom", b.DOF, 16.64, 0.1)
	k := StudentFactor(0.99, math.Floor(b.DOF))
	near(t, "k", k, 2.9208, 1e-3)
	near(t, "U99 (nm)", k*b.U, 93, 0.5)
	near(t, "largest term (nm)", math.Sqrt(b.Terms[0].Share)*b.U, 25, 0.05)
	near(t, "second term (nm)", math.Sqrt(b.Terms[1].Share)*b.U, 16.7, 0.1)
}

// Tempo of tour players at four frame rates (JCGM 100:2008, eq. 10, checked by
// Monte Carlo): the two times share the end of the backstroke, and treating them
// as independent gives 0.0502 instead of 0.0591 at 60 frames/s.
func TestTempoSharesTheTop(t *testing.T) {
	for rate, want := range map[float64]float64{30: 0.1182, 60: 0.0591, 120: 0.0295, 240: 0.0148} {
		u := 1 / rate / math.Sqrt(12)
		b := Propagate([]Input{
			{Name: "start", Value: 1, U: u}, {Name: "top", Value: 1.670, U: u}, {Name: "impact", Value: 1.987, U: u},
		}, Tempo)
		near(t, "tempo", b.Value, 2.1136, 1e-4)
		near(t, "u of the tempo", b.U, want, 1e-4)
	}
	u := 1 / 60.0 / math.Sqrt(12) * math.Sqrt2
	wrong := Propagate([]Input{{Name: "backstroke", Value: 0.670, U: u}, {Name: "downstroke", Value: 0.317, U: u}},
		func(v []float64) float64 { return v[0] / v[1] })
	near(t, "u of the tempo from independent times", wrong.U, 0.0502, 1e-4)
}

// Student's factors, from the table of JCGM 100:2008, G.2.
func TestStudentFactor(t *testing.T) {
	for _, c := range []struct{ p, nu, want float64 }{
		{0.95, 1, 12.71}, {0.95, 5, 2.57}, {0.95, 10, 2.23}, {0.95, 50, 2.01}, {0.99, 16, 2.92}, {0.95, math.Inf(1), 1.960}, {0.6827, 1e6, 1.000},
	} {
		near(t, "Student's factor", StudentFactor(c.p, c.nu), c.want, 0.006)
	}
}

// Scale from a ball of the rule's least diameter (Rules of golf, 2016, Appendix
// III): 32.0 px wide is 1.33344 mm/px. Uncertainties as JCGM 100:2008, 5.1.6.
func TestBallScale(t *testing.T) {
	s, err := BallScale(Quantity{32, 0.3}, Quantity{Value: 0.04267})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mm per px", 1000/s.PxPerM, 1.33344, 1e-4)
	near(t, "181 px (mm)", 181e3/s.PxPerM, 241.35, 0.01)
	b := Propagate([]Input{{Name: "scale", Value: s.PxPerM, U: s.U}, {Name: "px", Value: 180, U: 0.2}},
		func(v []float64) float64 { return 1e3 * v[1] / v[0] })
	near(t, "180 px (mm)", b.Value, 240.02, 0.01)
	near(t, "u of 180 px (mm)", b.U, 2.27, 0.01)
	if _, err := BallScale(Quantity{}, Quantity{Value: 0.04267}); err == nil {
		t.Error("a ball without width gave a scale")
	}
}

// A marker 0.10 m nearer than the ball at 3.0 m looks 3.448 % too large (pinhole
// camera).
func TestMarkerScale(t *testing.T) {
	m, err := MarkerScale(track.Scale{PxPerM: 500, U: 5, From: track.RulerBall, Plane: "ball"}, Quantity{Value: 0.1}, Quantity{Value: 3})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "excess (%)", 100*(m.PxPerM/500-1), 3.448, 1e-3)
	near(t, "relative u", m.U/m.PxPerM, 0.01, 1e-9)
	o := DefaultOptions()
	m, err = MarkerScale(track.Scale{PxPerM: 500}, o.StickerOffset(), o.CameraDistance())
	if err != nil {
		t.Fatal(err)
	}
	// Limits of offset and distance: 60 mm at 2.5 m, 35 mm at 4.5 m.
	near(t, "relative u of unknown offset and distance", m.U/m.PxPerM, 0.003, 0.001)
	if _, err := MarkerScale(track.Scale{PxPerM: 500}, Quantity{Value: 3}, Quantity{Value: 2.5}); err == nil {
		t.Error("a sticker behind the camera gave a scale")
	}
}

// A camera turned by 5 or 10 degrees shortens lengths by 0.381 and 1.519 %
// (pinhole camera, first order); an arc of 1.4 m radius rises 20.7 mm over
// 0.241 m.
func TestAlong(t *testing.T) {
	for deg, loss := range map[float64]float64{5: 0.381, 10: 1.519} {
		turned := math.Cos(deg * math.Pi / 180)
		got := along(turned, []float64{iScale: 1, iYaw: deg * math.Pi / 180, iTilt: 0, iDistance: 1e9, iRadius: 1.4})
		near(t, "length seen turned", got, 1, 1e-6)
		near(t, "loss (%)", 100*(1-turned), loss, 1e-3)
	}
}

// A sphere's picture ends where the lines of sight touch it: at angles that follow
// from its place and radius.
func TestABallBesideTheMiddleIsDrawnOut(t *testing.T) {
	const focal, z, radius = 1757.0, 3.43, 0.0214
	for _, x := range []float64{-1.4, -0.3, 0, 0.8, 1.46} {
		angle, half := math.Atan2(x, z), math.Asin(radius/math.Hypot(x, z))
		width := focal * (math.Tan(angle+half) - math.Tan(angle-half))
		wide, err := BallScale(Quantity{Value: width, U: 0.1}, Quantity{Value: 2 * radius})
		if err != nil {
			t.Fatal(err)
		}
		got := Aside(wide, focal*x/z, Quantity{Value: z, U: 0.58})
		if off := got.PxPerM/(focal/z) - 1; math.Abs(off) > 2e-4 {
			t.Errorf("ball at %g m beside the middle: scale off by %.2f %%", x, 100*off)
		}
		if x != 0 && got.U/got.PxPerM <= 0.99*wide.U/wide.PxPerM {
			t.Errorf("ball at %g m: the relative uncertainty falls from %g to %g", x, wide.U/wide.PxPerM, got.U/got.PxPerM)
		}
	}
}
