package phase

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
	"strokereel/track/tracktest"
)

// A codec lets a putter that slows down lag by what differs from stroke to stroke, and
// mends it when the putter rests. The stop then lies within its U in nine strokes of ten.
func TestStopOfAPutterThatLags(t *testing.T) {
	const (
		u, lag  = 0.0001, 0.0003 // m
		strokes = 60
	)
	rng := rand.New(rand.NewPCG(12, 36))
	stops := &score{}
	for range strokes {
		s := tracktest.Draw(rng, tracktest.Wish{})
		in := input(s, tracktest.DrawCamera(rng, 60, 1e-6), rng)
		behind := lag * rng.NormFloat64()
		seen := in.Putter.Points
		speed := make([]float64, len(seen)) // m/s
		for i := 1; i+1 < len(seen); i++ {
			speed[i] = (seen[i+1].X - seen[i-1].X) / (seen[i+1].T - seen[i-1].T)
		}
		for i := range seen {
			seen[i].X += u*rng.NormFloat64() - behind*slowness(speed[i])
			seen[i].U = u
		}
		in.ULag = lag
		found := mustFind(t, in)
		if len(found) != 1 {
			t.Fatalf("%d strokes, wanted one", len(found))
		}
		stops.add(found[0].Event(track.Stop), s.Truth().Stop)
	}
	inside := float64(stops.inside) / float64(len(stops.errors))
	t.Logf("95%% within %.2f ms, inside u95 %.1f %% of %d", 1e3*tracktest.Quantile(stops.errors, 0.95), 100*inside, len(stops.errors))
	if inside < 0.9 {
		t.Errorf("%.1f %% of the stops lie inside u95, wanted 90", 100*inside)
	}
}

// slowness is the share of the most that a codec lets a motion of some speed lag: nothing
// of what rests, and of what is quick enough for its block to be moved along.
func slowness(speed float64) float64 {
	const rests, quick = 0.01, 0.15 // m/s
	v := math.Abs(speed)
	return math.Copysign(math.Min(1, v/rests)*math.Exp(-v*v/(quick*quick)), speed)
}
