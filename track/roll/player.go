package roll

import (
	"errors"
	"fmt"
	"math"
)

// Stroke is what was measured of one putt; what was not measured has the value 0.
type Stroke struct {
	Back, Through        Quantity // m
	BackTime, DownTime   Quantity // s
	HeadSpeed, BallSpeed Quantity // m/s
}

// Player is how one player's strokes go with the speed of the ball.
type Player struct {
	back, through, down line
	hasThrough, hasDown bool

	Strokes  int      // that have a length and a ball speed
	Several  bool     // lengths were unlike enough to tell how length goes with speed
	Ratio    Estimate // ball speed over head speed
	Measured bool     // the ratio was measured; else it is of usual heads and balls
	Tempo    Estimate // backstroke time over downstroke time
	Gain     Estimate // head speed times downstroke time over backstroke length
}

// Anyone is a player of whom nothing was measured: only the speeds of ball and
// head can be told, the latter by usual heads and balls.
func Anyone(o Options) (Player, error) {
	if err := o.Validate(); err != nil {
		return Player{}, err
	}
	return Player{Ratio: usualRatio(o)}, nil
}

// Steadiness of what a player keeps from stroke to stroke, as relative standard
// deviations: Marquardt 2007, Annual Review of Golf Coaching, 101-114, table 2,
// as quoted, has a tour player's own tempo repeat within 0.11 of 2.1 and head
// speed within 3 %.
const (
	tempoSteadiness = 0.05
	ratioSteadiness = 0.02
	timeSteadiness  = 0.035
)

var errNoStroke = errors.New("a budget needs at least one stroke of the player with backstroke length and ball speed")

// NewPlayer fits a player to strokes.
func NewPlayer(strokes []Stroke, o Options) (Player, error) {
	if err := o.Validate(); err != nil {
		return Player{}, err
	}
	var p Player
	var back, through, down, ratio, tempo, gain []point
	for i, s := range strokes {
		if err := s.check(); err != nil {
			return Player{}, fmt.Errorf("stroke %d: %w", i+1, err)
		}
		back = with(back, s.BallSpeed, s.Back)
		if s.Back.Value > 0 {
			through = with(through, s.BallSpeed, s.Through)
		}
		down = with(down, s.BallSpeed, s.DownTime)
		ratio = with(ratio, s.HeadSpeed, over(s.BallSpeed, s.HeadSpeed))
		tempo = with(tempo, s.DownTime, over(s.BackTime, s.DownTime))
		gain = with(gain, s.Back, over(product(s.HeadSpeed, s.DownTime), s.Back))
	}
	p.Strokes = len(back)
	scatter, weight := o.StrokeScatter/100, o.ScatterWeight
	// Speed is gain times length over time: with a time that goes as speed to the
	// power d, length goes as speed to the power 1 + d.
	length := prior{slope: 1, uSlope: o.TimeDrift, scatter: scatter, weight: weight}
	var ok bool
	if p.back, ok = fitLine(back, length); !ok {
		return Player{}, errNoStroke
	}
	p.through, p.hasThrough = fitLine(through, length)
	p.down, p.hasDown = fitLine(down, prior{slope: 0, uSlope: o.TimeDrift, scatter: timeSteadiness, weight: weight})
	p.Several = p.back.own > 0.5
	steady := func(s float64) prior { return prior{uSlope: 1e-6, scatter: s, weight: weight} }
	p.Tempo = mean(tempo, steady(tempoSteadiness))
	p.Gain = mean(gain, steady(scatter))
	p.Ratio = mean(ratio, steady(ratioSteadiness))
	if p.Measured = p.Ratio.Known(); !p.Measured {
		p.Ratio = usualRatio(o)
	}
	return p, nil
}

func (s Stroke) check() error {
	for _, q := range []struct {
		name string
		v    Quantity
	}{
		{"backstroke length", s.Back}, {"follow-through length", s.Through}, {"backstroke time", s.BackTime},
		{"downstroke time", s.DownTime}, {"head speed", s.HeadSpeed}, {"ball speed", s.BallSpeed},
	} {
		if !(q.v.Value >= 0) || math.IsInf(q.v.Value, 0) || !(q.v.U >= 0) || math.IsInf(q.v.U, 0) {
			return fmt.Errorf("the %s must be a number above zero (got %g with uncertainty %g)", q.name, q.v.Value, q.v.U)
		}
	}
	return nil
}

// with adds a pair when both are measured.
func with(points []point, x, y Quantity) []point {
	if !(x.Value > 0) || !(y.Value > 0) {
		return points
	}
	return append(points, point{math.Log(x.Value), math.Log(y.Value), x.U / x.Value, y.U / y.Value})
}

func over(a, b Quantity) Quantity {
	if !(a.Value > 0) || !(b.Value > 0) {
		return Quantity{}
	}
	v := a.Value / b.Value
	return Quantity{v, v * math.Hypot(a.U/a.Value, b.U/b.Value)}
}

func product(a, b Quantity) Quantity {
	if !(a.Value > 0) || !(b.Value > 0) {
		return Quantity{}
	}
	v := a.Value * b.Value
	return Quantity{v, v * math.Hypot(a.U/a.Value, b.U/b.Value)}
}

// usualRatio is the ratio of ball and head speed for heads and balls as they are
// made; 1.6 was measured (Korean Journal of Applied Biomechanics, archive 89).
func usualRatio(o Options) Estimate {
	mass, e := rectangular(o.HeadMassMin, o.HeadMassMax), rectangular(o.RestitutionMin, o.RestitutionMax)
	v := BallToHead(mass.Value, e.Value)
	byMass := (BallToHead(mass.Value+mass.U, e.Value) - BallToHead(mass.Value-mass.U, e.Value)) / 2
	byE := (BallToHead(mass.Value, e.Value+e.U) - BallToHead(mass.Value, e.Value-e.U)) / 2
	return Estimate{Value: v, U: math.Hypot(byMass, byE) / v}
}

// Usual limits of a measured ratio of ball and head speed: 1.6 is published, and
// heads of 0.32 to 0.40 kg with restitutions of 0.7 to 0.85 make 1.5 to 1.65.
const LeastRatio, MostRatio = 1.45, 1.75
