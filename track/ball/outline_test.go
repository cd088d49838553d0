package ball

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
)

// still paints a ball at rest and lets a finder look at it.
func still(t *testing.T, g globe, c phone, aloneFor int, rng *rand.Rand) *Ball {
	t.Helper()
	size := int(9 * g.a)
	p := floor(size, size, 0.09)
	p.shadow(g.x, g.y+g.b, g.a)
	p.globe(g)
	picture := p.code(c)
	return lookAt(t, g, aloneFor, func() *track.Frame { return grainy(picture, size, size, 0, 0, c.noise, rng) })
}

// lookAt lets a finder look at a ball: first with a sticker beside it, then, if
// left alone, with the putter away.
func lookAt(t *testing.T, g globe, aloneFor int, frame func() *track.Frame) *Ball {
	t.Helper()
	fd := New(DefaultOptions())
	sticker := Anchor{X: g.x - 2.6*g.a, Y: g.y, Radius: g.a / 1.9, Still: true}
	const address = 28
	for i := range address + aloneFor {
		var anchors []Anchor
		if i < address {
			anchors = append(anchors, sticker)
		}
		f := frame()
		f.Index, f.T = i, float64(i)/60
		fd.Next(f, anchors)
	}
	if len(fd.Balls()) != 1 {
		t.Fatalf("%d balls found at (%.2f, %.2f) of radius %.2f, want 1", len(fd.Balls()), g.x, g.y, g.a)
	}
	return fd.Balls()[0]
}

// An orange ball is hardly brighter than a green mat on its shaded side; in red it
// is as bright as a white one.
func TestColouredBallIsARuler(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, c := range []struct {
		name string
		ball [3]float64 // share of light given back, red, green, blue
	}{
		{"orange", [3]float64{0.9, 0.2, 0.02}},
		{"yellow", [3]float64{0.85, 0.7, 0.05}},
		{"pink", [3]float64{0.9, 0.25, 0.35}},
	} {
		for _, a := range []float64{9, 11.3, 15.2} {
			g := globe{x: 4.5*a + rng.Float64() - 0.5, y: 4.5*a + rng.Float64() - 0.5, a: a, b: 1.02 * a, mark: dot{0.3, -0.45, 0.14}}
			size := int(4.5*a) * 2
			var rgb [3]*picture
			for k, level := range [3]float64{0.045, 0.15, 0.05} {
				rgb[k] = floor(size, size, level)
				rgb[k].shadow(g.x, g.y+g.b, a)
				g.albedo = c.ball[k]
				rgb[k].globe(g)
			}
			look := phone{soft: 0.6, gamma: 2.2, sharpen: 0.3, noise: 1.3}
			o, err := lookAt(t, g, 12, func() *track.Frame { return coloured(rgb, look, rng) }).Outline()
			if err != nil {
				t.Errorf("%s, radius %.1f px: %v", c.name, a, err)
				continue
			}
			if wrong := math.Abs(o.Width - 2*a); wrong > 0.025*2*a || wrong > 3*o.UWidth || o.UWidth > 0.02*o.Width {
				t.Errorf("%s, radius %.1f px: width %.2f +- %.2f px", c.name, a, o.Width, 2*o.UWidth)
			}
		}
	}
}

// A ball is at least 42.67 mm wide (USGA Rule book 2016, Appendix III), so at
// 280 to 800 px/m it is 12 to 34 px wide and its width gives the scale: a width
// wrong by 1 % makes every length wrong by 1 %. Of the smallest balls 1 % is an
// eighth of a pixel; a single one may be further off.
func TestOutlineIsTheBallsWidth(t *testing.T) {
	const diameter = 0.04267 // m
	rng := rand.New(rand.NewPCG(5, 6))
	const n = 40
	inside, relative := 0, 0.0
	for k := range n {
		scale := (12 + 22*float64(k)/(n-1)) / diameter // px/m
		a := scale * diameter / 2
		g := globe{x: 4.5*a + rng.Float64() - 0.5, y: 4.5*a + rng.Float64() - 0.5, a: a, b: a * (1 + 0.035*rng.Float64())}
		if k%2 == 1 {
			g.mark = dot{0.8*rng.Float64() - 0.4, -0.45, 0.14}
		}
		c := phone{soft: 0.45 + 0.25*rng.Float64(), gamma: 2 + 0.4*rng.Float64(), sharpen: 0.6 * rng.Float64(), noise: 1 + rng.Float64()}
		o, err := still(t, g, c, 12, rng).Outline()
		if err != nil {
			t.Fatalf("radius %.2f px: %v", a, err)
		}
		wrong := o.Width - 2*a
		relative += wrong * wrong / (4 * a * a)
		if math.Abs(wrong) > math.Max(0.01*2*a, 0.3) {
			t.Errorf("radius %.2f px, %+v, %+v: the width is %.2f px off", a, c, g, wrong)
		}
		if math.Abs(wrong) < 2*o.UWidth {
			inside++
		}
		if o.UWidth > 0.02*o.Width {
			t.Errorf("radius %.2f px: uncertainty %.2f px is no ruler", a, o.UWidth)
		}
		if d := math.Abs(o.X - g.x); d > 0.2 {
			t.Errorf("radius %.2f px: centre %.2f px off along the line", a, d)
		}
	}
	if rms := math.Sqrt(relative / n); rms > 0.01 {
		t.Errorf("rms error of the scale %.2f %%, want at most 1 %%", 100*rms)
	}
	if share := float64(inside) / n; share < 0.9 {
		t.Errorf("only %.0f %% of %d widths lie within two standard uncertainties", 100*share, n)
	}
}

