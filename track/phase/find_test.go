package phase

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
	"strokereel/track/path"
	"strokereel/track/tracktest"
)

// score collects the errors of one event.
type score struct {
	errors  []float64
	inside  int
	missing int
}

func (s *score) add(e track.Event, truth float64) {
	if e.Status != track.Measured {
		s.missing++
		return
	}
	s.errors = append(s.errors, e.T-truth)
	if math.Abs(e.T-truth) <= 1.96*e.U {
		s.inside++
	}
}

// TestFind scores the events of random strokes against the walked truth.
func TestFind(t *testing.T) {
	for _, test := range []struct {
		name        string
		rate, noise float64
		strokes     int
	}{
		{"60 frames/s", 60, 0.1, 100},
		{"120 frames/s", 120, 0.1, 60},
		{"60 frames/s, noisy", 60, 0.3, 50},
		{"30 frames/s", 30, 0.1, 40},
	} {
		t.Run(test.name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(11, uint64(test.rate)))
			scores := map[string]*score{track.Start: {}, track.Top: {}, track.Impact: {}, track.Stop: {}, track.HoldEnd: {}}
			for k := range test.strokes {
				s := tracktest.Draw(rng, tracktest.Wish{Pause: k%4 == 0, Waggle: k%5 == 0, Tremor: k%2 == 0, Recoil: k%3 != 0})
				truth := s.Truth()
				c := tracktest.DrawCamera(rng, test.rate, test.noise)
				found, err := Find(input(s, c, rng), DefaultOptions())
				if err != nil || len(found) != 1 || found[0].Kind != track.Putt {
					t.Fatalf("stroke %d: got %d strokes (%v), wanted one putt", k, len(found), err)
				}
				scores[track.Start].add(found[0].Event(track.Start), truth.Start)
				scores[track.Top].add(found[0].Event(track.Top), truth.Top)
				scores[track.Impact].add(found[0].Event(track.Impact), truth.Impact)
				scores[track.Stop].add(found[0].Event(track.Stop), truth.Stop)
				if !truth.HoldOpen {
					scores[track.HoldEnd].add(found[0].Event(track.HoldEnd), truth.HoldEnd)
				}
			}
			report(t, scores, test.rate, test.noise)
		})
	}
}

func report(t *testing.T, scores map[string]*score, rate, noise float64) {
	for _, name := range []string{track.Start, track.Top, track.Impact, track.Stop, track.HoldEnd} {
		s := scores[name]
		limit := math.Max(0.5/rate, 0.006)
		if name == track.Impact {
			limit = 0.3 / rate
		}
		q, share := tracktest.Quantile(s.errors, 0.95), float64(s.inside)/float64(len(s.errors))
		t.Logf("%-8s 95%% within %5.2f ms (limit %.1f), inside u95 %5.1f %% of %d, missing %d", name, 1e3*q, 1e3*limit, 100*share, len(s.errors), s.missing)
		if noise <= 0.1 && rate >= 60 && q > limit {
			t.Errorf("%s: 95 %% within %.2f ms, wanted %.2f", name, 1e3*q, 1e3*limit)
		}
		if share < 0.9 {
			t.Errorf("%s: %.1f %% inside u95, wanted 90 to 99", name, 100*share)
		}
		if s.missing > 0 {
			t.Errorf("%s: missing in %d strokes", name, s.missing)
		}
	}
}

// input films a stroke; the ball is a witness good to 0.5 ms.
func input(s tracktest.Stroke, c tracktest.Camera, rng *rand.Rand) Input {
	return Input{
		Putter:         c.Film(track.Putter, s.At, s.Length, rng),
		Launches:       []path.Launch{{T: s.Impact + 0.0005*rng.NormFloat64(), UT: 0.0005, Speed: 2}},
		Clicks:         []Click{{T: s.Impact + 0.08*rng.Float64() - 0.04, U: 0.04 / math.Sqrt(3)}},
		FrameInterval:  1 / c.Rate,
		DirectionKnown: true,
	}
}
