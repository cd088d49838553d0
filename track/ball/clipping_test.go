package ball

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
)

// Too much light cuts the ball's brightness off, and its edge looks farther out.
func TestOverexposedBall(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 24))
	for _, more := range []float64{1, 1.6, 2.3} {
		for _, a := range []float64{8.9, 9.4, 11, 14} {
			g := globe{x: 4.5*a + rng.Float64() - 0.5, y: 4.5*a + rng.Float64() - 0.5, a: a, b: 1.02 * a, mark: dot{0.5, -0.2, 0.14}, albedo: 1.3 * more}
			size := int(9 * a)
			p := floor(size, size, 0.09*more)
			p.shadow(g.x, g.y+g.b, a)
			p.globe(g)
			code := p.code(phone{soft: 0.6, gamma: 2.2, sharpen: 0.3})
			o, err := lookAt(t, g, 12, func() *track.Frame { return grainy(code, size, size, 0, 0, 1.3, rng) }).Outline()
			if err != nil {
				t.Errorf("light %.1f, radius %.1f px: %v", more, a, err)
				continue
			}
			t.Logf("light %.1f radius %.1f: width %.2f +- %.2f, off %+.2f", more, a, o.Width, 2*o.UWidth, o.Width-2*a)
			if wrong := math.Abs(o.Width - 2*a); wrong > 0.02*2*a || wrong > 2.5*o.UWidth {
				t.Errorf("light %.1f, radius %.1f px: width %.2f +- %.2f px", more, a, o.Width, 2*o.UWidth)
			}
		}
	}
}
