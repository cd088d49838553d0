package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
	"strokereel/track/phase"
)

// A camera on a tripod sees a ball on the floor and a practice stroke up to 18 cm nearer
// to the player, its axis anywhere between level and the ball: pinhole camera (textbook).
func TestPracticeStrokeBehindTheBallIsSeenSmaller(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	const runs = 400
	covered := 0
	for range runs {
		high, far := in(0.7, 1.4), in(2.5, 4.5)
		behind, hover := in(0, 0.18), in(0, 0.015)
		sin, cos := math.Sincos(in(0, 1) * math.Atan(high/far))
		see := func(up, z float64) (down, depth float64) {
			y, d := up-high, far+z
			return (-y*cos - d*sin), d*cos - y*sin
		}
		below, ball := see(0, 0)
		down, depth := see(hover, behind)
		higher := (below/ball - down/depth) * ball // in the picture, m of the ball's plane
		w := newWork(phase.Stroke{Kind: track.Practice, Address: phase.Address{Place: phase.Place{Y: higher, Known: true}}},
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
