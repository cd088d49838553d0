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
}

// at returns where the ball is at t.
func (m rollModel) at(f rollFit, t float64) float64 {
	tau := t - f.t0
	if tau <= 0 {
		return f.rest
	}
	skidTime := f.speed * (1 - m.share) / m.skid
	if tau < skidTime {
		return f.rest + tau*(f.speed-m.skid*tau/2)
	}
	rolling := math.Min(tau-skidTime, m.share*f.speed/f.roll)
	return f.rest + skidTime*(f.speed-m.skid*skidTime/2) + rolling*(m.share*f.speed-f.roll*rolling/2)
}

// slopes returns the derivatives of at with respect to t0, speed, roll and rest,
// for t after t0.
func (m rollModel) slopes(f rollFit, t float64) [4]float64 {
	tau := t - f.t0
	skidTime := f.speed * (1 - m.share) / m.skid
	if tau < skidTime {
		return [4]float64{m.skid*tau - f.speed, tau, 0, 1}
	}
	start := m.share * f.speed // speed when rolling starts
	perSpeed := (1 - m.share) / m.skid
	rolling, full := tau-skidTime, start/f.roll
	if rolling >= full { // it lies still again
		return [4]float64{0, skidTime + perSpeed*start + m.share*full, -full * full / 2, 1}
	}
	return [4]float64{
		f.roll*rolling - start,
		skidTime + m.share*rolling + perSpeed*f.roll*rolling,
		-rolling * rolling / 2,
		1,
	}
}
