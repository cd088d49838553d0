package measure

import (
	"fmt"
	"math"

	"strokereel/track"
)

// BallScale is the scale of the ball's plane from the width of its picture (px):
// width over diameter (m). Relative uncertainties add in squares (JCGM 100:2008,
// 5.1.6).
func BallScale(width, diameter Quantity) (track.Scale, error) {
	if !(width.Value > 0) || !(diameter.Value > 0) {
		return track.Scale{}, fmt.Errorf("taking the scale from the ball: width and diameter must be above zero (got %g px, %g m)", width.Value, diameter.Value)
	}
	s := width.Value / diameter.Value
	return track.Scale{
		PxPerM: s,
		U:      s * math.Hypot(width.U/width.Value, diameter.U/diameter.Value),
		From:   track.RulerBall,
		Plane:  "ball",
	}, nil
}

// MarkerScale is the scale of the sticker's plane, which is nearer to the camera
// than the ball's by the offset: things there look larger by distance over
// distance less offset (pinhole camera).
func MarkerScale(ball track.Scale, offset, distance Quantity) (track.Scale, error) {
	if !(distance.Value > offset.Value) {
		return track.Scale{}, fmt.Errorf("moving the scale to the sticker: the camera must be farther away than the sticker's offset (got %g m and %g m)", distance.Value, offset.Value)
	}
	n := nearness(offset, distance)
	s := track.Scale{From: ball.From, Plane: "marker", PxPerM: ball.PxPerM * n.Value}
	s.U = s.PxPerM * math.Hypot(ball.U/ball.PxPerM, n.U/n.Value)
	return s, nil
}

// nearness is how much larger the sticker's plane looks than the ball's.
func nearness(offset, distance Quantity) Quantity {
	b := Propagate(nearnessInputs(offset, distance), func(v []float64) float64 { return v[1] / (v[1] - v[0]) })
	return Quantity{Value: b.Value, U: b.U}
}

func nearnessInputs(offset, distance Quantity) []Input {
	return []Input{
		{Symbol: "a", Name: "sticker nearer to the camera than the ball's centre", Unit: "m", Value: offset.Value, U: offset.U},
		{Symbol: "z", Name: "distance of the camera", Unit: "m", Value: distance.Value, U: distance.U},
	}
}

// Aside is the ball's scale when the ball is seen so many px beside the picture's
// middle, by a camera so far away. The picture of a sphere is drawn out away from
// the middle, by the tangent of the angle at which it is seen (pinhole camera); the
// focal length, px, follows from scale and distance.
func Aside(ball track.Scale, px float64, distance Quantity) track.Scale {
	of := []Input{{Value: ball.PxPerM, U: ball.U}, {Value: distance.Value, U: distance.U}}
	b := Propagate(of, func(v []float64) float64 { return v[0] / drawnOut(px, v[0], v[1]) })
	ball.PxPerM, ball.U = b.Value, b.U
	return ball
}

// drawnOut is how much wider a sphere looks beside the middle: by the angle's
// tangent t it is the root of 1 + t^2. Scale is what its width tells, larger than its
// plane's by this very share, so that px over scale and distance is the angle's sine.
func drawnOut(px, scale, distance float64) float64 {
	sine := math.Min(mostAside, math.Abs(px)/(scale*distance))
	return 1 / math.Sqrt(1-sine*sine)
}

// mostAside is the sine of the widest angle that a phone shows, 45 degrees.
const mostAside = 0.71

// ScaleBudget explains the scale of the sticker's plane (px/m) that BallScale, Aside
// and MarkerScale find.
func ScaleBudget(width, diameter, offset, distance Quantity, aside float64) track.Budget {
	return Propagate(append(nearnessInputs(offset, distance),
		Input{Symbol: "w", Name: "width of the ball's picture", Unit: "px", Value: width.Value, U: width.U},
		Input{Symbol: "D", Name: "diameter of the ball", Unit: "m", Value: diameter.Value, U: diameter.U}),
		func(v []float64) float64 {
			return v[2] / v[3] / drawnOut(aside, v[2]/v[3], v[1]) * v[1] / (v[1] - v[0])
		})
}
