package demo

import "math"

// vec is a place or direction in the room: x along the putt line toward the
// target, y up from the floor, z toward the camera; metres, origin on the floor
// under the ball.
type vec struct{ x, y, z float64 }

func (a vec) add(b vec) vec     { return vec{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a vec) sub(b vec) vec     { return vec{a.x - b.x, a.y - b.y, a.z - b.z} }
func (a vec) mul(k float64) vec { return vec{a.x * k, a.y * k, a.z * k} }
func (a vec) dot(b vec) float64 { return a.x*b.x + a.y*b.y + a.z*b.z }
func (a vec) length() float64   { return math.Sqrt(a.dot(a)) }
func (a vec) unit() vec         { return a.mul(1 / a.length()) }
func (a vec) toward(b vec, k float64) vec {
	return a.add(b.sub(a).mul(k))
}

func (a vec) cross(b vec) vec {
	return vec{a.y*b.z - a.z*b.y, a.z*b.x - a.x*b.z, a.x*b.y - a.y*b.x}
}

// turned turns a about the unit axis by an angle in radians (Rodrigues).
func (a vec) turned(axis vec, angle float64) vec {
	s, c := math.Sincos(angle)
	return a.mul(c).add(axis.cross(a).mul(s)).add(axis.mul(axis.dot(a) * (1 - c)))
}

// frame3 is a rigid body's place and its three unit axes.
type frame3 struct{ at, ex, ey, ez vec }

// place carries a point given in the body's own axes into the room.
func (f frame3) place(p vec) vec {
	return f.at.add(f.ex.mul(p.x)).add(f.ey.mul(p.y)).add(f.ez.mul(p.z))
}

// local is the opposite of place.
func (f frame3) local(p vec) vec {
	d := p.sub(f.at)
	return vec{d.dot(f.ex), d.dot(f.ey), d.dot(f.ez)}
}

const degree = math.Pi / 180

// point is a place in the picture in pixels; (0, 0) is the centre of the
// top-left pixel.
type point struct{ x, y float64 }

func (p point) sub(q point) point        { return point{p.x - q.x, p.y - q.y} }
func (p point) distance(q point) float64 { return math.Hypot(p.x-q.x, p.y-q.y) }

func clamp(v, lo, hi float64) float64 { return max(lo, min(hi, v)) }

// smooth rises from 0 at lo to 1 at hi without a kink.
func smooth(v, lo, hi float64) float64 {
	u := clamp((v-lo)/(hi-lo), 0, 1)
	return u * u * (3 - 2*u)
}
