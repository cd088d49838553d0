package marker

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The colour planes blur a streak by more than it is long: what they take it for must
// not spoil the fit in luma, nor what is told of the exposure.
func TestLumaFindsTheStreakItself(t *testing.T) {
	const x, y, r, long = 300.4, 250.3, 5.4, 1.0
	p := paint(w, h, floorGreen)
	p.rect(x-18, y-9, x+18, y+9, headGrey)
	p.disc(x, y, r, long, 0, stickers["yellow"])
	f := p.frame(0, 0, false, 1.2, rand.New(rand.NewPCG(3, 4)))
	s := &sighter{}
	for _, wrong := range []float64{0, 4, 8} { // px
		c := disc{x: x/2 - 0.25, y: y/2 - 0.25, r: r / 2, l: wrong / 2, dx: 1, gain: 1}
		got := s.inLuma(f, c, belief{l: 0.8, ul: 1.2})
		switch {
		case got.u == 0:
			t.Errorf("a streak of %.0f px in the colour planes hides the sticker in luma", wrong)
		case math.Hypot(got.x-x, got.y-y) > 0.06 || math.Abs(got.l-long) > 0.8:
			t.Errorf("a streak of %.0f px in the colour planes: off by (%.3f, %.3f) px, streak %.1f of %.1f px", wrong, got.x-x, got.y-y, got.l, long)
		}
	}
}
