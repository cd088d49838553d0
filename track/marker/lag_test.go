package marker

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
)

// played returns what a codec shows that lets a place lag by up to play, px: the
// picture stays where it is until it is that far behind, and is right in each
// frame of keys.
func played(truth []float64, play float64, keys ...int) []track.Sample {
	out := make([]track.Sample, len(truth))
	shown := truth[0]
	for i, x := range truth {
		shown = math.Max(x-play, math.Min(x+play, shown))
		for _, k := range keys {
			if k == i {
				shown = x
			}
		}
		out[i] = track.Sample{Frame: i, T: float64(i) / 60, X: shown, Y: 5, U: 0.05, Seen: true}
	}
	return out
}

// even returns places of n frames that move by v per frame.
func even(n int, from, v float64) (x []float64) {
	for i := range n {
		x = append(x, from+v*float64(i))
	}
	return x
}

func upTo(most float64, n int) []lag {
	out := make([]lag, n)
	for i := range out {
		out[i].most = most
	}
	return out
}

func repeat(v float64, n int) []float64 { return even(n, v, 0)[:n] }

func worst(samples []track.Sample, truth []float64, from, to int) float64 {
	w := 0.0
	for i := from; i < to; i++ {
		w = math.Max(w, math.Hypot(samples[i].X-truth[i], samples[i].Y-5))
	}
	return w
}

func TestSlowMotionIsPutForward(t *testing.T) {
	const play = 0.15
	for _, v := range []float64{0.1, 0.2, -0.3} {
		truth := even(60, 40, v)
		seen := played(truth, play)
		before := worst(seen, truth, 10, 50)
		catchUp(seen, upTo(play, 60), nil)
		if after := worst(seen, truth, 10, 50); before < 0.9*play || after > 0.35*play {
			t.Errorf("at %g px per frame: %.3f px off, before %.3f; want at most a third of %g", v, after, before, play)
		}
	}
}

func TestWhatStoppedIsRightAtTheNextKeyFrame(t *testing.T) {
	const play, stop, key = 0.15, 40, 60
	truth := append(even(stop, 40, 0.2), repeat(40+0.2*(stop-1), 50)...)
	seen := played(truth, play, key)
	catchUp(seen, upTo(play, len(seen)), []int{key})
	if w := worst(seen, truth, 10, stop-2); w > 0.5*play {
		t.Errorf("up to the stop: %.3f px off", w)
	}
	if w := worst(seen, truth, key+5, len(truth)); w > 1e-9 {
		t.Errorf("after the key frame: %.3f px off", w)
	}
}

func TestQuickAndStillPlacesStay(t *testing.T) {
	for _, truth := range [][]float64{even(60, 40, 2), even(60, 40, -6), repeat(40, 60)} {
		seen := played(truth, 0)
		catchUp(seen, upTo(0.2, 60), nil)
		if w := worst(seen, truth, 0, 60); w > 1e-6 {
			t.Errorf("from %g to %g px: moved by %g px", truth[0], truth[59], w)
		}
	}
}

// Scatter is no motion: it must not be made larger by much.
func TestNoiseIsNotTakenForMotion(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	seen := played(repeat(40, 600), 0)
	for i := range seen {
		seen[i].X += 0.1 * r.NormFloat64()
		seen[i].Y += 0.1 * r.NormFloat64()
	}
	put := append([]track.Sample(nil), seen...)
	catchUp(put, upTo(0.2, 600), nil)
	var before, after float64
	for i := range seen {
		before += math.Pow(seen[i].X-40, 2)
		after += math.Pow(put[i].X-40, 2)
	}
	if r := math.Sqrt(after / before); r > 1.45 {
		t.Errorf("noise became %.2f times as large", r)
	}
}

func TestUnseenFramesDoNotHoldALag(t *testing.T) {
	truth := even(30, 40, 0.2)
	seen := played(truth, 0.15)
	for i := 8; i < 25; i++ {
		seen[i] = track.Sample{Frame: i, T: seen[i].T}
	}
	catchUp(seen, upTo(0.15, 30), nil)
	for i := 8; i < 25; i++ {
		if seen[i].Seen || seen[i].X != 0 {
			t.Fatalf("frame %d, not seen, was moved", i)
		}
	}
}

// A picture that changes by more than the motion explains has made up for its lag.
func TestWhatTheCodecMendedLagsNoMore(t *testing.T) {
	const perPx, mend = 4, 60
	truth := append(even(30, 0, 1.5), even(60, 43.5, 0.04)...)
	s := &Spot{}
	for i, x := range truth {
		behind := 0.15
		if i < 30 || i >= mend {
			behind = 0
		}
		s.samples = append(s.samples, track.Sample{Frame: i, X: x - behind, Y: 5, U: 0.05, Seen: true})
		s.details = append(s.details, detail{turn: turn{change: math.NaN()}})
		if i > 0 {
			s.details[i].change = perPx * (s.samples[i].X - s.samples[i-1].X)
		}
	}
	s.details[mend].change = perPx * 1.2 // it redraws more than it moves
	lags := s.mended()
	for i, l := range lags {
		if want := i == mend; i >= 30+lagSpan && (l.mended > 0.8) != want {
			t.Errorf("frame %d: %.2f of the lag mended, it was mended in frame %d", i, l.mended, mend)
		}
		lags[i].most = 0.15
	}
	put := append([]track.Sample(nil), s.samples...)
	catchUp(put, lags, nil)
	if w := worst(put, truth, mend, mend+1); w > 0.03 {
		t.Errorf("when mended: %.3f px off", w)
	}
	if w := worst(put, truth, mend-10, mend-3); w > 0.06 {
		t.Errorf("before it was mended: %.3f px off", w)
	}
}
