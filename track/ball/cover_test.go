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
