package measure

import (
	"cmp"
	"math"
	"slices"

	"strokereel/track"
	"strokereel/track/roll"
)

// roll predicts how far the ball went. It is a model of ball and green, so it has
// an interval and no measured value.
func (w *work) roll() {
	const id = "roll_distance"
	speed := w.done["ball_speed"]
	switch {
	case speed.Status != track.Measured:
		w.refuse(id, "needs the ball speed: "+speed.Reason)
		return
	case !w.in.Green.Known():
		w.refuse(id, "needs the green speed: write it on the sheet")
		return
	}
	b := w.budgets["ball_speed"]
	e, terms, err := w.in.Green.Explain(roll.Quantity{Value: b.Value, U: b.U})
	if err != nil {
		w.refuse(id, err.Error())
		return
	}
	m := track.Measure{ID: id, Unit: "m", Value: e.Value, Status: track.Predicted,
		How: "skid and roll of a sphere with the ball speed and the green speed given; friction, spin and slope are taken within their limits"}
	m.Lo95, m.Hi95 = e.Interval()
	slices.SortStableFunc(terms, func(a, b track.Term) int { return cmp.Compare(b.Share, a.Share) })
	w.budgets[id] = track.Budget{Value: e.Value, U: e.U, DOF: math.Inf(1), K: math.Log(m.Hi95/e.Value) / e.U, Log: true, Terms: terms}
	w.done[id] = m
}
