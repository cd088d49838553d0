package phase

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
	"strokereel/track/tracktest"
)

// Errors that neighbouring frames share, as those of a codec, and what each has of its
// own make the U of an event, each counted once: nine of ten events lie within their
// U, and the typical U is less than if all of the error were a frame's own as well.
func TestErrorsThatFramesShare(t *testing.T) {
	const (
		u, share = 0.0002, 0.85 // m, 1
		lasts    = 0.1          // s
		strokes  = 60
	)
	rng := rand.New(rand.NewPCG(11, 85))
	events := []string{track.Start, track.Top, track.Stop, track.HoldEnd}
	scores := map[string]*score{}
	once, twice := map[string][]float64{}, map[string][]float64{}
	for _, name := range events {
		scores[name] = &score{}
	}
	for range strokes {
		s := tracktest.Draw(rng, tracktest.Wish{Recoil: true})
		c := tracktest.DrawCamera(rng, 60, 1e-6)
		in := input(s, c, rng)
		kept := math.Exp(-1 / (60 * lasts))
		shared := rng.NormFloat64()
		for i := range in.Putter.Points {
			shared = kept*shared + math.Sqrt(1-kept*kept)*rng.NormFloat64()
			p := &in.Putter.Points[i]
			p.X, p.U = p.X+u*(share*shared+math.Sqrt(1-share*share)*rng.NormFloat64()), u
		}
		in.Slow, in.Own = share*u, math.Sqrt(1-share*share)
		found := mustFind(t, in)
		in.Own = 0
		whole := mustFind(t, in)
		if len(found) != 1 || len(whole) != 1 {
			t.Fatalf("%d strokes, wanted one", len(found))
		}
		truth := s.Truth()
		for name, at := range map[string]float64{track.Start: truth.Start, track.Top: truth.Top, track.Stop: truth.Stop, track.HoldEnd: truth.HoldEnd} {
			if name == track.HoldEnd && truth.HoldOpen {
				continue
			}
			scores[name].add(found[0].Event(name), at)
			once[name], twice[name] = append(once[name], found[0].Event(name).U), append(twice[name], whole[0].Event(name).U)
		}
	}
	for _, name := range events {
		s := scores[name]
		inside := float64(s.inside) / float64(len(s.errors))
		narrow, wide := tracktest.Quantile(once[name], 0.5), tracktest.Quantile(twice[name], 0.5)
		t.Logf("%-8s 95%% within %.2f ms, inside u95 %.1f %% of %d, median u95 %.2f ms (%.2f)", name, 1e3*tracktest.Quantile(s.errors, 0.95), 100*inside, len(s.errors), 1960*narrow, 1960*wide)
		if inside < 0.9 || narrow > 0.9*wide {
			t.Errorf("%s: %.1f %% inside u95, wanted 90; median u95 %.2f ms, wanted less than 0.9 of %.2f", name, 100*inside, 1960*narrow, 1960*wide)
		}
	}
}
