package path

import (
	"fmt"
	"math"

	"strokereel/track"
)

// PuttFrame says where the putt lies in the picture: its origin in px, the unit
// vector toward the target in px coordinates (y down), and the scale of the
// plane the object moves in.
type PuttFrame struct {
	OriginX, OriginY float64
	DirX, DirY       float64
	Scale            track.Scale
}

// Validate reports a frame that cannot turn pixels into metres.
func (f PuttFrame) Validate() error {
	if !(f.Scale.PxPerM > 0) {
		return fmt.Errorf("placing the putt in the picture: the scale must be above zero (got %g px/m)", f.Scale.PxPerM)
	}
	if n := math.Hypot(f.DirX, f.DirY); math.Abs(n-1) > 1e-6 || math.IsNaN(n) {
		return fmt.Errorf("placing the putt in the picture: the direction must have length 1 (got %g)", n)
	}
	return nil
}

// InMetres expresses a track in metres of the putt: x along the direction, y
// perpendicular to it and up, for either direction in the picture. The frame
// must be valid.
func InMetres(tr track.Track, f PuttFrame) track.Path {
	// The perpendicular that points up in the picture (y down) for a putt to
	// the right; a putt to the left needs the other one.
	upX, upY := f.DirY, -f.DirX
	if upY > 0 {
		upX, upY = -upX, -upY
	}
	p := track.Path{Object: tr.Object, Points: make([]track.Point, len(tr.Samples))}
	for i, s := range tr.Samples {
		q := track.Point{Frame: s.Frame, T: s.T, Seen: s.Seen, Given: s.Given}
		if s.Seen {
			dx, dy := s.X-f.OriginX, s.Y-f.OriginY
			q.X = (dx*f.DirX + dy*f.DirY) / f.Scale.PxPerM
			q.Y = (dx*upX + dy*upY) / f.Scale.PxPerM
			q.U = s.U / f.Scale.PxPerM
		}
		p.Points[i] = q
	}
	return p
}
