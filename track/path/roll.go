package path

import "math"

// rollModel is a struck ball on level ground: it slides with a constant
// deceleration until its speed has fallen to share*speed, then rolls with a
// smaller one until it stops. A share of 1 is a ball that rolls at once. (Sphere
// with sliding friction: Penner, Can. J. Phys. 80, 2002, 83, from memory.)
type rollModel struct {
	skid  float64 // m/s^2, deceleration while sliding
	share float64 // 1, speed when pure rolling starts over launch speed
}

// rollFit are the fitted numbers of one rollModel.
type rollFit struct {
	t0    float64 // s, the moment it was struck
	speed float64 // m/s
	roll  float64 // m/s^2, deceleration while rolling
	rest  float64 // m, where it lay
	bend  float64 // 1/m, loss of scale per metre when the line leads away from the camera
}

// parameters of a rollFit, in the order of its fields.
const parameters = 5

// at returns where the ball is seen at t.
func (m rollModel) at(f rollFit, t float64) float64 {
	s := m.rolled(f, t)
	return f.rest + s - f.bend*s*s
}

// rolled returns how far the ball has come at t.
func (m rollModel) rolled(f rollFit, t float64) float64 {
	tau := t - f.t0
	if tau <= 0 {
		return 0
	}
	skidTime := f.speed * (1 - m.share) / m.skid
	if tau < skidTime {
		return tau * (f.speed - m.skid*tau/2)
	}
	rolling := math.Min(tau-skidTime, m.share*f.speed/f.roll)
	return skidTime*(f.speed-m.skid*skidTime/2) + rolling*(m.share*f.speed-f.roll*rolling/2)
}

// slopes returns the derivatives of at with respect to the parameters, for t
// after t0.
func (m rollModel) slopes(f rollFit, t float64) [parameters]float64 {
	s := m.rolled(f, t)
	seen := 1 - 2*f.bend*s
	d := m.rolledSlopes(f, t-f.t0)
	return [parameters]float64{d[0] * seen, d[1] * seen, d[2] * seen, 1, -s * s}
}

// rolledSlopes returns the derivatives of rolled with respect to t0, speed and
// roll.
func (m rollModel) rolledSlopes(f rollFit, tau float64) [3]float64 {
	skidTime := f.speed * (1 - m.share) / m.skid
	if tau < skidTime {
		return [3]float64{m.skid*tau - f.speed, tau, 0}
	}
	start := m.share * f.speed // speed when rolling starts
	perSpeed := (1 - m.share) / m.skid
	rolling, full := tau-skidTime, start/f.roll
	if rolling >= full { // it lies still again
		return [3]float64{0, skidTime + perSpeed*start + m.share*full, -full * full / 2}
	}
	return [3]float64{
		f.roll*rolling - start,
		skidTime + m.share*rolling + perSpeed*f.roll*rolling,
		-rolling * rolling / 2,
	}
}
