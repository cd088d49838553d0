package phase

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"strokereel/track"
	"strokereel/track/path"
	"strokereel/track/tracktest"
)

// place is a motion of the marker.
type place func(t float64) (x, y float64)

// act is one piece of a scene.
type act struct {
	seconds float64
	at      place
}

// scene plays acts one after the other, with a smooth way of a second from the
// end of each to the beginning of the next.
func scene(acts ...act) (place, float64, []float64) {
	const way = 1.0
	var starts []float64
	total := 0.0
	for _, a := range acts {
		starts = append(starts, total)
		total += a.seconds + way
	}
	return func(t float64) (float64, float64) {
		for i, a := range acts {
			u := t - starts[i]
			if u <= a.seconds || i == len(acts)-1 {
				return a.at(math.Min(u, a.seconds))
			}
			if u < a.seconds+way {
				x0, y0 := a.at(a.seconds)
				x1, y1 := acts[i+1].at(0)
				s := 0.5 - 0.5*math.Cos(math.Pi*(u-a.seconds)/way)
				return x0 + s*(x1-x0), y0 + s*(y1-y0) + 0.15*math.Sin(math.Pi*s) // lifted
			}
		}
		return 0, 0
	}, total, starts
}

func stroke(s tracktest.Stroke, dx, dy float64) act {
	return act{s.Length, func(t float64) (float64, float64) { x, y := s.At(t); return x + dx, y + dy }}
}

func rests(seconds, x, y float64) act {
	return act{seconds, func(float64) (float64, float64) { return x, y }}
}

func filmed(at place, seconds float64, rng *rand.Rand) Input {
	c := tracktest.Camera{Rate: 60, PxPerM: 480, Noise: 0.1, Exposure: 0.003}
	return Input{Putter: c.Film(track.Putter, at, seconds, rng), FrameInterval: 1.0 / 60, DirectionKnown: true}
}

func launched(at float64) path.Launch { return path.Launch{T: at, UT: 0.0005, Speed: 2} }

