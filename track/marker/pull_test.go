package marker

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
)

// A spot that swings by 0.2 m at 400 px/m, drawn by a codec that shifts it by whole
// steps and codes of the rest, coefficient by coefficient, the more the larger it is:
// half of one as large as soft. Noise is what else the places err by, all px.
func drawnInSteps(step, soft, noise float64, n int) (*Spot, [][2]float64) {
	rng := rand.New(rand.NewPCG(3, 4))
	s := &Spot{seen: n}
	var place [][2]float64
	var px, py float64
	drawn := func(before, at float64) float64 {
		shifted := before + step*math.Round((at-before)/step)
		if rest := at - shifted; rest != 0 {
			return shifted + rest*sq(rest)/(sq(rest)+sq(soft))
		}
		return at
	}
	for i := range n {
		t := float64(i) / 60
		x, y := 500+80*math.Sin(4*t), 300+30*math.Cos(4*t)
		place = append(place, [2]float64{x, y})
		if i == 0 {
			px, py = x, y
		}
		px, py = drawn(px, x), drawn(py, y)
		nx, ny := noise*rng.NormFloat64(), noise*rng.NormFloat64()
		own := func() float64 { return 0.02 * rng.NormFloat64() }
		s.samples = append(s.samples, track.Sample{Frame: i, T: t, Seen: true, U: 0.08, X: px + nx + own() - 0.5, Y: py + ny + own() - 0.5})
		s.details = append(s.details, detail{luma: lumaPlace{u: 0.08, x: px + nx + own(), y: py + ny + own()}, turn: turn{repeated: 0.8}})
	}
	return s, place
}

// offBy is the scatter, px, of a spot's fused places around where it was.
func offBy(tr *Tracker, s *Spot, place [][2]float64) float64 {
	var dx, dy []float64
	for i, p := range tr.fused(s, tr.against(s)) {
		dx, dy = append(dx, p.X-place[i][0]), append(dy, p.Y-place[i][1])
	}
	mx, my, sum := mean(dx), mean(dy), 0.0
	for i := range dx {
		sum += sq(dx[i]-mx) + sq(dy[i]-my)
	}
	return math.Sqrt(sum / float64(2*len(dx)))
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

func TestWaysAreNotPulledTowardWholeSteps(t *testing.T) {
	for _, c := range []struct{ step, soft, noise, most float64 }{
		{1, 0.2, 0.03, 0.8}, // a quick search
		{1, 0.2, 0.05, 0.95},
		{0.5, 0.1, 0.02, 0.9},
		{0.25, 0.1, 0.05, 1.03}, // hardly any of so little is coded: nothing is told
		{1, 0, 0.1, 1.03},       // no codec, or a good one: nothing to put right
	} {
		tr := New(DefaultOptions(), 1920, 1080)
		s, place := drawnInSteps(c.step, c.soft, c.noise, 240)
		before := offBy(tr, s, place)
		after := offBy(tr, s.unpulled(tr.fused(s, tr.against(s)), nil), place)
		t.Logf("step %g, soft %g, noise %g: off by %.3f px, then %.3f", c.step, c.soft, c.noise, before, after)
		if !(after <= c.most*before) {
			t.Errorf("step %g, soft %g, noise %g: off by %.3f px as drawn, %.3f put right, want at most %g of that", c.step, c.soft, c.noise, before, after, c.most)
		}
	}
}

// A codec that codes only a part of what whole steps leave draws ways too near to them:
// that is told. Ways drawn a little too far from them no codec's steps make: nothing is
// put right, as errors of other kinds would be made larger.
func TestNothingPushesAwayFromWholeSteps(t *testing.T) {
	for _, c := range []struct {
		kind      int     // of the steps
		short     float64 // share of what steps leave by which a way is short of it
		low, high float64
	}{
		{0, 0.25, 0.04, 0.12}, // pulled, by an eighth of a step at most
		{2, 0.4, 0.015, 0.05},
		{0, -0.1, 0, 0}, // pushed
		{2, -0.1, 0, 0},
	} {
		step := pullSteps[c.kind]
		rng := rand.New(rand.NewPCG(5, 6))
		var seen []track.Sample
		var px, py float64
		for i := range 240 {
			at := float64(i) / 60
			x, y := 500+80*math.Sin(4*at), 300+30*math.Cos(4*at)
			drawn := func(way float64) float64 {
				return 0.01*rng.NormFloat64() - c.short*(way-step*math.Round(way/step))
			}
			seen = append(seen, track.Sample{Frame: i, T: at, Seen: true, X: x + drawn(x-px), Y: y + drawn(y-py)})
			px, py = seen[i].X, seen[i].Y
		}
		if p := learnPull(seen, waysOf(seen, nil))[c.kind]; p < c.low || p > c.high {
			t.Errorf("steps of %g px, short by %g of the rest: told %.3f px, want %g to %g", step, c.short, p, c.low, c.high)
		}
	}
}
