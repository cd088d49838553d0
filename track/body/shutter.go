package body

import "math"

// shutter tells for how long a picture is exposed by how far what moves is smeared: the
// square of the streak over the square of the speed, s^2.
type shutter struct{ sum, weight float64 }

const (
	// usualShare is what share of the time from picture to picture is exposed, before
	// anything moved; the square may differ from its square by squareU, standard uncertainty.
	usualShare, squareU = 0.25, 0.25
	// streakU is how much a codec may smear beside the motion, px^2, and speedU is how well
	// a speed is known, as a share.
	streakU, speedU = 0.3, 0.05
	// toldShare is how well the square must be known, as a share of that of the time from
	// picture to picture, to tell anything.
	toldShare = 0.1
	// shortest is the shortest exposure there is, s.
	shortest = 1e-4
)

func newShutter(interval float64) shutter {
	weight := 1 / math.Pow(squareU*interval*interval, 2)
	return shutter{usualShare * usualShare * interval * interval * weight, weight}
}

// square is the square of the exposure, s^2, and its standard uncertainty.
func (s shutter) square() (square, u float64) {
	return math.Max(0, s.sum/s.weight), 1 / math.Sqrt(s.weight)
}

// streak is what is expected of something that moves at a speed, px/s.
func (s shutter) streak(speed float64) streak {
	square, u := s.square()
	v := speed * speed
	return streak{square * v, math.Sqrt(math.Pow(v*u, 2) + math.Pow(2*speedU*square*v, 2) + streakU*streakU)}
}

// learn takes what a picture told of a streak of which this was expected.
func (s *shutter) learn(expected, got streak, speed float64) {
	tells := 1/(got.u*got.u) - 1/(expected.u*expected.u)
	if v := speed * speed; tells > 0 && v > 0 {
		own := (got.square/(got.u*got.u) - expected.square/(expected.u*expected.u)) / tells
		u := math.Hypot(streakU, 1/math.Sqrt(tells)) / v
		s.sum, s.weight = s.sum+own/v/(u*u), s.weight+1/(u*u)
	}
}