func mustFind(t *testing.T, in Input) []Stroke {
	t.Helper()
	s, err := Find(in, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func kinds(s []Stroke) string {
	var k []string
	for _, x := range s {
		k = append(k, x.Kind)
	}
	return strings.Join(k, " ")
}

// TestFindKinds plays whole clips and asks which strokes were in them.
func TestFindKinds(t *testing.T) {
	wander := func(t float64) (float64, float64) {
		return 0.4*math.Sin(0.9*t) + 0.2*math.Sin(2.3*t+1), 0.15 + 0.15*math.Sin(1.7*t)
	}
	waggle := func(t float64) (float64, float64) {
		if t < 1.2 || t > 4.2 {
			return 0, 0
		}
		s := math.Sin(math.Pi * (t - 1.2) / 1.0)
		return -0.03 * s * s, 0.01 * s * s
	}
	for seed := range uint64(4) {
		rng := rand.New(rand.NewPCG(21, seed))
		draw := func() tracktest.Stroke { return tracktest.Draw(rng, tracktest.Wish{Tremor: true, Recoil: true}) }
		a, b, tap := draw(), draw(), tracktest.TapIn()
		two, twoLength, twoStarts := scene(stroke(a, -0.12, 0.1), stroke(b, 0, 0))
		three, threeLength, threeStarts := scene(rests(1, -0.8, 0.3), stroke(a, 0, 0), stroke(tap, 0.9, 0), rests(1, 1.4, 0.3))
		back, backLength, backStarts := scene(stroke(a, 0, 0), rests(1.5, 0.1, 0), rests(1, 1.2, 0.1))
		tests := []struct {
			name     string
			at       place
			seconds  float64
			launches []float64
			want     string
		}{
			{"the putter lies still", rests(6, 0, 0).at, 6, nil, ""},
			{"the putter wanders", wander, 8, nil, ""},
			{"only waggles", waggle, 7, nil, ""},
			{"one putt", a.At, a.Length, []float64{a.Impact}, "putt"},
			{"one practice stroke", a.At, a.Length, nil, "practice"},
			{"a practice stroke nearer the player, then the putt", two, twoLength, []float64{twoStarts[1] + b.Impact}, "practice putt"},
			{"walking in, a putt, a tap-in, walking off", three, threeLength, []float64{threeStarts[1] + a.Impact, threeStarts[2] + tap.Impact}, "putt putt"},
			{"a putt, the putter put down, walking on", back, backLength, []float64{backStarts[0] + a.Impact}, "putt"},
		}
		for _, test := range tests {
			in := filmed(test.at, test.seconds, rng)
			for _, l := range test.launches {
				in.Launches = append(in.Launches, launched(l))
			}
			if got := kinds(mustFind(t, in)); got != test.want {
				t.Errorf("seed %d, %s: got %q, wanted %q", seed, test.name, got, test.want)
			}
		}
	}
}

// What the clip does not show is not measured, and the reason says so.
func TestFindIncomplete(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 1))
	s := tracktest.Draw(rng, tracktest.Wish{Recoil: true})
	truth := s.Truth()
	from := func(t0 float64) place { return func(t float64) (float64, float64) { return s.At(t + t0) } }
	late := truth.Top - 0.1
	gone := tracktest.Hide(filmed(s.At, s.Length, rng).Putter, truth.Start-0.1, truth.Stop+0.1)
	turned := tracktest.Hide(filmed(s.At, s.Length, rng).Putter, truth.Top-0.2, truth.Top+0.12)
	tests := []struct {
		name            string
		in              Input
		kind            string
		measured, never []string
		reason          string
	}{
		{"the clip begins in the backstroke", withBall(filmed(from(late), s.Length-late, rng), truth.Impact-late), track.Putt,
			[]string{track.Top, track.Impact, track.Stop}, []string{track.Start}, "not seen still"},
		{"the clip ends in the follow-through", withBall(filmed(s.At, (truth.Impact+truth.Stop)/2, rng), truth.Impact), track.Putt,
			[]string{track.Start, track.Top, track.Impact}, []string{track.Stop, track.HoldEnd}, "clip ended"},
		{"the putter leaves the picture at the end of the backstroke", withBall(Input{Putter: turned, FrameInterval: 1.0 / 60, DirectionKnown: true}, truth.Impact), track.Putt,
			[]string{track.Impact, track.Stop}, []string{track.Top}, "end of the backstroke"},
		{"the sticker is hidden during the stroke", withBall(Input{Putter: gone, FrameInterval: 1.0 / 60, DirectionKnown: true}, truth.Impact), track.Unusable,
			[]string{track.Impact}, []string{track.Start, track.Top, track.Stop}, "not seen swinging"},
		{"there is no sticker", withBall(Input{FrameInterval: 1.0 / 60, DirectionKnown: true}, truth.Impact), track.Unusable,
			[]string{track.Impact}, []string{track.Start, track.Top, track.Stop}, "not seen swinging"},
	}
	for _, test := range tests {
		got := mustFind(t, test.in)
		if len(got) != 1 || got[0].Kind != test.kind {
			t.Errorf("%s: got %q, wanted one %s", test.name, kinds(got), test.kind)
			continue
		}
		for _, name := range test.measured {
			if e := got[0].Event(name); e.Status != track.Measured {
				t.Errorf("%s: %s is %s (%s)", test.name, name, e.Status, e.Reason)
			}
		}
		for _, name := range test.never {
			if e := got[0].Event(name); e.Status != track.NotMeasured || !strings.Contains(e.Reason, test.reason) {
				t.Errorf("%s: %s is %s, reason %q, wanted %q", test.name, name, e.Status, e.Reason, test.reason)
			}
		}
		// A place that is farthest only among those that were seen is none.
		for name, at := range map[string]Place{track.Top: got[0].Top, track.Stop: got[0].Forward} {
			if known := got[0].Event(name).Known(); at.Known != known {
				t.Errorf("%s: %s is known: %v, its place: %v", test.name, name, known, at.Known)
			}
		}
	}
}

func withBall(in Input, impact float64) Input {
	in.Launches = []path.Launch{launched(impact)}
	return in
}

