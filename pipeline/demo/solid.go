package demo

import "math"

// painter draws solids as their exact silhouettes, shaded per pixel.
type painter struct {
	view   view
	raster *raster
	dst    *patch
	light  vec // toward the lamp, in the camera's axes
	up     vec
	cloth  *grain
}

// lamp is the direction to the main light: ceiling lamps before the player.
var lamp = vec{-0.35, 0.80, 0.50}

const (
	ambient   = 0.42
	skyShare  = 0.20 // more light from above than from below
	lampShare = 0.62
)

func newPainter(v view, cloth *grain) painter {
	turn := func(d vec) vec { return vec{d.dot(v.right), d.dot(v.down), d.dot(v.forward)} }
	return painter{view: v, raster: &raster{}, cloth: cloth, light: turn(lamp.unit()), up: turn(vec{0, 1, 0})}
}

// lit is the light on a surface with a normal in the camera's axes.
func (p *painter) lit(n vec) float64 {
	return ambient + skyShare*n.dot(p.up) + lampShare*max(0, n.dot(p.light))
}

// roomLit is lit for a normal in the room.
func roomLit(n vec) float64 {
	return ambient + skyShare*n.y + lampShare*max(0, n.dot(lamp.unit()))
}

// limb is a tapered capsule between two balls.
type limb struct {
	a, b   vec
	ra, rb float64
	colour rgb
	weave  float64 // strength of the cloth's pattern
}

func (p *painter) limb(l limb) {
	const n = 24
	a, b := p.view.project(l.a), p.view.project(l.b)
	ra, rb := l.ra*p.view.scale(l.a), l.rb*p.view.scale(l.b)
	poly := hull(append(p.view.outline(l.a, l.ra, n), p.view.outline(l.b, l.rb, n)...))
	d := b.sub(a)
	long := max(1e-9, d.x*d.x+d.y*d.y)
	seed := l.ra * 977
	ax, ay := d.x/math.Sqrt(long), d.y/math.Sqrt(long)
	// The brush is the busiest place of the painter: what is the same for all
	// pixels is worked out here.
	alongX, alongY := d.x/long, d.y/long
	taper := rb - ra
	p.raster.fill(p.dst, poly, func(x, y float64) (rgb, float32) {
		x, y = x-a.x, y-a.y
		t := max(0, min(1, x*alongX+y*alongY))
		k := 1 / (ra + t*taper)
		u, w := (x-t*d.x)*k, (y-t*d.y)*k
		if flat := u*u + w*w; flat > 1 {
			k := 1 / math.Sqrt(flat)
			u, w = u*k, w*k
		}
		// At the joints the roundness along the limb is mostly taken out, so
		// that two limbs read as one cloth.
		lengthwise := 0.7 * (u*ax + w*ay)
		u, w = u-lengthwise*ax, w-lengthwise*ay
		light := p.lit(vec{u, w, -math.Sqrt(max(0, 1-u*u-w*w))})
		if l.weave > 0 {
			light *= 1 + l.weave*p.cloth.at(t*9+seed, (u-w)*2+seed)
		}
		return l.colour.times(light), 1
	})
}

// cuff is a ring around a limb, a band or a sleeve's end.
func (p *painter) cuff(mid, along vec, long, radius float64, colour rgb) {
	axis := along.unit()
	sight := mid.sub(p.view.at).unit()
	side := axis.cross(sight).unit()
	out := side.cross(axis)
	if out.dot(sight) > 0 {
		out = out.mul(-1)
	}
	var poly []point
	for _, end := range []float64{-1, 1} {
		c := mid.add(axis.mul(end * long / 2))
		for i := range 9 {
			s, co := math.Sincos(math.Pi * float64(i) / 8)
			if end > 0 {
				co = -co
			}
			poly = append(poly, p.view.project(c.add(side.mul(radius*co)).add(out.mul(radius*s))))
		}
	}
	centre := p.view.project(mid)
	edge := p.view.project(mid.add(side.mul(radius)))
	ux, uy := edge.x-centre.x, edge.y-centre.y
	long2 := ux*ux + uy*uy
	p.raster.fill(p.dst, poly, func(x, y float64) (rgb, float32) {
		u := clamp(((x-centre.x)*ux+(y-centre.y)*uy)/long2, -1, 1)
		n := side.mul(u).add(out.mul(math.Sqrt(1 - u*u)))
		return colour.times(roomLit(n)), 1
	})
}

