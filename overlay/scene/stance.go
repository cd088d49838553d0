package scene

import (
	"math"

	"strokereel/overlay"
	"strokereel/track"
)

// HeadRoom is where the head may be while a clip is shown, m from the point of the
// ground below the marker at address: along the putt line, and above the ground.
type HeadRoom struct{ From, To, Low, High float64 }

// AnyHead is where the head of a player is of whom only the putter was seen: above
// the ball, at the height of a child or of a tall player who has looked up, still
// bent (from memory).
var AnyHead = HeadRoom{From: -0.23, To: 0.23, Low: 0.95, High: 1.75}

// How much further than where it was seen a head gets when it is turned and
// lifted while nobody sees it, m.
const (
	headTurns = 0.05
	headLifts = 0.15
)

// SeenHead is the room of a head that was seen at some moments of a clip, each
// with all that was seen in its picture; without any it is AnyHead.
func SeenHead(g Ground, moments map[int][]overlay.Object) HeadRoom {
	r, seen := HeadRoom{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)}, false
	for _, objects := range moments {
		if o, ok := (overlay.Moment{Objects: objects}).Find(HeadArea); ok {
			x, y := g.metres(o)
			half := o.Radius / g.PxPerM()
			r.From, r.To, r.Low, r.High = min(r.From, x-half), max(r.To, x+half), min(r.Low, y-half), max(r.High, y+half)
			seen = true
		}
	}
	if !seen {
		return AnyHead
	}
	return HeadRoom{r.From - headTurns, r.To + headTurns, r.Low, r.High + headLifts}
}

// metres is where an object is along the putt line and above the ground.
func (g Ground) metres(o overlay.Object) (x, y float64) {
	s := g.PxPerM() * g.PxPerM()
	dx, dy := o.X-g.X, o.Y-g.Y
	x, y = (dx*g.DX+dy*g.DY)/s, (dx*g.DY-dy*g.DX)/s
	if g.DX < 0 {
		y = -y
	}
	return x, y
}

// above is the place y m above the ground and x m along the putt line.
func (g Ground) above(m overlay.Moment, x, y float64) overlay.Point {
	dx, dy := g.across(m)
	k := y * g.PxPerM() * m.View.Scale
	return g.at(m, x).Add(-dx*k, -dy*k)
}

// Stance lets labels avoid the player and the shaft, which are known to be above
// the ball even where nothing of them was seen.
type Stance struct {
	Head HeadRoom

	ground Ground
}

// NewStance is a player whose head is in a room.
func NewStance(g Ground, head HeadRoom) (*Stance, error) {
	return &Stance{Head: head, ground: g}, g.Validate()
}

// A grown player who stands to a putt, m (from memory).
const (
	legHalf   = 0.27 // from the ball to the outer side of a foot
	footHigh  = 0.02 // of its sole in the picture: feet stand a little behind the ball
	kneeHigh  = 0.5
	gripHigh  = 0.75 // of the hands above the ground
	gripMoves = 0.45 // of the way of the putter head the hands go with it
	handsHalf = 0.1
	shaftHalf = 0.02 // what stays free on either side of a shaft
	shaftBits = 8    // boxes along it
)

// Draw draws nothing.
func (s *Stance) Draw(*overlay.Canvas, overlay.Moment) {}

// besideHead is the place at the right edge of the head's room, at half its height.
func (s *Stance) besideHead(m overlay.Moment) overlay.Point {
	b := s.head(m)
	return overlay.Point{X: b.X1, Y: b.Centre().Y}
}

// head is the head's room on the canvas.
func (s *Stance) head(m overlay.Moment) overlay.Box {
	g, h := s.ground, s.Head
	return overlay.Span(g.above(m, h.From, h.Low), g.above(m, h.To, h.High))
}

// Avoid returns the head's room, the legs, and hands and shaft of the moment.
func (s *Stance) Avoid(_ *overlay.Canvas, m overlay.Moment) []overlay.Box {
	g := s.ground
	boxes := []overlay.Box{
		s.head(m),
		overlay.Span(g.above(m, -legHalf, footHigh), g.above(m, legHalf, kneeHigh)),
	}
	p, ok := m.Find(track.Putter)
	if !ok {
		return boxes
	}
	foot, grip := m.At(p), g.above(m, gripMoves*g.along(p), gripHigh)
	for _, name := range holding {
		if o, ok := m.Find(name); ok {
			grip = m.At(o)
			break
		}
	}
	perM := g.PxPerM() * m.View.Scale
	boxes = append(boxes, overlay.Around(grip, handsHalf*perM))
	for i := range shaftBits {
		a, b := foot.Lerp(grip, float64(i)/shaftBits), foot.Lerp(grip, float64(i+1)/shaftBits)
		boxes = append(boxes, overlay.Span(a, b).Grow(shaftHalf*perM))
	}
	return boxes
}
