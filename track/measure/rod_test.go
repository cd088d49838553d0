package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
)

// A rod on the ground, of which the side toward the camera is seen, is projected by a
// camera that is turned, tilted and rolled; scale and turn of the line at the height of
// the ball's centre must come back within their uncertainties, and the scale within
// 0.6 %.
func TestRodScale(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	const n = 300
	scaleIn, yawIn := 0, 0
	worst := 0.0
	for range n {
		yaw := (2*rng.Float64() - 1) * 3 * math.Pi / 180
		tilt := (2 + 12*rng.Float64()) * math.Pi / 180
		roll := (2*rng.Float64() - 1) * 2 * math.Pi / 180
		distance, focal := 2.5+2*rng.Float64(), 1500.0
		radius := 0.004 + 0.006*rng.Float64()
		lower, nearer := 0.0214-radius, radius*math.Pi/4 // the mean of a half circle's width
		// see is where a point s m along the rod is seen: the camera looks at the ball's
		// centre, s = 0, from a distance, turned about it.
		see := func(s float64) (x, y, depth float64) {
			right, away := s*math.Cos(yaw), s*math.Sin(yaw)
			depth = distance + away*math.Cos(tilt) + lower*math.Sin(tilt) - nearer
			px, py := focal*right/depth, focal*(lower*math.Cos(tilt)-away*math.Sin(tilt))/depth
			return px*math.Cos(roll) - py*math.Sin(roll), px*math.Sin(roll) + py*math.Cos(roll), depth
		}
		d := [2]float64{0.3 + 0.15*rng.Float64(), 0.3 + 0.15*rng.Float64()}
		middle := 0.1 * (2*rng.Float64() - 1)
		b := Bands{U: 0.15, Distances: d}
		x0, y0, _ := see(middle - d[0])
		x1, y1, _ := see(middle + d[1])
		length := math.Hypot(x1-x0, y1-y0)
		along := func(s float64) float64 {
			x, y, _ := see(s)
			return ((x-x0)*(x1-x0) + (y-y0)*(y1-y0)) / length
		}
		for i, s := range [3]float64{middle - d[0], middle, middle + d[1]} {
			if i != 1 {
				s += 0.001 * (rng.Float64() + rng.Float64() - 1) // the coach's tape: marked and read
			}
			b.Along[i] = along(s) + b.U*rng.NormFloat64()
		}
		b.Ball = along(0)
		far := Quantity{3.5, 0.58}
		got, turn, err := RodScale(b, far, 3*math.Pi/180)
		if err != nil {
			t.Fatal(err)
		}
		turn = AtAnyDistance(turn, far)
		want := focal / distance
		worst = math.Max(worst, math.Abs(got.PxPerM/want-1))
		if math.Abs(got.PxPerM-want) < 2*got.U {
			scaleIn++
		}
		if math.Abs(turn.Value-yaw) < 2*turn.U {
			yawIn++
		}
		if got.From != track.RulerRod || got.U > 0.003*got.PxPerM {
			t.Fatalf("scale %+v, want one from the rod known to 0.3 %%", got)
		}
	}
	if worst > 0.006 {
		t.Errorf("the scale was off by up to %.2f %%, want at most 0.6 %%", 100*worst)
	}
	for name, in := range map[string]int{"scales": scaleIn, "turns": yawIn} {
		if share := float64(in) / n; share < 0.9 {
			t.Errorf("%.0f %% of %d %s lie within two standard uncertainties", 100*share, n, name)
		}
	}
}

func TestRodScaleRefuses(t *testing.T) {
	if s, _, err := RodScale(Bands{Along: [3]float64{math.NaN(), 1, 2}, U: 0.1, Distances: [2]float64{0.4, 0.4}}, Quantity{3, 0.5}, 0.05); err == nil {
		t.Errorf("got %+v of bands that were not seen", s)
	}
}
