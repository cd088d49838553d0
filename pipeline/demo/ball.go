package demo

import "math"

const (
	gravity     = 9.81
	foot        = 0.3048
	releaseRoll = 1.83 // m/s, speed at which the green-speed ramp lets a ball go (6 ft/s)
	ballStep    = 1e-4 // s
)

// roll is the ball's run after the impact, integrated in small steps: it skids
// under friction until its spin has caught up with its speed, then rolls.
type roll struct {
	x, spin []float64 // m from the start and radians turned, one per ballStep
	speed   float64   // m/s at separation
	skid    float64   // s until it rolls
}

func newRoll(b Ball, headSpeed, duration float64) roll {
	radius := b.Diameter / 2
	speed := b.Ratio * headSpeed
	slow := releaseRoll * releaseRoll / (2 * b.GreenSpeed * foot)
	r := roll{speed: speed, skid: -1}
	v, w := speed, b.SpinShare*speed/radius
	var x, turn float64
	for i := 0; float64(i)*ballStep < duration; i++ {
		r.x, r.spin = append(r.x, x), append(r.spin, turn)
		v0, w0 := v, w
		if r.skid < 0 {
			v -= b.Friction * gravity * ballStep
			w += 2.5 * b.Friction * gravity / radius * ballStep
			if v <= w*radius {
				r.skid = float64(i+1) * ballStep
			}
		} else {
			v = math.Max(0, v-slow*ballStep)
			w = v / radius
		}
		x += (v0 + v) / 2 * ballStep
		turn += (w0 + w) / 2 * ballStep
	}
	return r
}

// at gives distance run and angle turned, a time after the impact.
func (r roll) at(t float64) (x, spin float64) {
	if t <= 0 || len(r.x) < 2 {
		return 0, 0
	}
	f := math.Min(t/ballStep, float64(len(r.x)-1)-1e-9)
	i := int(f)
	k := f - float64(i)
	return r.x[i] + k*(r.x[i+1]-r.x[i]), r.spin[i] + k*(r.spin[i+1]-r.spin[i])
}
