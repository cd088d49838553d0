package bench

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"strokereel/pipeline/demo"
)

// For samples that change evenly with the place, weighted least squares reaches
// the bound; so its scatter over many noisy pictures is the bound.
func TestCramerRaoIsTheScatterOfTheBestEstimate(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	samples := make([]demo.Slope, 200)
	for i := range samples {
		samples[i] = demo.Slope{Right: 20 * rng.NormFloat64(), Down: 8*rng.NormFloat64() + 5, Noise: 0.5 + 2*rng.Float64()}
	}
	var xx, xy, yy float64
	for _, s := range samples {
		v := s.Noise*s.Noise + 1.0/12
		xx, xy, yy = xx+s.Right*s.Right/v, xy+s.Right*s.Down/v, yy+s.Down*s.Down/v
	}
	const runs = 4000
	sum := 0.0
	for range runs {
		var gx, gy float64
		for _, s := range samples {
			v := s.Noise*s.Noise + 1.0/12
			e := rng.NormFloat64() * math.Sqrt(v)
			gx, gy = gx+s.Right*e/v, gy+s.Down*e/v
		}
		det := xx*yy - xy*xy
		x, y := (yy*gx-xy*gy)/det, (xx*gy-xy*gx)/det
		sum += (x*x + y*y) / 2
	}
	got, want := cramerRao(samples[:120], samples[120:]), math.Sqrt(sum/runs)
	if math.Abs(got/want-1) > 0.05 {
		t.Errorf("bound %.5f px, scatter %.5f px", got, want)
	}
}

func TestBoundSplitsTheCodecsShare(t *testing.T) {
	b := Bound{Frames: []BoundFrame{
		{Frame: 0, Least: 0.01, Bare: [2]float64{0.012, -0.012}, Coded: [2]float64{0.02, 0.02}},
		{Frame: 4, Least: 0.01, Bare: [2]float64{-0.012, 0.012}, Coded: [2]float64{-0.02, 0.02}},
	}}
	if r := b.Ratio(); math.Abs(r-1.2) > 1e-9 {
		t.Errorf("ratio %v, want 1.2", r)
	}
	if c := b.Codec(); math.Abs(c-0.016) > 1e-9 {
		t.Errorf("the codec's share is %v px, want 0.016", c)
	}
}

func TestUncodedStandsBesideCoded(t *testing.T) {
	speed := func(off float64) Value {
		return Value{Name: "impact_speed", Got: 1.5 * (1 + off), Truth: 1.5, U95: 0.03, Reported: true}
	}
	var out strings.Builder
	PrintUncoded(&out, []Clip{
		{Measures: []Value{speed(0.03)}, Bound: &Bound{Values: []Value{speed(0.01)}}},
		{Measures: []Value{speed(0.2)}}, // without a bound
	})
	if got := strings.Join(strings.Fields(out.String()), " "); !strings.Contains(got, "impact_speed: p95 / limit 0.50 1.50") {
		t.Errorf("got %q", got)
	}
}

func TestOthersCountWhatTheyLose(t *testing.T) {
	o := Other{Frames: 10, Held: 8, SumSq: 2}
	if o.RMS() != 0.5 || math.Abs(o.Lost()-0.2) > 1e-12 {
		t.Errorf("rms %v, lost %v", o.RMS(), o.Lost())
	}
	c := Clip{Whole: 4, errors: map[int][2]float64{1: {3, 4}, 2: {3, 4.1}, 3: {0, 0}}}
	if o := ours(c); o.Held != 2 || o.SumSq != 12.5 || o.Lost() != 0.5 {
		t.Errorf("of four frames, one unseen and one 5.1 px off: %+v", o)
	}
}
