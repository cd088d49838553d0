package roll

import (
	"errors"
	"fmt"
	"math"
)

const (
	// Gravity is the acceleration of free fall, m/s^2.
	Gravity = 9.81
	// BallRadius is half the least diameter of a ball, 1.680 in (Rules of golf,
	// 2016, Appendix III), m.
	BallRadius = 0.021336
	// FootLength is a foot in metres.
	FootLength = 0.3048
)

// ErrNeverStops says that the slope gives the ball as much speed as the green
// takes.
var ErrNeverStops = errors.New("the ball would not stop on this slope")

// Ball is a ball just after it was struck.
type Ball struct {
	Speed float64 // m/s
	Spin  float64 // rad/s, forward positive
}

// Ground is what a ball rolls on, in the direction it rolls.
type Ground struct {
	Friction     float64 // 1, of a sliding ball
	Deceleration float64 // m/s^2, of a rolling ball on the level
	Slope        float64 // rad, uphill positive
	// SlopeShare is the part of g sin(slope) that slows a rolling ball: 5/7 for
	// a rigid sphere (Penner, Can. J. Phys. 80, 2002, 83, as quoted), 1 when
	// nothing goes into its turning. Which of the two grass comes near is
	// disputed: with 5/7 a ball on a green of 14 ft stops on slopes up to 3.2
	// degrees, with 1 up to 2.3; a chart of the USGA Green Section is quoted as
	// 2.4.
	SlopeShare float64
}

// Rolling is the deceleration of a rolling ball, m/s^2; zero or less when it
// never stops.
func (g Ground) Rolling() float64 {
	return g.Deceleration + g.SlopeShare*Gravity*math.Sin(g.Slope)
}

// Skid is the first part of a ball's way.
type Skid struct {
	Time   float64 // s
	Length float64 // m
	Speed  float64 // m/s, at which it begins to roll
}

// Skid slides the ball until it rolls. Friction slows the centre by mu g and
// turns the sphere by (5/2) mu g / r until v = r w (rigid sphere, textbook). On
// the level that gives
//
//	t = 2 v0 / (7 mu g),  x = 12 v0^2 / (49 mu g),  v = (5 v0 + 2 r w0) / 7,
//
// the last being the well-known 5/7 for a ball without spin (Penner, Can. J.
// Phys. 80, 2002, 83; Cochran and Stobbs 1968; both as quoted). A slope adds its
// own part while it slides. A ball that turns faster than it travels is sped up.
func (g Ground) Skid(b Ball) (Skid, error) {
	slip := b.Speed - BallRadius*b.Spin
	if slip == 0 {
		return Skid{Speed: b.Speed}, nil
	}
	push := math.Copysign(g.Friction*Gravity*math.Cos(g.Slope), slip)
	pull := Gravity * math.Sin(g.Slope)
	t := slip / (3.5*push + pull)
	s := Skid{Time: t, Length: b.Speed*t - (push+pull)*t*t/2, Speed: b.Speed - (push+pull)*t}
	if !(t > 0) || !(s.Speed > 0) {
		return Skid{}, fmt.Errorf("a ball with %g m/s and %g rad/s on this slope never comes to roll forward", b.Speed, b.Spin)
	}
	return s, nil
}

// Way is how far and how long a ball goes.
type Way struct {
	Skid
	Distance float64 // m, in all
	Duration float64 // s, in all
}

// Roll sends the ball on its way: the skid, then v^2 / (2 a).
func (g Ground) Roll(b Ball) (Way, error) {
	if !(g.Rolling() > 0) {
		return Way{}, ErrNeverStops
	}
	s, err := g.Skid(b)
	if err != nil {
		return Way{}, err
	}
	a := g.Rolling()
	return Way{Skid: s, Distance: s.Length + s.Speed*s.Speed/(2*a), Duration: s.Time + s.Speed/a}, nil
}

// Launch is the inverse of Roll: the speed with which a ball of this spin rolls a
// distance. The distance grows with the speed, so it is found by halving.
func (g Ground) Launch(distance, spin float64) (speed float64, err error) {
	if !(g.Rolling() > 0) {
		return 0, ErrNeverStops
	}
	// Rolling at once loses least, so its speed is the least that could do; a
	// ball loses no more than 2/7 of its speed and what its spin takes.
	low := math.Sqrt(2*g.Rolling()*distance) / 4
	high := 2*math.Sqrt(2*g.Rolling()*distance) + math.Abs(BallRadius*spin)
	for range 200 {
		mid := (low + high) / 2
		if mid == low || mid == high {
			break
		}
		w, err := g.Roll(Ball{mid, spin})
		if err == nil && w.Distance > distance {
			high = mid
		} else {
			low = mid
		}
	}
	speed = (low + high) / 2
	w, err := g.Roll(Ball{speed, spin})
	if err != nil {
		return 0, err
	}
	if math.Abs(w.Distance-distance) > 1e-6*distance {
		return 0, fmt.Errorf("no launch speed makes a ball with %g rad/s roll %g m here", spin, distance)
	}
	return speed, nil
}
