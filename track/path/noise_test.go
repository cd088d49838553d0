package path

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
)

// A path that states too small a U is put right by its own scatter, within a fifth;
// one that states more may share errors from frame to frame, and one that hardly moves
// cannot tell: both stay as they are.
func TestWithOwnNoise(t *testing.T) {
	const noise = 0.0003 // m
	for _, stated := range []float64{noise / 2, noise, 2 * noise} {
		rng := rand.New(rand.NewPCG(9, 1))
		p := track.Path{Object: track.Putter}
		for i := range 240 {
			at := float64(i) / 120
			p.Points = append(p.Points, track.Point{Frame: i, T: at, X: 0.3*math.Sin(4*at) + noise*rng.NormFloat64(), U: stated, Seen: true})
		}
		if got, want := WithOwnNoise(p).Points[7].U, math.Max(stated, noise); math.Abs(got/want-1) > 0.2 {
			t.Errorf("stated %.2f mm, true %.2f mm: became %.2f mm, want %.2f", 1e3*stated, 1e3*noise, 1e3*got, 1e3*want)
		}
		if p.Points[7].U != stated {
			t.Errorf("the path given was changed to %.2f mm", 1e3*p.Points[7].U)
		}
		for i := range p.Points {
			p.Points[i].X = noise * rng.NormFloat64()
		}
		if got := WithOwnNoise(p).Points[7].U; got != stated {
			t.Errorf("a putter at rest: U became %.2f mm from %.2f mm", 1e3*got, 1e3*stated)
		}
	}
}

// What a slow object errs by lies between what its fits say and what its scatter tells:
// it is that noise when both agree, grows with either, and is not told of what rests or
// only flies past.
func TestSlowU(t *testing.T) {
	const noise = 0.0003 // m
	film := func(speed, scatter, stated float64) track.Path {
		rng := rand.New(rand.NewPCG(9, 2))
		p := track.Path{Object: track.Putter}
		for i := range 240 {
			at := float64(i) / 60
			p.Points = append(p.Points, track.Point{Frame: i, T: at, X: speed*at + scatter*rng.NormFloat64(), U: stated, Seen: true})
		}
		return p
	}
	for _, c := range []struct{ scatter, stated, want float64 }{
		{noise, noise, noise}, {2 * noise, noise, math.Sqrt2 * noise}, {noise, 4 * noise, 2 * noise},
	} {
		u, known := SlowU(film(0.1, c.scatter, c.stated))
		if !known || math.Abs(u/c.want-1) > 0.15 {
			t.Errorf("scatter %.2f mm, stated %.2f mm: %.3f mm (known: %v), want %.3f", 1e3*c.scatter, 1e3*c.stated, 1e3*u, known, 1e3*c.want)
		}
	}
	for _, speed := range []float64{0, 1} {
		if u, known := SlowU(film(speed, noise/10, noise)); known {
			t.Errorf("at %.0f m/s: told to be %.3f mm", speed, 1e3*u)
		}
	}
}
