package measure

import "strokereel/track"

// LookDown is the slope at which a phone on a tripod looks at the ball: 0.7 to 1.4 m
// high and 2.5 to 4.5 m away.
var LookDown = Quantity{0.31, 0.08}

// hoverU is how much higher a putter may be held over the ground in a practice stroke
// than behind the ball, m.
const hoverU = 0.01

// plane is the scale at which a stroke is seen over that of the putt. A practice stroke
// is made nearer to the player than the ball lies, so farther from the camera: it looks
// smaller, and on level ground higher in the picture, which tells by how much.
func (w *work) plane() Quantity {
	if w.stroke.Kind != track.Practice || !w.in.PuttKnown || !w.stroke.Address.Known {
		return Quantity{Value: 1}
	}
	b := Propagate([]Input{
		{Value: w.stroke.Address.Y - w.in.PuttY, U: hoverU},
		{Value: LookDown.Value, U: LookDown.U},
		{Value: w.in.Distance.Value, U: w.in.Distance.U},
	}, func(v []float64) float64 { return v[2] / (v[2] + v[0]/v[1]) })
	return Quantity{Value: b.Value, U: b.U}
}