// A hold that the clip's end cuts off is at least.
func TestFindHoldOpen(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 1))
	s := tracktest.Draw(rng, tracktest.Wish{Recoil: true})
	truth := s.Truth()
	end := (truth.Stop + truth.HoldEnd) / 2
	got := mustFind(t, withBall(filmed(s.At, end, rng), truth.Impact))
	e := got[0].Event(track.HoldEnd)
	if e.Status != track.AtLeast || math.Abs(e.T-end) > 0.05 {
		t.Errorf("hold_end is %s at %.3f s, wanted at_least at %.3f", e.Status, e.T, end)
	}
}

// Shifting time, turning the picture round, and a direction that is not known
// must not change the events.
func TestFindInvariance(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 1))
	for range 5 {
		s := tracktest.Draw(rng, tracktest.Wish{Waggle: true, Recoil: true})
		in := filmed(s.At, s.Length, rng)
		base := mustFind(t, in)
		if kinds(base) != "practice" {
			t.Fatalf("got %q, wanted one practice stroke", kinds(base))
		}
		shifted := in
		shifted.Putter.Points = append([]track.Point(nil), in.Putter.Points...)
		for i := range shifted.Putter.Points {
			shifted.Putter.Points[i].T += 3 // a whole number of grid steps
			shifted.Putter.Points[i].X += 0.7
		}
		turned := in
		turned.Putter, turned.DirectionKnown = mirrored(in.Putter), false
		for name, test := range map[string]struct {
			in       Input
			by       float64
			reversed bool
		}{"later and elsewhere": {shifted, 3, false}, "direction not known": {turned, 0, true}} {
			got := mustFind(t, test.in)
			if len(got) != 1 || got[0].Reversed != test.reversed {
				t.Errorf("%s: got %q", name, kinds(got))
				continue
			}
			for _, e := range base[0].Events {
				if d := got[0].Event(e.Name).T - e.T - test.by; e.Status == track.Measured && math.Abs(d) > 2e-4 {
					t.Errorf("%s: %s moved by %.2f ms", name, e.Name, 1e3*d)
				}
			}
		}
	}
}

// Six frames without the sticker at impact leave the events within their
// uncertainty.
func TestFindHiddenAtImpact(t *testing.T) {
	rng := rand.New(rand.NewPCG(61, 1))
	for range 10 {
		s := tracktest.Draw(rng, tracktest.Wish{Recoil: true})
		truth := s.Truth()
		in := withBall(filmed(s.At, s.Length, rng), truth.Impact)
		in.Putter = tracktest.Hide(in.Putter, truth.Impact-0.05, truth.Impact+0.05)
		got := mustFind(t, in)
		if kinds(got) != "putt" {
			t.Fatalf("got %q, wanted a putt", kinds(got))
		}
		for name, want := range map[string]float64{track.Start: truth.Start, track.Top: truth.Top, track.Impact: truth.Impact, track.Stop: truth.Stop} {
			if e := got[0].Event(name); e.Status != track.Measured || math.Abs(e.T-want) > 3.5*e.U {
				t.Errorf("%s: %s at %.4f s (u %.4f), wanted %.4f", name, e.Status, e.T, e.U, want)
			}
		}
	}
}

// A hole of a fifth of a second on the way back leaves the start measured; one in which
// the putter may have come back to its address does not.
func TestFindHiddenOnTheWayBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(62, 1))
	far := 0
	for range 10 {
		s := tracktest.Draw(rng, tracktest.Wish{Recoil: true})
		truth := s.Truth()
		late := truth.Top - 0.06
		in := withBall(filmed(s.At, s.Length, rng), truth.Impact)
		whole := in.Putter
		in.Putter = tracktest.Hide(whole, late-0.18, late)
		if x, _ := s.At(late - 0.2); x < -0.1 {
			far++
		} else {
			continue // it may have come back and gone again at 1 m/s
		}
		got := mustFind(t, in)
		if e := got[0].Event(track.Start); e.Status != track.Measured || math.Abs(e.T-truth.Start) > 3.5*e.U {
			t.Errorf("%s at %.4f s (u %.4f, %s), wanted %.4f", e.Status, e.T, e.U, e.Reason, truth.Start)
		}
		in.Putter = tracktest.Hide(whole, truth.Start-0.05, truth.Start+0.13)
		for _, s := range mustFind(t, in) {
			if e := s.Event(track.Start); e.Status == track.Measured {
				t.Errorf("start hidden: measured at %.4f s, wanted it refused (truth %.4f)", e.T, truth.Start)
			}
		}
	}
	if far < 5 {
		t.Errorf("%d strokes were far enough back, wanted 5", far)
	}
}

