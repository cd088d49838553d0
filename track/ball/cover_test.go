package ball

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
)

// A club that leans before the rim of a ball on one side.
func TestWidthOfABallBehindAClub(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	look := phone{soft: 0.6, gamma: 2.2, sharpen: 0.3, noise: 1.2}
	right := 0
	for _, c := range []struct {
		name  string
		way   float64
		light float64
	}{
		{"bright, at the right", 1, 0.45},
		{"bright, at the left", -1, 0.45},
		{"dark, at the right", 1, 0.01},
	} {
		for _, a := range []float64{10.5, 13.2} {
			g := globe{x: 4.5*a + rng.Float64() - 0.5, y: 4.5*a + rng.Float64() - 0.5, a: a, b: 1.02 * a}
			size := int(9 * a)
			p := floor(size, size, 0.09)
			p.shadow(g.x, g.y+g.b, a)
			p.globe(g)
			p.paint(0, 0, float64(size), float64(size), func(x, y float64) (float64, float64) {
				// It hides a twelfth of the half width at the ball's middle, more below.
				edge := 0.92*a - 0.12*(y-g.y)
				if out := c.way*(x-g.x) - edge; out > 0 && out < 0.5*a {
					return c.light, 1
				}
				return 0, 0
			})
			coded := p.code(look)
			b := lookAt(t, g, 12, func() *track.Frame { return grainy(coded, size, size, 0, 0, look.noise, rng) })
			o, err := b.Outline()
			if errors.Is(err, ErrNoRuler) {
				continue // told, not guessed
			}
			wrong := math.Abs(o.Width - 2*a)
			if wrong > 2*o.UWidth {
				t.Errorf("%s, radius %.1f px: width %.2f +- %.2f px", c.name, a, o.Width, 2*o.UWidth)
			}
			if wrong < 0.012*2*a {
				right++
			}
		}
	}
	if right < 4 {
		t.Errorf("%d of 6 widths are right to 1.2 %%, want 4", right)
	}
}

// What is thin and bright beside a ball lowers the weights of few samples; its own
// shadow, which lies on both sides below, hides nothing.
func TestRimsThatAreHidden(t *testing.T) {
	const side = 41
	p := []float64{20, 20, 10, 10}
	for _, c := range []struct {
		name        string
		left, right float64 // how much brighter than the floor two samples beside the ball are, in the ball's light
		weight      float64 // of these samples
		row         int
		hidden      [2]bool
	}{
		{"nothing", 0, 0, 1, 24, [2]bool{}},
		{"a shaft at the right", 0, 0.3, 0.55, 18, [2]bool{false, true}},
		{"a head at the left, a shaft at the right", 0.3, 0.3, 0.3, 25, [2]bool{true, true}},
		{"a dark toe at the left", -0.05, 0, 0.1, 25, [2]bool{true, false}},
		{"its own shadow", -0.05, -0.05, 0.1, 25, [2]bool{}},
		{"a dark toe at the right, a head at the left", 0.3, -0.05, 0.1, 18, [2]bool{true, true}},
	} {
		weights, over := make([]float64, side*side), make([]float64, side*side)
		for i := range weights {
			weights[i] = 1
		}
		half := 10 * math.Sqrt(1-math.Pow(float64(c.row-20)/10, 2))
		for k, bright := range []float64{c.left, c.right} {
			for out := 1.5; bright != 0 && out < 4; out++ {
				at := c.row*side + int(math.Round(20+float64(2*k-1)*(half+out)))
				weights[at], over[at] = c.weight, bright
			}
		}
		uncover(weights, over, side, p)
		for k, hidden := range c.hidden {
			at := c.row*side + int(math.Round(20+float64(2*k-1)*(half-1)))
			if (weights[at] == 0) != hidden {
				t.Errorf("%s: rim %d hidden %v, want %v", c.name, k, !hidden, hidden)
			}
		}
	}
}
