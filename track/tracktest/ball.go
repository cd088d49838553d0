package tracktest

import (
	"math"
	"math/rand/v2"
)

// BallRadius is the radius of the simulated ball, m.
const BallRadius = 0.0214

// Ball is a struck ball on level ground, integrated step by step from forces and
// torque on a sphere.
type Ball struct {
	Impact, Speed float64 // s, m/s
	Friction      float64 // 1, sliding
	Decel         float64 // m/s^2, rolling
	Spin          float64 // rad/s, forward positive, at launch
}

// DrawBall draws a ball struck at a moment with a speed: spin from a little
// backspin to half of pure rolling, a green of 7 to 12 ft.
func DrawBall(rng *rand.Rand, impact, speed float64) Ball {
	return Ball{
		Impact: impact, Speed: speed,
		Friction: 0.2 + 0.3*rng.Float64(),
		Decel:    18 * 0.3048 / (7 + 5*rng.Float64()),
		Spin:     (rng.Float64()*0.6 - 0.1) * speed / BallRadius,
	}
}

// Roll returns the ball's distance from its place as a function of time.
func (b Ball) Roll(seconds float64) func(t float64) float64 {
	x, v, w := 0.0, b.Speed, b.Spin
	out := make([]float64, int(seconds/tick)+2)
	for i := range out {
		t := float64(i) * tick
		out[i] = x
		if t+tick <= b.Impact {
			continue
		}
		dt := math.Min(tick, t+tick-b.Impact)
		slip := v - w*BallRadius
		switch {
		case v <= 0:
			v = 0
		case math.Abs(slip) > 0.004:
			s := math.Copysign(1, slip)
			v -= s * b.Friction * 9.81 * dt
			w += s * 5 * b.Friction * 9.81 / (2 * BallRadius) * dt
		default:
			v -= b.Decel * dt
			w = v / BallRadius
		}
		x += math.Max(v, 0) * dt
	}
	return func(t float64) float64 {
		f := t / tick
		i := max(0, min(len(out)-2, int(f)))
		return out[i] + math.Min(1, f-float64(i))*(out[i+1]-out[i])
	}
}
