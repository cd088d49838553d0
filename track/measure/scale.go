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
	left := distance.Value - offset.Value
	return Quantity{
		Value: distance.Value / left,
		U:     math.Hypot(distance.Value*offset.U, offset.Value*distance.U) / (left * left),
	}
}
