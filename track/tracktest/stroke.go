package tracktest

import (
	"math"
	"math/rand/v2"
)

// Stroke is one stroke of a putter's marker in a clip.
type Stroke struct {
	Length  float64 // s of the clip
	Impact  float64 // s
	Gap     float64 // m between face and ball at address
	Speed   float64 // m/s, of the spline just before impact
	Waggled bool

	x      spline
	radius float64
	tremor [2][2]wave // of x and y
	onset  float64
}

type wave struct{ amplitude, omega, phase float64 }

func (w wave) at(t float64) float64 { return w.amplitude * math.Sin(w.omega*t+w.phase) }

// Wish narrows what Draw draws.
type Wish struct {
	Pause, Waggle, Tremor, Recoil bool
}

// Draw draws a stroke. Shapes that are no stroke (a way that is not monotonous)
// are drawn again.
func Draw(rng *rand.Rand, w Wish) Stroke {
	for {
		if s, ok := draw(rng, w); ok {
			return s
		}
	}
}

func draw(rng *rand.Rand, w Wish) (Stroke, bool) {
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	s := Stroke{Gap: in(0, 0.012), radius: in(1.2, 1.6)}
	back, through := in(0.12, 0.45), in(0.15, 0.55)
	tBack, tDown := in(0.5, 1.0), in(0.25, 0.45)
	t := in(1.0, 1.8)
	s.x = spline{{0, 0, 0, 0}}
	if w.Waggle {
		s.Waggled = true
		size := in(0.008, 0.03)
		s.x = append(s.x, knot{t, 0, 0, 0}, knot{t + 0.25, -size, 0, size * 40}, knot{t + 0.5, 0, 0, 0})
		t += 0.5 + in(1.0, 1.3)
	}
	s.onset = t
	turn := in(4, 9) * back / (tBack * tDown) / 3 // m/s^2 at the top
	s.x = append(s.x, knot{t, 0, 0, 0})
	mid := in(0.4, 0.6)
	s.x = append(s.x, knot{t + mid*tBack, -back * (0.5 + in(-0.08, 0.08)), -back / tBack * in(1.3, 1.8), 0})
	t += tBack
	if w.Pause {
		pause := in(0.02, 0.4)
		s.x = append(s.x, knot{t, -back, 0, 0}, knot{t + pause, -back - in(0, 0.0005), 0, 0})
		t += pause
	} else {
		s.x = append(s.x, knot{t, -back, 0, turn})
	}
	t += tDown
	s.Impact, s.Speed = t, (back+s.Gap)/tDown*in(1.4, 2.0)
	if s.Speed < 0.8 || s.Speed > 2.2 {
		return s, false
	}
	lost := in(0.05, 0.3)
	s.x = append(s.x, knot{t, s.Gap, s.Speed, in(-2, 3)}, knot{t, s.Gap, s.Speed * (1 - lost), in(-3, 1)})
	t += through / (s.Speed * (1 - lost)) * in(1.6, 2.4)
	s.x = append(s.x, knot{t, through, 0, -in(0.5, 4)})
	last := s.ending(&t, through, w, in)
	s.Length = math.Max(t, s.Impact+3)
	s.x = append(s.x, knot{s.Length + 1, last, 0, 0})
	if w.Tremor {
		for k := range s.tremor {
			for j := range s.tremor[k] {
				s.tremor[k][j] = wave{in(0.1, 0.25) * 1e-3, 2 * math.Pi * in(5, 9), in(0, 7)}
			}
		}
	}
	return s, s.monotonous()
}

// ending is the hold, and the recoil or release after it.
func (s *Stroke) ending(t *float64, through float64, w Wish, in func(lo, hi float64) float64) float64 {
	settle := in(0.1, 0.2)
	*t += settle
	x := through - in(0, 0.0015)
	s.x = append(s.x, knot{*t, x, 0, 0})
	*t += in(0.2, 2.0)
	x += in(-0.001, 0.001)
	s.x = append(s.x, knot{*t, x, 0, 0})
	if w.Recoil {
		*t += in(0.25, 0.5)
		x -= in(0.01, 0.09)
		s.x = append(s.x, knot{*t, x, 0, 0})
	}
	*t += 0.5
	s.x = append(s.x, knot{*t, x, 0, 0})
	return x
}

// monotonous checks the way back, down and through.
func (s *Stroke) monotonous() bool {
	top := s.onset
	for t := s.onset; t < s.Impact; t += 1e-3 {
		if s.x.at(t) < s.x.at(top) {
			top = t
		}
	}
	stop := s.Impact
	for t := s.Impact; t < s.Impact+3; t += 1e-3 {
		if s.x.at(t) > s.x.at(stop) {
			stop = t
		}
	}
	for t := s.onset; t < stop; t += 2e-3 {
		d := s.x.at(t+2e-3) - s.x.at(t)
		if (t+2e-3 < top && d > 1e-5) || (t > top && t < stop-2e-3 && d < -1e-5) {
			return false
		}
	}
	return true
}

// At returns where the marker is.
func (s *Stroke) At(t float64) (x, y float64) {
	x = s.x.at(t)
	y = s.radius - math.Sqrt(s.radius*s.radius-x*x) + s.tremor[1][0].at(t) + s.tremor[1][1].at(t)
	return x + s.tremor[0][0].at(t) + s.tremor[0][1].at(t), y
}

// TapIn is the shortest stroke there is: 6 cm back, at 0.6 m/s.
func TapIn() Stroke {
	s := Stroke{Length: 5, Impact: 2, Gap: 0.004, Speed: 0.6, radius: 1.4, onset: 1.3}
	s.x = spline{{0, 0, 0, 0}, {1.3, 0, 0, 0}, {1.75, -0.06, 0, 3}, {2, s.Gap, s.Speed, 0}, {2, s.Gap, 0.5, -1}, {2.35, 0.09, 0, -0.5}, {2.5, 0.089, 0, 0}}
	return s
}
