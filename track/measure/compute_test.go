package measure

import (
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"strokereel/track"
	"strokereel/track/path"
	"strokereel/track/phase"
	"strokereel/track/tracktest"
)

// room is a pinhole camera facing a putt, in its own coordinates: the sticker is
// nearer than the ball, the camera is turned a little, the stroke's plane leans.
type room struct {
	distance, offset, yaw, tilt float64 // m, m, rad, rad
	focal                       float64 // px
	ballDiameter                float64 // m
}

func drawRoom(rng *rand.Rand) room {
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	r := room{distance: in(2.5, 4.5), offset: in(0.035, 0.06), yaw: in(-3, 3) * math.Pi / 180, tilt: in(5, 15) * math.Pi / 180, ballDiameter: in(0.04267, 0.04295)}
	r.focal = in(380, 650) * r.distance
	return r
}

// project returns the picture (px, y up) of a point x along the line, y up and
// z farther from the camera than the ball.
func (r room) project(x, y, z float64) (px, py float64) {
	depth := r.distance + z*math.Cos(r.yaw) + x*math.Sin(r.yaw)
	return r.focal * (x*math.Cos(r.yaw) - z*math.Sin(r.yaw)) / depth, r.focal * y / depth
}

// clip films a stroke and its ball and hands the paths over as the trackers do:
// in px, with the scale from the width of the ball.
func (r room) clip(s tracktest.Stroke, ball tracktest.Ball, rate, noise float64, rng *rand.Rand, t *testing.T) Clip {
	px := tracktest.Camera{Rate: rate, PxPerM: 1, Noise: noise, Exposure: rng.Float64() / rate / 4}
	roll := ball.Roll(s.Length)
	marker := px.Film(track.Putter, func(at float64) (float64, float64) {
		x, rise := s.At(at)
		return r.project(x, rise*math.Cos(r.tilt), rise*math.Sin(r.tilt)-r.offset)
	}, s.Length, rng)
	seenBall := px.Film(track.Ball, func(at float64) (float64, float64) { return r.project(0.0214+s.Gap+roll(at), 0, 0) }, math.Min(s.Length, s.Impact+0.6), rng)
	width := r.ballDiameter * r.focal / r.distance
	o := DefaultOptions()
	ballScale, err := BallScale(Quantity{width + 0.1*rng.NormFloat64(), 0.1}, o.BallDiameter())
	if err != nil {
		t.Fatal(err)
	}
	markerScale, err := MarkerScale(ballScale, o.StickerOffset(), o.CameraDistance())
	if err != nil {
		t.Fatal(err)
	}
	in := Clip{MarkerScale: markerScale, BallScale: ballScale}
	in.FrameInterval, in.DirectionKnown, in.Smoothing = 1/rate, true, path.DefaultOptions()
	in.Putter = scaled(marker, markerScale.PxPerM)
	ballPath := scaled(seenBall, ballScale.PxPerM)
	rest, err := path.FindRest(ballPath, 0, s.Impact-0.1)
	if err != nil {
		t.Fatal(err)
	}
	l, err := path.FitLaunch(ballPath, rest, in.Smoothing)
	if err != nil {
		t.Fatal(err)
	}
	in.Launches = []path.Launch{l}
	return in
}

func scaled(p track.Path, pxPerM float64) track.Path {
	for i := range p.Points {
		q := &p.Points[i]
		q.X, q.Y, q.U = q.X/pxPerM, q.Y/pxPerM, q.U/pxPerM
	}
	return p
}

// limits at the 95th percentile: the product's promise for good clips.
var limits = map[string]struct{ absolute, relative float64 }{
	"backstroke_length":     {0, 0.025},
	"follow_through_length": {0, 0.025},
	"impact_speed":          {0, 0.04},
	"ball_speed":            {0, 0.04},
	"recoil":                {0.003, 0},
}

