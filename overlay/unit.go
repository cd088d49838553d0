package overlay

import (
	"image"
	"math"
	"slices"
)

// Share is a length as a share of the shorter side of the frame.
type Share float64

// Point is a position in px of the canvas.
type Point struct{ X, Y float64 }

// Add returns p moved by (dx, dy) px.
func (p Point) Add(dx, dy float64) Point { return Point{p.X + dx, p.Y + dy} }

// Lerp returns the point a share k of the way from p to q.
func (p Point) Lerp(q Point, k float64) Point {
	return Point{p.X + (q.X-p.X)*k, p.Y + (q.Y-p.Y)*k}
}

// Distance is in px.
func (p Point) Distance(q Point) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// usable reports whether p can be handed to the rasteriser.
func (p Point) usable() bool {
	const far = 1 << 15 // px; 26.6 fixed point numbers end at 1<<25
	return math.Abs(p.X) < far && math.Abs(p.Y) < far
}

// Box is an upright rectangle in px of the canvas.
type Box struct{ X0, Y0, X1, Y1 float64 }

// Around returns the square box of half-width r around p.
func Around(p Point, r float64) Box { return Box{p.X - r, p.Y - r, p.X + r, p.Y + r} }

// Span returns the smallest box that holds all points; it is empty without any.
func Span(points ...Point) Box {
	if len(points) == 0 {
		return Box{}
	}
	b := Around(points[0], 0)
	for _, p := range points[1:] {
		b = Box{math.Min(b.X0, p.X), math.Min(b.Y0, p.Y), math.Max(b.X1, p.X), math.Max(b.Y1, p.Y)}
	}
	return b
}

// W is the width.
func (b Box) W() float64 { return b.X1 - b.X0 }

// H is the height.
func (b Box) H() float64 { return b.Y1 - b.Y0 }

// Centre is the middle of the box.
func (b Box) Centre() Point { return Point{(b.X0 + b.X1) / 2, (b.Y0 + b.Y1) / 2} }

// Grow returns the box with d px more on every side.
func (b Box) Grow(d float64) Box { return Box{b.X0 - d, b.Y0 - d, b.X1 + d, b.Y1 + d} }

// Move returns the box moved by (dx, dy) px.
func (b Box) Move(dx, dy float64) Box { return Box{b.X0 + dx, b.Y0 + dy, b.X1 + dx, b.Y1 + dy} }

// Overlaps reports whether the boxes share an area; touching is not sharing.
func (b Box) Overlaps(o Box) bool {
	return b.X0 < o.X1 && o.X0 < b.X1 && b.Y0 < o.Y1 && o.Y0 < b.Y1
}

// overlapsAny reports whether b shares an area with one of others.
func (b Box) overlapsAny(others []Box) bool {
	return slices.ContainsFunc(others, b.Overlaps)
}

// Within reports whether b lies inside o.
func (b Box) Within(o Box) bool {
	return b.X0 >= o.X0 && b.Y0 >= o.Y0 && b.X1 <= o.X1 && b.Y1 <= o.Y1
}

// Nearest returns the point of the box that is nearest to p.
func (b Box) Nearest(p Point) Point {
	return Point{min(max(p.X, b.X0), b.X1), min(max(p.Y, b.Y0), b.Y1)}
}

// Pixels returns the whole pixels the box touches.
func (b Box) Pixels() image.Rectangle {
	return image.Rect(int(math.Floor(b.X0)), int(math.Floor(b.Y0)), int(math.Ceil(b.X1)), int(math.Ceil(b.Y1)))
}

// enters returns the share of the way from p to q at which the segment enters
// the box (Liang and Barsky's clipping); ok is false when it misses it.
func (b Box) enters(p, q Point) (share float64, ok bool) {
	from, to := 0.0, 1.0
	clip := func(start, step, lo, hi float64) bool {
		if step == 0 {
			return start > lo && start < hi
		}
		k0, k1 := (lo-start)/step, (hi-start)/step
		from, to = math.Max(from, math.Min(k0, k1)), math.Min(to, math.Max(k0, k1))
		return from < to
	}
	ok = clip(p.X, q.X-p.X, b.X0, b.X1) && clip(p.Y, q.Y-p.Y, b.Y0, b.Y1)
	return from, ok
}
