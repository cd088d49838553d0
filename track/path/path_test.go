package path

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"strokereel/track"
)

// The same putt, to the right, to the left and in a rolled picture, has the same
// metres: x toward the target, y up.
func TestInMetres(t *testing.T) {
	roll := 2 * math.Pi / 180
	for name, f := range map[string]PuttFrame{
		"to the right":           {OriginX: 600, OriginY: 900, DirX: 1, DirY: 0},
		"to the left":            {OriginX: 600, OriginY: 900, DirX: -1, DirY: 0},
		"to the right, rolled":   {OriginX: 600, OriginY: 900, DirX: math.Cos(roll), DirY: math.Sin(roll)},
		"to the left and rolled": {OriginX: 600, OriginY: 900, DirX: -math.Cos(roll), DirY: -math.Sin(roll)},
	} {
		f.Scale = track.Scale{PxPerM: 500}
		if err := f.Validate(); err != nil {
			t.Fatal(err)
		}
		// 0.2 m toward the target and 0.05 m up, drawn by hand: up in the
		// picture is the direction turned a quarter against the way y runs.
		turn := 1.0
		if f.DirX < 0 {
			turn = -1
		}
		px := f.OriginX + 100*f.DirX + turn*25*f.DirY
		py := f.OriginY + 100*f.DirY - turn*25*f.DirX
		p := InMetres(track.Track{Object: track.Putter, Samples: []track.Sample{{T: 1, X: px, Y: py, U: 0.1, Seen: true}, {Frame: 1, T: 2, X: 5, U: 7}}}, f)
		q := p.Points[0]
		if math.Abs(q.X-0.2) > 1e-12 || math.Abs(q.Y-0.05) > 1e-12 || math.Abs(q.U-0.0002) > 1e-12 {
			t.Errorf("%s: got %.4f %.4f (u %.5f), wanted 0.2 0.05 (0.0002)", name, q.X, q.Y, q.U)
		}
		if q := p.Points[1]; q.Seen || q.X != 0 || q.U != 0 || q.T != 2 || q.Frame != 1 {
			t.Errorf("%s: an unseen sample became %+v", name, q)
		}
	}
	for _, f := range []PuttFrame{{DirX: 1}, {DirX: 1, DirY: 1, Scale: track.Scale{PxPerM: 500}}} {
		if f.Validate() == nil {
			t.Errorf("%+v passes", f)
		}
	}
}

// swinging is a smooth motion with a step of speed at 1 s.
func swinging(t float64) float64 {
	if t < 1 {
		return 1.5 * (t - 1) * (1 + 0.3*(t-1))
	}
	return 1.1 * (t - 1) * math.Exp(-(t - 1))
}

func sampled(rate, seconds, noise float64, rng *rand.Rand) track.Path {
	p := track.Path{Object: track.Putter}
	for i := 0; float64(i)/rate < seconds; i++ {
		at := float64(i) / rate
		p.Points = append(p.Points, track.Point{Frame: i, T: at, X: swinging(at) + noise*rng.NormFloat64(), Y: noise * rng.NormFloat64(), U: noise, Seen: true})
	}
	return p
}

func TestSmooth(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 3))
	p := sampled(60, 2, 0.0003, rng)
	p.Points[30] = track.Point{Frame: 30, T: p.Points[30].T} // one frame lost
	for i := 90; i < 102; i++ {
		p.Points[i] = track.Point{Frame: i, T: p.Points[i].T} // a hole of 0.2 s
	}
	s, err := Smooth(p, []float64{1}, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	var raw, smooth float64
	for i, q := range s.Points {
		hole := i >= 90 && i < 102
		if q.Seen == hole {
			t.Errorf("frame %d: seen %v", i, q.Seen)
		}
		if !q.Seen {
			continue
		}
		d := q.X - swinging(q.T)
		if math.Abs(d) > 4.5*q.U {
			t.Errorf("frame %d at %.3f s: %.2f mm off with u %.2f mm", i, q.T, 1e3*d, 1e3*q.U)
		}
		if p.Points[i].Seen {
			smooth += d * d
			raw += sq(p.Points[i].X - swinging(q.T))
		}
	}
	if smooth > 0.6*raw {
		t.Errorf("smoothing leaves %.2f of the noise's variance", smooth/raw)
	}
}

func TestWithoutStrays(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 4))
	for _, rate := range []float64{30, 60, 120, 240} {
		p := sampled(rate, 2, 0.0003, rng)
		clean := WithoutStrays(p, DefaultOptions())
		for i, q := range clean.Points {
			if !q.Seen {
				t.Errorf("%g frames/s: honest frame %d at %.3f s was thrown away", rate, i, q.T)
			}
		}
		strays := map[int]bool{int(0.4 * rate): true, int(1.5 * rate): true}
		for i := range strays {
			p.Points[i].Y += 0.05
		}
		for i, q := range WithoutStrays(p, DefaultOptions()).Points {
			if q.Seen == strays[i] {
				t.Errorf("%g frames/s: frame %d seen %v, stray %v", rate, i, q.Seen, strays[i])
			}
		}
		for i := range strays { // a person says that it was there
			p.Points[i].Given = true
			if q := WithoutStrays(p, DefaultOptions()).Points[i]; q != p.Points[i] {
				t.Errorf("%g frames/s: what a person gave became %+v", rate, q)
			}
		}
	}
}

func TestNewCurveRefuses(t *testing.T) {
	for name, points := range map[string][]track.Point{
		"times that fall":   {{T: 1, U: 1, Seen: true}, {T: 0.5, U: 1, Seen: true}},
		"a time not known":  {{T: math.NaN(), U: 1, Seen: true}},
		"no uncertainty":    {{T: 1, Seen: true}},
		"no position":       {{T: 1, X: math.NaN(), U: 1, Seen: true}},
		"a position beyond": {{T: 1, X: math.Inf(1), U: 1, Seen: true}},
	} {
		if _, err := NewCurve(track.Path{Object: track.Putter, Points: points}, nil, 0, DefaultOptions()); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestOptionsValidate(t *testing.T) {
	if err := DefaultOptions().Validate(); err != nil {
		t.Errorf("the defaults: %v", err)
	}
	o := DefaultOptions()
	o.Launch.MinFrames = 2
	if err := o.Validate(); err == nil || !strings.HasPrefix(err.Error(), "launch.min_frames: must be between 4 and 30 (got 2)") {
		t.Errorf("got %v", err)
	}
	if _, err := Smooth(track.Path{}, nil, o); err == nil {
		t.Error("a setting that makes no sense was used")
	}
}
