package measure

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"strokereel/track"
)

// Bands are the middles of a rod's three bands: their places along the rod in the
// picture, px, and their distances, m.
type Bands struct {
	Along     [3]float64
	U         float64 // px, of each place
	Distances [2]float64
	Ball      float64 // px along the rod, where the ball lies later
}

const (
	// bandU is how well a coach knows the distance of two bands, m: marked, and read off
	// a tape, to half a millimetre either way (common practice, no source).
	bandU = 0.0004
)

// rodNear is by how much the bands are nearer to the camera than the ball's centre, m.
// The side that is seen bulges by a quarter of pi of the rod's radius on the mean, which
// is 4 to 10 mm; the rod's axis is 11 to 17 mm lower than the ball's centre, which a
// camera whose own axis points down by up to 15 degrees sees farther away.
var rodNear = Quantity{0.0036, 0.0018}

// RodScale is the scale of the ball's plane and the camera's turn from square, told
// by a rod with three bands on the putt line. A line seen by a pinhole is a
// projective scale (Hartley and Zisserman, Multiple View Geometry, 2004, section
// 2.5, from memory): place = a + b s / (1 + c s), where c is the sine of the turn
// over the camera's distance. Of a turned camera the scale is that of a thing square
// to it, as a ball's width gives it; yaw is positive when the picture shrinks to
// the right. It is the turn at just this distance: lengths need the turn over the
// distance, which the rod tells whatever the distance is.
func RodScale(b Bands, distance Quantity, maxYaw float64) (scale track.Scale, yaw Quantity, err error) {
	s := [3]float64{-b.Distances[0], 0, b.Distances[1]}
	p := [3]float64{b.Along[1], (b.Along[2] - b.Along[0]) / (s[2] - s[0]), 0}
	usual := math.Sin(maxYaw) / math.Sqrt(3) / distance.Value
	var inverse mat.SymDense
	for range 12 {
		normal, g := mat.NewSymDense(3, nil), mat.NewVecDense(3, nil)
		normal.SetSym(2, 2, 1/usual/usual)
		g.SetVec(2, -p[2]/usual/usual)
		for i, at := range s {
			u := b.U
			if i != 1 {
				u = math.Hypot(u, bandU*p[1])
			}
			d := 1 + p[2]*at
			j := [3]float64{1, at / d, -p[1] * at * at / d / d}
			for k := range j {
				g.SetVec(k, g.AtVec(k)+j[k]*(b.Along[i]-p[0]-p[1]*at/d)/u/u)
				for l := k; l < 3; l++ {
					normal.SetSym(k, l, normal.At(k, l)+j[k]*j[l]/u/u)
				}
			}
		}
		var chol mat.Cholesky
		var step mat.VecDense
		if !chol.Factorize(normal) || chol.SolveVecTo(&step, g) != nil || chol.InverseTo(&inverse) != nil {
			return scale, yaw, fmt.Errorf("taking the scale from the rod: its bands at %.0f, %.0f and %.0f px cannot be %g and %g m apart",
				b.Along[0], b.Along[1], b.Along[2], b.Distances[0], b.Distances[1])
		}
		for k := range p {
			p[k] += step.AtVec(k)
		}
	}
	// Where the ball lies on the rod, the picture's scale is b/(1+cs)^2, which is
	// (b - c (place - a))^2/b.
	near := p[1] - p[2]*(b.Ball-p[0])
	along := near * near / p[1]
	slope := [3]float64{2 * near * p[2] / p[1], 2*near/p[1] - near*near/p[1]/p[1], -2 * near * (b.Ball - p[0]) / p[1]}
	variance := 0.0
	for k := range slope {
		for l := range slope {
			variance += slope[k] * slope[l] * inverse.At(k, l)
		}
	}
	turn := math.Max(-0.5, math.Min(0.5, p[2]*distance.Value))
	yaw = Quantity{math.Asin(turn), distance.Value * math.Sqrt(inverse.At(2, 2)) / math.Sqrt(1-turn*turn)}
	square := math.Cos(yaw.Value)
	n := nearness(rodNear, distance)
	scale = track.Scale{PxPerM: along / square / n.Value, From: track.RulerRod, Plane: "ball"}
	scale.U = scale.PxPerM * math.Hypot(math.Sqrt(variance)/along, n.U/n.Value)
	return scale, yaw, nil
}

// AtAnyDistance is the turn that RodScale finds, were the camera elsewhere within what
// is known of its distance.
func AtAnyDistance(yaw, distance Quantity) Quantity {
	yaw.U = math.Hypot(yaw.U, math.Tan(yaw.Value)*distance.U/distance.Value)
	return yaw
}

// RodBudget explains the scale of the sticker's plane (px/m) that RodScale and
// MarkerScale find.
func RodBudget(ball track.Scale, offset, distance Quantity) track.Budget {
	return Propagate(append(nearnessInputs(offset, distance),
		Input{Symbol: "S", Name: "scale of the ball's plane, from the rod's bands", Unit: "px/m", Value: ball.PxPerM, U: ball.U}),
		func(v []float64) float64 { return v[2] * v[1] / (v[1] - v[0]) })
}