// A ball that seems to leave 30 ms early contradicts the putter: both are kept,
// a warning says so, and the uncertainty grows.
func TestFindWitnessesDisagree(t *testing.T) {
	rng := rand.New(rand.NewPCG(71, 1))
	s := tracktest.Draw(rng, tracktest.Wish{})
	truth := s.Truth()
	good := mustFind(t, withBall(filmed(s.At, s.Length, rng), truth.Impact))[0]
	bad := mustFind(t, withBall(filmed(s.At, s.Length, rng), truth.Impact-0.03))[0]
	if warned(good, WarnWitnesses) || !warned(bad, WarnWitnesses) {
		t.Errorf("warnings %v and %v, wanted one in the second", good.Warnings, bad.Warnings)
	}
	e := bad.Event(track.Impact)
	if len(e.Witnesses) < 2 || e.U < 5*good.Event(track.Impact).U {
		t.Errorf("impact with %d witnesses, u %.4f s; agreeing ones give %.4f", len(e.Witnesses), e.U, good.Event(track.Impact).U)
	}
}

func warned(s Stroke, code string) bool {
	for _, w := range s.Warnings {
		if w.Code == code {
			return true
		}
	}
	return false
}

// Without a good ball the putter's own witnesses must find impact to half a
// frame: not knowing the gap to 12 mm is 6 ms at 1 m/s.
func TestFindImpactByPutter(t *testing.T) {
	rng := rand.New(rand.NewPCG(81, 1))
	var errors []float64
	inside := 0
	for range 40 {
		s := tracktest.Draw(rng, tracktest.Wish{Tremor: true})
		in := filmed(s.At, s.Length, rng)
		in.Launches = []path.Launch{{T: s.Impact + 0.02*rng.NormFloat64(), UT: 0.02, Speed: 2}}
		e := mustFind(t, in)[0].Event(track.Impact)
		errors = append(errors, e.T-s.Impact)
		if math.Abs(e.T-s.Impact) < 1.96*e.U {
			inside++
		}
	}
	q := tracktest.Quantile(errors, 0.95)
	t.Logf("95%% within %.2f ms, inside u95 %d of 40", 1e3*q, inside)
	if q > 0.5/60 || inside < 36 {
		t.Errorf("95 %% within %.2f ms, wanted 8.3; inside u95 %d of 40", 1e3*q, inside)
	}
}

// A waggle that ends a few millimetres off is no rest, however coarse the picture.
func TestStillSinceTheWaggle(t *testing.T) {
	for _, noise := range []float64{0.05, 0.5, 0.8, 1} {
		s := tracktest.Draw(rand.New(rand.NewPCG(4, 4)), tracktest.Wish{})
		at := func(t float64) (float64, float64) {
			x, y := s.At(math.Max(0, t-1.2))
			return x + 0.0025*math.Max(0, math.Min(1, 6-10*t)), y
		}
		c := tracktest.Camera{Rate: 60, PxPerM: 300, Noise: noise, Exposure: 0.003}
		in := Input{Putter: c.Film(track.Putter, at, s.Length+1.2, rand.New(rand.NewPCG(8, 1))), FrameInterval: 1.0 / 60, DirectionKnown: true}
		found := mustFind(t, in)
		if len(found) != 1 {
			t.Fatalf("noise %g px: %d strokes, want 1", noise, len(found))
		}
		if a := found[0].Address; a.FromStart || math.Abs(a.StillFrom-0.55) > 0.05+2*a.UStill {
			t.Errorf("noise %g px: still since %.3f s +- %.3f (%v), want 0.5 to 0.6", noise, a.StillFrom, 2*a.UStill, a.FromStart)
		}
	}
}