// A clip that was scaled or coded softly is blurred in its codes, far more than by the
// lens: the width is still right to 2 %, or its uncertainty says how far it may be off.
func TestOutlineOfASoftPicture(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 16))
	relative := 0.0
	const n = 12
	for k := range n {
		a := 8 + 0.5*float64(k)
		g := globe{x: 4.5*a + rng.Float64() - 0.5, y: 4.5*a + rng.Float64() - 0.5, a: a, b: 1.02 * a}
		o, err := still(t, g, phone{soft: 0.5, gamma: 2.2, sharpen: 0.3, scaled: 1.2, noise: 1}, 12, rng).Outline()
		if err != nil {
			t.Fatalf("radius %.2f px: %v", a, err)
		}
		wrong := o.Width - 2*a
		relative += wrong * wrong / (4 * a * a)
		if math.Abs(wrong) > 2*o.UWidth {
			t.Errorf("radius %.2f px: width %.2f +- %.2f px", a, o.Width, 2*o.UWidth)
		}
	}
	if rms := math.Sqrt(relative / n); rms > 0.02 {
		t.Errorf("rms error of the scale %.2f %%, want at most 2 %%", 100*rms)
	} else {
		t.Logf("rms error of the scale %.2f %%", 100*rms)
	}
}

func TestNoRulerWhenNeverAlone(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	b := still(t, globe{x: 45.3, y: 45.1, a: 10, b: 10.2}, phone{soft: 0.6, gamma: 2.2, noise: 1.2}, 0, rng)
	if o, err := b.Outline(); !errors.Is(err, ErrNoRuler) {
		t.Errorf("got %+v, %v, want %v", o, err, ErrNoRuler)
	}
}

// A dark sign of 7 mm in the middle of a ball looks like the shading of a smaller
// one when the lens is soft.
func TestMarkInTheMiddle(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 9))
	for _, a := range []float64{7.5, 9.67, 12, 15} {
		for _, x := range []float64{-0.1, 0, 0.1} {
			g := globe{x: 4.5*a + rng.Float64() - 0.5, y: 4.5*a + rng.Float64() - 0.5, a: a, b: 1.02 * a, mark: dot{x, -0.2, 0.16}}
			o, err := still(t, g, phone{soft: 0.72, gamma: 2.13, sharpen: 0.17, noise: 1.3}, 12, rng).Outline()
			if err != nil {
				t.Fatalf("radius %.2f px: %v", a, err)
			}
			if wrong := math.Abs(o.Width - 2*a); wrong > 0.025*2*a || wrong > 2*o.UWidth {
				t.Errorf("radius %.2f px, mark at %.1f: width %.2f +- %.2f px", a, x, o.Width, 2*o.UWidth)
			}
		}
	}
}

// The light of a ball that is dark below lies well above its middle: it is not lost
// from sight for that once the putter has left its side.
func TestDarkBelow(t *testing.T) {
	const alone = 20
	for _, a := range []float64{7, 9, 12} {
		b := still(t, globe{x: 4.5 * a, y: 4.5 * a, a: a, b: 1.02 * a, mark: dot{0.05, 0.75, 0.7}}, phone{soft: 0.6, gamma: 2.2, sharpen: 0.3, noise: 1}, alone, rand.New(rand.NewPCG(1, 7)))
		if b.clear != alone {
			t.Errorf("radius %.0f px: seen alone in %d frames of %d", a, b.clear, alone)
		}
	}
}

// How far a width may be off is told by the picture: a soft or noisy one says so, and
// a sharp one is a ruler of 1 % at 95 %.
func TestUncertaintyFollowsThePicture(t *testing.T) {
	const a = 10.4
	g := globe{x: 4.5 * a, y: 4.5*a + 0.3, a: a, b: 1.02 * a}
	u := func(c phone) float64 {
		o, err := still(t, g, c, 12, rand.New(rand.NewPCG(17, 18))).Outline()
		if err != nil {
			t.Fatalf("%+v: %v", c, err)
		}
		return 2 * o.UWidth / o.Width
	}
	sharp := u(phone{soft: 0.2, gamma: 2, noise: 1})
	soft := u(phone{soft: 0.2, gamma: 2, scaled: 1, noise: 1})
	noisy := u(phone{soft: 0.2, gamma: 2, noise: 12})
	t.Logf("sharp %.2f %%, soft %.2f %%, noisy %.2f %%", 100*sharp, 100*soft, 100*noisy)
	if sharp > 0.01 || soft < 2*sharp || noisy < 1.1*sharp {
		t.Errorf("u95 of a sharp picture %.2f %%, of a soft one %.2f %%, of a noisy one %.2f %%", 100*sharp, 100*soft, 100*noisy)
	}
}
