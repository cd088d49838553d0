package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
	"strokereel/track/phase"
)

// A camera on a tripod looks down at a ball on the floor and at a practice stroke up to
// 18 cm nearer to the player: pinhole camera (textbook).
func TestPracticeStrokeBehindTheBallIsSeenSmaller(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	const runs = 400
	covered := 0
	for range runs {
		high, far := in(0.7, 1.4), in(2.5, 4.5)
		behind, hover := in(0, 0.18), in(0, 0.015)
		// The camera's axis points at the ball.
		sin, cos := high/math.Hypot(high, far), far/math.Hypot(high, far)
		see := func(up, z float64) (down, depth float64) {
			y, d := up-high, far+z
			return (-y*cos - d*sin), d*cos - y*sin
		}
		_, ball := see(0, 0)
		down, depth := see(hover, behind)
		w := newWork(phase.Stroke{Kind: track.Practice, Address: phase.Address{Place: phase.Place{Y: -down / depth * ball, Known: true}}},
			Clip{PuttKnown: true}, DefaultOptions())
		got, want := w.plane(), ball/depth
		if math.Abs(got.Value-want) <= 2*got.U {
			covered++
		}
		if got.U > 0.025 {
			t.Errorf("%.2f m high, %.1f m away, %.2f m behind: u %.3f", high, far, behind, got.U)
		}
	}
	if covered < runs*93/100 {
		t.Errorf("%d of %d inside 2 u", covered, runs)
	}
	putt := newWork(phase.Stroke{Kind: track.Putt, Address: phase.Address{Place: phase.Place{Y: 0.1, Known: true}}}, Clip{PuttKnown: true}, DefaultOptions())
	if p := putt.plane(); p.Value != 1 || p.U != 0 {
		t.Errorf("a putt is seen at %v of its own scale", p)
	}
}
