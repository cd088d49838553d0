package demo

import "math"

// The still background: floor, wall, skirting, a practice mat along the putt
// line, a board on the wall. Drawn once per clip.

const (
	skirting   = 0.09 // m
	matHalf    = 0.55 // m across the line
	boardUp    = 1.35
	boardHalfX = 0.42
	boardHalfY = 0.28
	frameWide  = 0.035
)

// paintRoom fills the whole picture. Every pixel is the mean of 2 x 2 places; in a
// picture of twice the size these are pixels.
func (sc *scene) paintRoom(p *patch, zoom int) {
	places := []point{{-0.25, -0.25}, {0.25, -0.25}, {-0.25, 0.25}, {0.25, 0.25}}
	if zoom == 2 {
		places = []point{{-0.25, -0.25}}
	}

	g := newGrain(sc.spec.Room.Grain)
	feet := vec{-sc.spec.Player.StanceBack, 0, -0.33 * sc.spec.Player.Height / figureHeight}
	for y := range p.h {
		for x := range p.w {
			var sum rgb
			for _, o := range places {
				at := point{float64(x)/float64(zoom) + o.x, float64(y)/float64(zoom) + o.y}
				c := sc.roomAt(g, sc.view.ray(at), feet)
				for i := range sum {
					sum[i] += c[i] / float32(len(places))
				}
			}
			p.pix[y*p.w+x] = sum
		}
	}
}

func (sc *scene) roomAt(g *grain, d, feet vec) rgb {
	r, v := sc.spec.Room, sc.view
	toWall := (-r.Depth - v.at.z) / d.z
	hit := v.at.add(d.mul(toWall))
	if hit.y < 0 {
		return sc.floorAt(g, v.at.add(d.mul(-v.at.y/d.y)), feet)
	}
	return sc.wallAt(g, hit)
}

func (sc *scene) floorAt(g *grain, p, feet vec) rgb {
	r := sc.spec.Room
	c := r.Floor.mix(r.Mat, smooth(matHalf-math.Abs(p.z+0.05), 0, 0.004))
	if r.Lines {
		c = c.mix(rgb{0.62, 0.62, 0.60}, matLine(p))
	}
	pile := 0.5*g.at(p.x*3, p.z*3) + 0.3*g.at(p.x*17+9, p.z*17) + 0.4*g.at(p.x*90, p.z*60+5)
	k := (0.93 + 0.10*pile) * (ambient + skyShare + lampShare*0.8)
	k *= 1 - 0.25*smooth(-p.z, 0.6, r.Depth)*smooth(-p.z, 0.6, r.Depth)
	if sc.spec.Player.Present {
		dx, dz := (p.x-feet.x+0.05)/0.42, (p.z-feet.z+0.22)/0.30
		k *= 1 - 0.42*math.Exp(-dx*dx-dz*dz)
		for _, s := range sideSign {
			ex, ez := (p.x-feet.x-s*sc.spec.Player.Stance/2)/0.085, (p.z-feet.z-0.02)/0.16
			k *= 1 - 0.5*math.Exp(-(ex*ex+ez*ez)*(ex*ex+ez*ez))
		}
	}
	return c.times(k)
}

// matLine is how much of a place is white paint: two lines along the putt line,
// on either side of it, and marks across every half metre.
func matLine(p vec) float64 {
	const half, soft = 0.006, 0.002
	side := math.Min(math.Abs(p.z-0.16), math.Abs(p.z+0.16))
	line := 1 - smooth(side, half-soft, half+soft)
	across := math.Abs(p.x - 0.25 - 0.5*math.Round((p.x-0.25)/0.5))
	mark := (1 - smooth(across, half-soft, half+soft)) * (1 - smooth(math.Abs(p.z), 0.20, 0.20+soft))
	return math.Max(line, mark)
}

func (sc *scene) wallAt(g *grain, p vec) rgb {
	r := sc.spec.Room
	blotch := 0.6*g.at(p.x*1.3, p.y*1.3) + 0.4*g.at(p.x*7, p.y*7) + 0.25*g.at(p.x*60, p.y*60)
	k := (0.86 + 0.035*blotch) * (0.80 + 0.16*smooth(p.y, 0, 2.2))
	if p.y < skirting {
		return rgb{0.60, 0.58, 0.55}.times(0.75 * (0.7 + 0.3*smooth(p.y, 0.0, 0.012)))
	}
	ax, ay := math.Abs(p.x-r.Board)-boardHalfX, math.Abs(p.y-boardUp)-boardHalfY
	switch {
	case ax < 0 && ay < 0:
		lines := smooth(g.at(p.x*2+7, p.y*2), 0.1, 0.5)
		return rgb{0.34, 0.40, 0.42}.mix(rgb{0.27, 0.33, 0.36}, lines).times(0.85)
	case ax < frameWide && ay < frameWide:
		return rgb{0.16, 0.095, 0.055}.times(0.8)
	}
	shade := smooth(max(ax-0.02*smooth(p.y, boardUp, boardUp-0.4), ay), 0.10, frameWide)
	return r.Wall.times(k * (1 - 0.18*shade))
}