// flat fills a polygon of the room with one light.
func (p *painter) flat(poly []point, colour rgb, normal vec) {
	c := colour.times(roomLit(normal))
	p.raster.fill(p.dst, poly, func(x, y float64) (rgb, float32) { return c, 1 })
}

// sphereSkin is the colours of a ball's two halves and the direction of the first
// one's pole, zero when the ball has but one colour.
type sphereSkin struct {
	one, other rgb
	pole       vec
}

// ball draws the ball with its mark; roundness comes from the light alone.
func (p *painter) ball(centre vec, radius float64, mark vec, skin sphereSkin) {
	c := p.view.project(centre)
	r := radius * p.view.scale(centre)
	v := p.view
	p.raster.fill(p.dst, v.outline(centre, radius, 48), func(x, y float64) (rgb, float32) {
		u, w := (x-c.x)/r, (y-c.y)/r
		flat := min(1, u*u+w*w)
		n := vec{u, w, -math.Sqrt(1 - flat)}
		room := v.right.mul(n.x).add(v.down.mul(n.y)).add(v.forward.mul(n.z))
		k := p.lit(n) * (1 - 0.35*smooth(-room.y, 0.2, 1))
		ink := 1 - smooth(room.dot(mark), 0.962, 0.982)
		colour := skin.one
		if skin.pole != (vec{}) {
			colour = skin.other.mix(colour, smooth(room.dot(skin.pole), -0.04, 0.04))
		}
		return rgb{0.07, 0.07, 0.09}.mix(colour, ink).times(k), 1
	})
}

// glare adds a soft white spot to a part of the head's side.
func (p *painter) glare(part []point, club frame3, g *Glare, strength, t float64) {
	mid := p.view.project(club.place(vec{pathAt(g.Path, t), g.Up, 0}))
	r := g.Radius * p.view.scale(club.at)
	white := rgb{float32(1 + strength), float32(1 + strength), float32(1 + strength)}
	p.raster.fill(p.dst, part, func(x, y float64) (rgb, float32) {
		dx, dy := (x-mid.x)/r, (y-mid.y)/r
		return white, float32(strength / (1 + strength) * math.Exp(-dx*dx-dy*dy))
	})
}

// pathAt runs smoothly through knots whose times are seconds.
func pathAt(knots []Knot, t float64) float64 {
	for i := 1; i < len(knots); i++ {
		if a, b := knots[i-1], knots[i]; t < b.At {
			return a.Speed + (b.Speed-a.Speed)*smooth(t, a.At, b.At)
		}
	}
	if len(knots) == 0 {
		return 0
	}
	return knots[len(knots)-1].Speed
}

// shadow darkens the floor softly under a thing.
func (p *painter) shadow(mid vec, rx, rz, strength float64) {
	mid.y = 0
	v := p.view
	poly := v.circle(mid, vec{2.2 * rx, 0, 0}, vec{0, 0, 2.2 * rz}, 32)
	p.raster.fill(p.dst, poly, func(x, y float64) (rgb, float32) {
		g := v.onFloor(point{x, y})
		dx, dz := (g.x-mid.x)/rx, (g.z-mid.z)/rz
		return rgb{}, float32(strength * math.Exp(-dx*dx-dz*dz) * (1 - smooth(dx*dx+dz*dz, 3, 4.8)))
	})
}

// onFloor is the floor point seen at a pixel.
func (v view) onFloor(p point) vec {
	d := v.ray(p)
	return v.at.add(d.mul(-v.at.y / d.y))
}
