package demo

import "math"

// sensorWidth is the long side of the film size that "equivalent" focal
// lengths refer to, mm.
const sensorWidth = 36.0

// view is a Camera made ready: its axes in the room and its focal length. The
// raster is the stored one; upright turns a stored pixel into the picture as a
// person sees it.
type view struct {
	at                   vec
	right, down, forward vec
	focal                float64
	width, height        int
	cx, cy               float64
	turned               bool
	k1                   float64 // radial distortion: outward by this times the square of x/z, y/z
	shift                point   // a camera in the hand: the picture's shift, px,
	spin                 float64 // and turn about its middle, radians
}

// newView aims the camera. A left-hander is the right-hander's scene in a
// mirror, so its camera has the x of every axis turned round.
func newView(c Camera) view {
	yaw, pitch, roll := c.Yaw*degree, c.Pitch*degree, c.Roll*degree
	up := vec{0, 1, 0}
	level := vec{math.Sin(yaw), 0, -math.Cos(yaw)}
	right := vec{math.Cos(yaw), 0, math.Sin(yaw)}
	forward := level.mul(math.Cos(pitch)).add(up.mul(math.Sin(pitch)))
	down := level.mul(math.Sin(pitch)).sub(up.mul(math.Cos(pitch)))
	right, down = right.mul(math.Cos(roll)).add(down.mul(math.Sin(roll))),
		down.mul(math.Cos(roll)).sub(right.mul(math.Sin(roll)))
	at := vec{c.Aside, c.Rise, c.Distance}
	if c.Mirrored {
		at, right, down, forward = mirror(at), mirror(right), mirror(down), mirror(forward)
	}
	v := view{at: at, right: right, down: down, forward: forward, width: c.Width, height: c.Height, turned: c.Turned, k1: c.Distortion}
	v.focal = float64(max(c.Width, c.Height)) * c.FocalMM / sensorWidth
	if c.Turned {
		v.right, v.down = down, right.mul(-1)
		v.width, v.height = c.Height, c.Width
	}
	v.cx, v.cy = float64(v.width-1)/2, float64(v.height-1)/2
	return v
}

func mirror(a vec) vec { return vec{-a.x, a.y, a.z} }

// eye gives a room point in the camera's axes (right, down, forward).
func (v view) eye(p vec) vec {
	d := p.sub(v.at)
	return vec{d.dot(v.right), d.dot(v.down), d.dot(v.forward)}
}

// project gives the stored pixel of a room point.
func (v view) project(p vec) point {
	e := v.eye(p)
	x, y := e.x/e.z, e.y/e.z
	if v.k1 != 0 {
		k := 1 + v.k1*(x*x+y*y)
		x, y = x*k, y*k
	}
	x, y = v.focal*x, v.focal*y
	if v.spin != 0 {
		s, c := math.Sincos(v.spin)
		x, y = c*x-s*y, s*x+c*y
	}
	return point{v.cx + v.shift.x + x, v.cy + v.shift.y + y}
}

// scale is the pixels per metre at a room point, across the line of sight.
func (v view) scale(p vec) float64 { return v.focal / v.eye(p).z }

// ray is the direction from the camera through a stored pixel.
func (v view) ray(p point) vec {
	x, y := (p.x-v.cx-v.shift.x)/v.focal, (p.y-v.cy-v.shift.y)/v.focal
	if v.spin != 0 {
		s, c := math.Sincos(-v.spin)
		x, y = c*x-s*y, s*x+c*y
	}
	if v.k1 != 0 {
		x, y = v.undistorted(x, y)
	}
	return v.forward.add(v.right.mul(x)).add(v.down.mul(y))
}

// undistorted repeats the division by the distortion until it stands still; for
// the small distortions drawn six times are enough for a thousandth of a pixel.
func (v view) undistorted(dx, dy float64) (x, y float64) {
	x, y = dx, dy
	for range 6 {
		k := 1 + v.k1*(x*x+y*y)
		x, y = dx/k, dy/k
	}
	return x, y
}

// upright turns a stored pixel the way a player of the file turns it: a
// quarter turn clockwise when the phone was held upright.
func (v view) upright(p point) point {
	if !v.turned {
		return p
	}
	return point{float64(v.height-1) - p.y, p.x}
}

// see is the upright pixel of a room point.
func (v view) see(p vec) point { return v.upright(v.project(p)) }

// inside reports whether an upright pixel is in the picture with a margin.
func (v view) inside(p point, margin float64) bool {
	w, h := float64(v.width), float64(v.height)
	if v.turned {
		w, h = h, w
	}
	return p.x >= margin && p.y >= margin && p.x <= w-1-margin && p.y <= h-1-margin
}

// outline is the silhouette of a sphere: a perspective picture of a sphere is
// an ellipse, the picture of the circle on which the lines of sight touch it.
func (v view) outline(centre vec, radius float64, n int) []point {
	d := centre.sub(v.at)
	k := radius * radius / d.dot(d)
	mid := centre.sub(d.mul(k))
	r := radius * math.Sqrt(1-k)
	axis := d.unit()
	a := axis.cross(v.down).unit()
	b := axis.cross(a)
	return v.circle(mid, a.mul(r), b.mul(r), n)
}

// circle projects a circle given by its centre and two half axes. The polygon
// is widened so that its area is the circle's.
func (v view) circle(mid, a, b vec, n int) []point {
	step := 2 * math.Pi / float64(n)
	grow := math.Sqrt(step / math.Sin(step))
	out := make([]point, n)
	for i := range out {
		s, c := math.Sincos(step * float64(i))
		out[i] = v.project(mid.add(a.mul(c * grow)).add(b.mul(s * grow)))
	}
	return out
}
