package roll

import "fmt"

// Budget is what a putt asks of a player.
type Budget struct {
	Distance  float64  // m; 0 for a ball speed on whatever green
	BallSpeed Estimate // m/s
	HeadSpeed Estimate // m/s
	Back      Estimate // m, as this player strikes
	Through   Estimate // m
	DownTime  Estimate // s
	BackTime  Estimate // s, by the player's tempo
	// Acceleration is the mean one of the downstroke, head speed over its time,
	// m/s^2.
	Acceleration Estimate
}

// Budget is what a putt of a distance (m) on a green asks of the player. What was
// never measured of the player stays unknown.
func (p Player) Budget(g Green, distance float64) (Budget, error) {
	v, err := g.Speed(distance)
	if err != nil {
		return Budget{}, err
	}
	b := p.For(v)
	b.Distance = distance
	return b, nil
}

// For is what a ball speed (m/s) asks of the player, on whatever green.
func (p Player) For(v Estimate) Budget {
	b := Budget{BallSpeed: v, HeadSpeed: times(power{v, 1}, power{p.Ratio, -1})}
	if p.Strokes > 0 {
		b.Back = p.back.at(v)
	}
	if p.hasThrough {
		b.Through = p.through.at(v)
	}
	if p.hasDown {
		b.DownTime = p.down.at(v)
		b.BackTime = times(power{b.DownTime, 1}, power{p.Tempo, 1})
		b.Acceleration = times(power{b.HeadSpeed, 1}, power{b.DownTime, -1})
	}
	return b
}

// Shorter is the budget with a shorter backstroke (m) for the same ball: the
// downstroke has to take less time, by the player's own gain,
//
//	time = gain length / head speed.
//
// A constant acceleration has a gain of 2, a quarter of a swing of a pendulum
// pi/2; tour means give 1.99 (Marquardt 2007, Annual Review of Golf Coaching,
// 101-114, as quoted).
func (p Player) Shorter(b Budget, back Estimate) (Budget, error) {
	if !(back.Value >= 0.02 && back.Value <= 2) {
		return Budget{}, fmt.Errorf("a backstroke must be between 2 cm and 2 m (got %g m)", back.Value)
	}
	if !p.Gain.Known() || !b.HeadSpeed.Known() {
		return Budget{}, fmt.Errorf("what a backstroke of %.0f cm takes needs a stroke of the player with downstroke time and head speed", 100*back.Value)
	}
	b.Back = back
	b.DownTime = times(power{p.Gain, 1}, power{back, 1}, power{b.HeadSpeed, -1})
	b.BackTime = times(power{b.DownTime, 1}, power{p.Tempo, 1})
	// Head speed over time, written so that the head speed counts once.
	b.Acceleration = times(power{b.HeadSpeed, 2}, power{p.Gain, -1}, power{back, -1})
	return b, nil
}

// WithRatio is the budget with a wanted ratio of follow-through and backstroke:
// the follow-through stays the player's own, the backstroke follows from it.
func (p Player) WithRatio(b Budget, throughToBack float64) (Budget, error) {
	if !(throughToBack >= 0.2 && throughToBack <= 5) {
		return Budget{}, fmt.Errorf("a ratio of follow-through and backstroke must be between 0.2 and 5 (got %g)", throughToBack)
	}
	if !b.Through.Known() {
		return Budget{}, fmt.Errorf("a ratio of %g needs a stroke of the player with its follow-through", throughToBack)
	}
	return p.Shorter(b, times(power{b.Through, 1}, power{Exactly(throughToBack), -1}))
}
