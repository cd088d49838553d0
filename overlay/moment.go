package overlay

import "math"

// Moment is one moment of a clip and what is known at it.
type Moment struct {
	T       float64 // s, on the clip's own clock
	View    View
	Objects []Object
}

// Object is something seen at the moment, in px of the clip's upright picture
// (the centre of its first pixel is (0, 0)).
type Object struct {
	Name string // as in track files: putter, ball, hands, lead_elbow, ...
	X, Y float64
	U    float64 // px, standard uncertainty
	// Radius is how far around its centre the object must stay visible; labels
	// keep clear of it. Zero allows labels on it.
	Radius float64
}

// Find returns the object of a name.
func (m Moment) Find(name string) (o Object, ok bool) {
	for _, o := range m.Objects {
		if o.Name == name {
			return o, true
		}
	}
	return Object{}, false
}

// At returns where an object stands on the canvas.
func (m Moment) At(o Object) Point { return m.View.At(o.X, o.Y) }

// View places a clip's upright picture on the canvas: scaled, then moved, and
// mirrored left to right when a left-hander is compared with a right-hander.
type View struct {
	Scale  float64 // canvas px per clip px
	X, Y   float64 // canvas px, where the picture's top-left corner comes to lie (top-right when mirrored)
	Mirror bool
}

// FullView shows a picture as it is.
func FullView() View { return View{Scale: 1} }

// At returns where a clip pixel comes to lie on the canvas.
func (v View) At(x, y float64) Point {
	dx := (x + 0.5) * v.Scale
	if v.Mirror {
		dx = -dx
	}
	return Point{v.X + dx, v.Y + (y+0.5)*v.Scale}
}

// Usable reports whether the view can place anything.
func (v View) Usable() bool {
	return v.Scale > 0 && !math.IsInf(v.Scale+v.X+v.Y, 0) && !math.IsNaN(v.Scale+v.X+v.Y)
}
