package demo

import "math"

// paintSkull draws neck, head, face, hair and cap. The skull is an ellipsoid
// whose pattern is looked up where the line of sight meets it.
func (sc *scene) paintSkull(p *painter, b *body) {
	s := sc.spec.Player
	k := s.Height / figureHeight
	f := b.skull
	p.limb(limb{b.neck.add(vec{0, -0.02 * k, -0.03 * k}), f.place(vec{0, -0.06 * k, -0.03 * k}), 0.056 * k, 0.052 * k, s.Skin, 0.02})
	for _, x := range sideSign {
		p.limb(limb{f.place(vec{x * 0.076 * k, -0.025 * k, -0.005 * k}), f.place(vec{x * 0.078 * k, 0.012 * k, -0.012 * k}), 0.014 * k, 0.019 * k, s.Skin, 0})
	}
	p.limb(limb{f.place(vec{0, -0.055 * k, 0.035 * k}), f.place(vec{0, -0.085 * k, 0.052 * k}), 0.060 * k, 0.034 * k, s.Skin, 0})
	sc.paintCranium(p, f, k)
	p.limb(limb{f.place(vec{0, 0.008 * k, 0.095 * k}), f.place(vec{0, -0.026 * k, 0.108 * k}), 0.009 * k, 0.013 * k, s.Skin.times(1.04), 0})
	if s.Cap {
		sc.paintBrim(p, f, k)
	}
	if s.Bands && s.Cap {
		sc.dot(p, b.capSticker, f.ey, 0.015, s.BandRGB[5])
	}
}

func (sc *scene) paintCranium(p *painter, f frame3, k float64) {
	v := p.view
	ax, ay, az := skullWide*k, skullLong*k, skullDeep*k
	squeeze := func(d vec) vec {
		l := frame3{ex: f.ex, ey: f.ey, ez: f.ez}.local(d)
		return vec{l.x / ax, l.y / ay, l.z / az}
	}
	eye := squeeze(v.at.sub(f.at))
	// In the space where the ellipsoid is a unit ball its silhouette is a circle.
	q := 1 / eye.dot(eye)
	mid := eye.mul(q)
	r := math.Sqrt(1 - q)
	a := eye.cross(vec{0.3, 1, 0.2}).unit()
	c := a.cross(eye.unit())
	var poly []point
	for i := range 48 {
		sn, co := math.Sincos(2 * math.Pi * float64(i) / 48)
		u := mid.add(a.mul(r * co)).add(c.mul(r * sn))
		poly = append(poly, v.project(f.place(vec{u.x * ax, u.y * ay, u.z * az})))
	}
	p.raster.fill(p.dst, poly, func(x, y float64) (rgb, float32) {
		d := squeeze(v.ray(point{x, y}))
		bb, cc := eye.dot(d), eye.dot(eye)-1
		dd := d.dot(d)
		t := (-bb - math.Sqrt(max(0, bb*bb-dd*cc))) / dd
		u := eye.add(d.mul(t))
		n := f.ex.mul(u.x / ax).add(f.ey.mul(u.y / ay)).add(f.ez.mul(u.z / az)).unit()
		return sc.headColour(u).times(roomLit(n)), 1
	})
}

// headColour is the pattern of the head at a place of the unit ball: x to the
// lead side, y to the crown, z the way the face looks.
func (sc *scene) headColour(u vec) rgb {
	s := sc.spec.Player
	c := s.Skin
	for _, x := range sideSign {
		eye := math.Hypot((u.x-x*0.40)/0.15, (u.y-0.02)/0.055)
		c = rgb{0.75, 0.74, 0.72}.mix(c, smooth(eye, 0.85, 1.1))
		iris := math.Hypot(u.x-x*0.40, u.y-0.015)
		c = rgb{0.03, 0.025, 0.02}.mix(c, smooth(iris, 0.045, 0.065))
		brow := math.Hypot((u.x-x*0.41)/0.22, (u.y-0.17)/0.035)
		c = s.Hair.mix(c, smooth(brow, 0.8, 1.2))
	}
	mouth := math.Hypot(u.x/0.25, (u.y+0.58)/0.035)
	c = s.Skin.times(0.55).mix(c, smooth(mouth, 0.8, 1.2))
	line := 0.42 - 0.75*smooth(-u.z, -0.45, 0.35)
	c = c.mix(s.Hair, smooth(u.y, line-0.03, line+0.03))
	if !s.Cap {
		return c
	}
	seam := 1 - 0.3*(1-smooth(math.Abs(u.x), 0.006, 0.02))
	edge := 0.30 + 0.06*u.z
	return c.mix(s.CapRGB.times(seam), smooth(u.y, edge-0.015, edge+0.015))
}

// paintBrim is the half disc before the forehead.
func (sc *scene) paintBrim(p *painter, f frame3, k float64) {
	var upper, lower []point
	for i := range 17 {
		sn, co := math.Sincos(math.Pi * float64(i) / 16)
		c := vec{0.074 * co * k, (0.040 - 0.012*co*co + 0.010*sn) * k, (0.055 + 0.130*sn) * k}
		upper = append(upper, p.view.project(f.place(c)))
		lower = append(lower, p.view.project(f.place(c.add(vec{0, -0.006 * k, 0}))))
	}
	s := sc.spec.Player
	p.flat(hull(append(append([]point(nil), upper...), lower...)), s.CapRGB.times(0.6), f.ey)
	n := f.ey
	if p.view.at.sub(f.at).dot(n) < 0 {
		n = n.mul(-1)
	}
	p.flat(upper, s.CapRGB.times(0.93), n)
}
