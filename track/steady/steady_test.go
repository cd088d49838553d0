package steady

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
)

// scene is a textured wall; the camera may be shifted and a figure may stand
// before its middle.
func scene(index int, shiftX, shiftY float64, figureX int) *track.Frame {
	const w, h = 640, 360
	f := &track.Frame{Index: index, T: float64(index) / 4, Width: w, Height: h, Y: make([]byte, w*h), U: make([]byte, w*h/4), V: make([]byte, w*h/4)}
	rng := rand.New(rand.NewPCG(5, 6))
	var waves [24][4]float64
	for i := range waves {
		waves[i] = [4]float64{rng.Float64() * 0.25, rng.Float64() * 0.25, rng.Float64() * 7, 2 + 5*rng.Float64()}
	}
	for y := 0; y < h; y++ {
		for x := 0; x < w; x++ {
			v := 120.0
			for _, a := range waves {
				v += a[3] * math.Sin(a[0]*(float64(x)-shiftX)+a[1]*(float64(y)-shiftY)+a[2])
			}
			if figureX > 0 && x > figureX && x < figureX+80 && y > 60 {
				v = 40
			}
			f.Y[y*w+x] = byte(math.Max(16, math.Min(235, v)))
		}
	}
	return f
}

func TestShift(t *testing.T) {
	for _, c := range []struct {
		name   string
		frames []*track.Frame
		want   float64
		lively bool
	}{
		{"tripod, empty room", []*track.Frame{scene(0, 0, 0, 0), scene(1, 0, 0, 0), scene(2, 0, 0, 0)}, 0, false},
		{"tripod, player moves", []*track.Frame{scene(0, 0, 0, 250), scene(1, 0, 0, 280), scene(2, 0, 0, 300)}, 0, true},
		{"camera drifts", []*track.Frame{scene(0, 0, 0, 250), scene(1, 3, 1, 280), scene(2, 6, 2, 300)}, math.Hypot(6, 2), true},
	} {
		w := New(DefaultOptions())
		for _, f := range c.frames {
			if err := w.Next(f); err != nil {
				t.Fatal(err)
			}
		}
		if got, ok := w.Shift(); !ok || math.Abs(got-c.want) > 0.6 {
			t.Errorf("%s: shift %.2f px (seen %v), want %.2f", c.name, got, ok, c.want)
		}
		if w.Lively() != c.lively {
			t.Errorf("%s: lively is %v", c.name, w.Lively())
		}
		w.Close()
	}
}

// A card that was held up before the watch begins moves nothing.
func TestFrom(t *testing.T) {
	for from, want := range map[float64]float64{0: 8, 0.2: 0} {
		o := DefaultOptions()
		o.From = from
		w := New(o)
		for _, f := range []*track.Frame{scene(0, 8, 0, 0), scene(1, 0, 0, 0), scene(2, 0, 0, 0)} {
			if err := w.Next(f); err != nil {
				t.Fatal(err)
			}
		}
		if got, ok := w.Shift(); !ok || math.Abs(got-want) > 0.6 {
			t.Errorf("watched from %v s: shift %.2f px (seen %v), want %v", from, got, ok, want)
		}
		w.Close()
	}
}

// lit is a frame under other light: so much more of it, and shade with a soft edge
// over the picture from a column on.
func lit(f *track.Frame, gain float64, shadeFrom int) *track.Frame {
	for y := 0; y < f.Height; y++ {
		for x := 0; x < f.Width; x++ {
			shade := 1 / (1 + math.Exp(-float64(x-shadeFrom)/6))
			v := (float64(f.Y[y*f.Width+x]) - 16) * gain * (1 - 0.3*shade)
			f.Y[y*f.Width+x] = byte(math.Max(16, math.Min(235, 16+v)))
		}
	}
	return f
}

// A shadow wanders over the wall, and the phone opens up meanwhile until the wall is
// cut off here and there: the camera stands.
func TestLightIsNoMotion(t *testing.T) {
	w := New(DefaultOptions())
	defer w.Close()
	for i := range 8 {
		if err := w.Next(lit(scene(i, 0, 0, 250), 1+0.12*float64(i), 620-90*i)); err != nil {
			t.Fatal(err)
		}
	}
	if got, ok := w.Shift(); !ok || got > 0.6 {
		t.Errorf("shift %.2f px (seen %v), want none", got, ok)
	}
}

func TestCommonStep(t *testing.T) {
	scattered := [][2]float64{{9, 0}, {-8, 1}, {0, 7}, {4, -6}, {-3, -9}, {5, 5}, {-7, 6}, {12, 2}, {2, 12}, {-12, -3}}
	still := make([][2]float64, 12)
	for _, c := range []struct {
		name  string
		steps [][2]float64
		want  float64
		ok    bool
	}{
		{"all alike", still, 0, true},
		{"some go with a passer-by", append(append([][2]float64{}, still...), scattered...), 0, true},
		{"each goes its way", scattered, 0, false},
		{"too few", still[:7], 0, false},
	} {
		if got, ok := common(c.steps, 8); ok != c.ok || ok && math.Abs(got-c.want) > 0.1 {
			t.Errorf("%s: %.1f px, %v", c.name, got, ok)
		}
	}
}
