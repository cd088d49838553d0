package overlay

import "image/color"

// Role is what a clip is to its lesson.
type Role int

// The roles. Plain is for a clip that is not compared with another.
const (
	Plain Role = iota
	Before
	After
	Reference
	Drill
)

// Sign tells a role apart twice: by colour and by form, so that it is also read
// without colours.
type Sign struct {
	Colour color.RGBA
	Dash   []Share // lengths of strokes and gaps in turn; none is a whole line
	Shape  Shape
}

// Shape is the form of a small mark.
type Shape int

// The shapes.
const (
	Disc Shape = iota
	Ring
	Diamond
	Square
	Triangle
)

// Sign returns the sign of a role.
func (r Role) Sign() Sign {
	switch r {
	case Before:
		return Sign{Sky, []Share{0.014, 0.010}, Ring}
	case After:
		return Sign{Yellow, nil, Disc}
	case Reference:
		return Sign{Purple, []Share{0.004, 0.009}, Diamond}
	case Drill:
		return Sign{Vermilion, []Share{0.022, 0.008, 0.004, 0.008}, Triangle}
	}
	return Sign{Chalk, nil, Square}
}
