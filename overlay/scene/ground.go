package scene

import (
	"fmt"
	"math"

	"strokereel/overlay"
)

// Ground places the putt line in a clip's upright picture.
type Ground struct {
	// X, Y is the point of the ground straight below the marker's mean position
	// at address, clip px.
	X, Y float64
	// DX, DY is one metre toward the target, clip px, at the scale of the
	// marker's plane: the ends of lengths then stand below the marker.
	DX, DY float64
}

// PxPerM is the scale.
func (g Ground) PxPerM() float64 { return math.Hypot(g.DX, g.DY) }

// Validate reports a ground that nothing can be drawn on.
func (g Ground) Validate() error {
	if s := g.PxPerM(); !(s > 0) || math.IsInf(s, 0) || math.IsNaN(g.X+g.Y) || math.IsInf(g.X+g.Y, 0) {
		return fmt.Errorf("placing the putt line in the picture: needs a position and a scale above zero (got %g, %g and %g px/m)", g.X, g.Y, s)
	}
	return nil
}

// at returns a place x m along the putt line on the canvas.
func (g Ground) at(m overlay.Moment, x float64) overlay.Point {
	return m.View.At(g.X+x*g.DX, g.Y+x*g.DY)
}

// dip is how far a line that is not level gets lower than at the address mark at
// the end of a usual stroke, px: labels of both its halves stand as much lower.
func (g Ground) dip(m overlay.Moment) float64 {
	const usual = 0.4 // m
	return usual * math.Abs(g.at(m, 1).Y-g.at(m, 0).Y)
}

// along returns how far along the putt line an object is, m.
func (g Ground) along(o overlay.Object) float64 {
	s := g.PxPerM()
	return ((o.X-g.X)*g.DX + (o.Y-g.Y)*g.DY) / (s * s)
}

// across returns the unit vector on the canvas that points from the putt line
// down into the ground.
func (g Ground) across(m overlay.Moment) (dx, dy float64) {
	p, q := g.at(m, 0), g.at(m, 1)
	d := p.Distance(q)
	dx, dy = -(q.Y-p.Y)/d, (q.X-p.X)/d
	if dy < 0 {
		dx, dy = -dx, -dy
	}
	return dx, dy
}