// tally collects one measure over many strokes.
type tally struct {
	errors, relative, u95 []float64
	inside                int
}

// TestCompute scores the measures of random strokes, seen by random cameras,
// against the walked truth.
func TestCompute(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	sums := map[string]*tally{}
	for k := range 120 {
		rate := []float64{60, 120}[k%2]
		s := tracktest.Draw(rng, tracktest.Wish{Pause: k%4 == 0, Waggle: k%5 == 0, Tremor: k%3 == 0, Recoil: k%3 != 0})
		truth := s.Truth()
		ball := tracktest.DrawBall(rng, s.Impact, truth.Speed*(1.45+0.25*rng.Float64()))
		in := drawRoom(rng).clip(s, ball, rate, 0.1, rng, t)
		strokes, err := phase.Find(in.Input, phase.DefaultOptions())
		if err != nil || len(strokes) != 1 {
			t.Fatalf("stroke %d: got %d strokes (%v), wanted one", k, len(strokes), err)
		}
		got, err := Compute(strokes[0], in, DefaultOptions())
		if err != nil {
			t.Fatal(err)
		}
		want := map[string]float64{
			"backstroke_length": truth.Back, "follow_through_length": truth.Through, "through_to_back": truth.Through / truth.Back,
			"backstroke_time": truth.Top - truth.Start, "downstroke_time": truth.Impact - truth.Top, "follow_through_time": truth.Stop - truth.Impact,
			"tempo":        (truth.Top - truth.Start) / (truth.Impact - truth.Top),
			"impact_speed": truth.Speed, "ball_speed": ball.Speed, "ball_to_head": ball.Speed / truth.Speed, "recoil": truth.Recoil,
		}
		if !truth.HoldOpen {
			want["hold_time"] = truth.HoldEnd - truth.Stop
		}
		for _, m := range got.Measures {
			if w, ok := want[m.ID]; ok && m.Status == track.Measured {
				if sums[m.ID] == nil {
					sums[m.ID] = &tally{}
				}
				sums[m.ID].add(m, w)
			}
		}
	}
	check(t, sums)
}

func (s *tally) add(m track.Measure, truth float64) {
	s.errors = append(s.errors, m.Value-truth)
	s.relative = append(s.relative, (m.Value-truth)/truth)
	s.u95 = append(s.u95, m.U95/truth)
	if math.Abs(m.Value-truth) <= m.U95 {
		s.inside++
	}
}

func check(t *testing.T, sums map[string]*tally) {
	inside, all := 0, 0
	for _, d := range order {
		s := sums[d.id]
		if s == nil {
			continue
		}
		n := len(s.errors)
		abs, rel, share := tracktest.Quantile(s.errors, 0.95), tracktest.Quantile(s.relative, 0.95), float64(s.inside)/float64(n)
		sort.Float64s(s.u95)
		median := s.u95[n/2]
		t.Logf("%-22s 95%% within %.4f %s (%.2f %%), median u95 %.2f %%, inside %.1f %% of %d", d.id, abs, d.unit, 100*rel, 100*median, 100*share, n)
		inside, all = inside+s.inside, all+n
		if share < 0.9 {
			t.Errorf("%s: %.1f %% inside u95, wanted 90 to 99", d.id, 100*share)
		}
		l, ok := limits[d.id]
		if ok && l.relative > 0 && (rel > l.relative || median > l.relative) {
			t.Errorf("%s: 95 %% within %.2f %%, median u95 %.2f %%, wanted %.1f", d.id, 100*rel, 100*median, 100*l.relative)
		}
		if ok && l.absolute > 0 && abs > l.absolute {
			t.Errorf("%s: 95 %% within %.4f, wanted %.4f", d.id, abs, l.absolute)
		}
	}
	if share := float64(inside) / float64(all); share < 0.93 || share > 0.99 {
		t.Errorf("%.1f %% of %d truths inside u95, wanted 93 to 99", 100*share, all)
	}
}
