package demo

import "math"

// paintSlow draws the part of the figure that moves little: legs, trunk, upper
// arms, head.
func (sc *scene) paintSlow(p *painter, t float64) {
	b := sc.bodyAt(t)
	sc.paintLegs(p, &b)
	sc.paintTrunk(p, &b)
	sc.paintSleeves(p, &b)
	sc.paintSkull(p, &b)
}

// paintQuick draws forearms, club and ball, back to front.
func (sc *scene) paintQuick(p *painter, t float64) {
	ball, spin := sc.ballAt(t)
	club := sc.clubAt(t)
	s := sc.spec
	sc.paintHeadShadow(p, club)
	sc.paintBallShadow(p, ball, t)
	sc.paintForearms(p, t)
	// The nearer of head and ball hides the other; which one that is hangs on
	// the side from which the camera looks along the face.
	if face := club.place(vec{s.Putter.FaceAhead, 0, 0}).x; p.view.at.x > face {
		sc.paintHead(p, club, t)
		sc.paintSphere(p, ball, spin, t)
		return
	}
	sc.paintSphere(p, ball, spin, t)
	sc.paintHead(p, club, t)
}

// paintAll draws what is quick and what is before it.
func (sc *scene) paintAll(p *painter, t float64) {
	sc.paintQuick(p, t)
	sc.paintProps(p, t, true)
}

// paintArmsAndClub draws them where no ball is near.
func (sc *scene) paintArmsAndClub(p *painter, t float64) {
	club := sc.clubAt(t)
	sc.paintHeadShadow(p, club)
	sc.paintForearms(p, t)
	sc.paintHead(p, club, t)
}

// paintBall draws the ball where no club is near.
func (sc *scene) paintBall(p *painter, t float64) {
	ball, spin := sc.ballAt(t)
	sc.paintBallShadow(p, ball, t)
	sc.paintSphere(p, ball, spin, t)
}

func (sc *scene) paintBallShadow(p *painter, ball vec, t float64) {
	if sc.ballShown(t) {
		p.shadow(ball.add(vec{0.005, 0, 0}), 0.020, 0.014, 0.75)
		p.shadow(ball.add(vec{0.012, 0, -0.012}), 0.034, 0.024, 0.35)
	}
}

func (sc *scene) paintSphere(p *painter, ball vec, spin, t float64) {
	if !sc.ballShown(t) {
		return
	}
	b := sc.spec.Ball
	mark := vec{0.25, 0.62, 0.74}.unit().turned(vec{0, 0, 1}, b.MarkAngle-spin)
	skin := sphereSkin{b.RGB, b.RGB, vec{}}
	if b.Half != nil {
		skin = sphereSkin{b.RGB, *b.Half, b.HalfAxis.vec().unit().turned(vec{0, 0, 1}, b.MarkAngle-spin)}
	}
	p.ball(ball, b.Diameter/2, mark, skin)
}

func (sc *scene) paintHeadShadow(p *painter, club frame3) {
	s := sc.spec.Putter
	if !s.Present {
		return
	}
	mid := club.place(vec{s.FaceAhead - s.Depth/2, -s.StickerUp, -s.Width / 2})
	h := max(0, mid.y)
	soft := 1 + 9*h
	strength := 0.62 / (soft * soft)
	p.shadow(mid.add(vec{0.25 * h, 0, -0.35 * h}), s.Depth*0.52*soft, s.Width*0.56*soft, strength)
}

// profileSteps rounds each corner of the head's side.
const profileSteps = 4

// profile is the outline of the head seen from the camera's side: a box with
// rounded corners.
func (p Putter) profile() []vec {
	r := 0.22 * min(p.Depth, p.HeadHeight)
	x0, x1 := p.FaceAhead-p.Depth, p.FaceAhead
	y0, y1 := -p.StickerUp, p.HeadHeight-p.StickerUp
	var out []vec
	for i, c := range [4]vec{{x1 - 0.3*r, y1 - 0.3*r, 0}, {x0 + r, y1 - r, 0}, {x0 + r, y0 + r, 0}, {x1 - 0.3*r, y0 + 0.3*r, 0}} {
		rr := r
		if i == 0 || i == 3 {
			rr = 0.3 * r
		}
		for k := range profileSteps + 1 {
			s, co := math.Sincos(math.Pi / 2 * (float64(i) + float64(k)/profileSteps))
			out = append(out, c.add(vec{rr * co, rr * s, 0}))
		}
	}
	return out
}

// paintHead draws the putter's head as its side carried along z, the part
// toward the camera last, then the sticker.
func (sc *scene) paintHead(p *painter, club frame3, t float64) {
	s, v := sc.spec.Putter, p.view
	if !s.Present {
		return
	}
	var near, far []point
	for _, c := range s.profile() {
		near = append(near, v.project(club.place(c)))
		far = append(far, v.project(club.place(c.add(vec{0, 0, -s.Width}))))
	}
	p.flat(hull(append(append([]point(nil), near...), far...)), s.HeadRGB.times(1.1), club.ey)
	if s.FaceAhead > 0 && v.at.sub(club.place(vec{s.FaceAhead, 0, 0})).dot(club.ex) > 0 {
		face := []vec{{s.FaceAhead, -s.StickerUp, 0}, {s.FaceAhead, s.HeadHeight - s.StickerUp, 0}, {s.FaceAhead, s.HeadHeight - s.StickerUp, -s.Width}, {s.FaceAhead, -s.StickerUp, -s.Width}}
		var poly []point
		for _, c := range face {
			poly = append(poly, v.project(club.place(c)))
		}
		p.flat(poly, s.HeadRGB.times(1.3), club.ex)
	}
	p.flat(near, s.HeadRGB, club.ez)
	if s.Glare != nil {
		p.glare(near, club, s.Glare, s.Glare.OnHead, t)
	}
	if s.Sticker {
		r := s.StickerSize / 2
		disc := v.circle(club.place(sc.nudged), club.ex.mul(r), club.ey.mul(r), 64)
		p.flat(disc, s.StickerRGB, club.ez)
		if s.Glare != nil {
			p.glare(disc, club, s.Glare, s.Glare.OnSticker, t)
		}
	}
}

func (sc *scene) paintLegs(p *painter, b *body) {
	s := sc.spec.Player
	k := s.Height / figureHeight
	for i := range 2 {
		p.limb(limb{b.hip[i].add(vec{0, 0.02 * k, 0}), b.hip[1-i].toward(b.knee[1-i], 0.18), 0.100 * k, 0.085 * k, s.Trousers, 0.04})
	}
	for i := range 2 {
		heel := b.ankle[i].add(vec{0, -0.045 * k, -0.02 * k})
		p.limb(limb{heel, b.toe[i].add(vec{0, 0.006 * k, 0}), 0.045 * k, 0.038 * k, s.Shoes, 0})
		p.limb(limb{b.toe[i].add(vec{0, 0.01 * k, 0.004}), b.toe[i].add(vec{0, 0.03 * k, -0.06 * k}), 0.033 * k, 0.036 * k, s.Shoes, 0})
		p.limb(limb{b.knee[i], b.ankle[i].add(vec{0, 0.01, 0}), 0.073 * k, 0.060 * k, s.Trousers, 0.05})
		p.limb(limb{b.hip[i], b.knee[i], 0.100 * k, 0.075 * k, s.Trousers, 0.05})
	}
}

// paintTrunk draws the shirt from the belt to the shoulders. Its front looks
// down, so it is darker than the shoulders.
func (sc *scene) paintTrunk(p *painter, b *body) {
	s, v := sc.spec.Player, p.view
	k := s.Height / figureHeight
	belt := b.hip[lead].toward(b.hip[trail], 0.5).add(vec{0, 0.10 * k, 0.06 * k})
	top := b.shoulder[lead].toward(b.shoulder[trail], 0.5)
	balls := []struct {
		at vec
		r  float64
	}{
		{b.shoulder[lead], 0.068 * k}, {b.shoulder[trail], 0.068 * k},
		{belt.add(vec{0.055 * k, 0, 0}), 0.108 * k}, {belt.add(vec{-0.055 * k, 0, 0}), 0.108 * k},
		{b.neck.add(vec{0, 0.005 * k, -0.02 * k}), 0.075 * k},
	}
	var pts []point
	for _, o := range balls {
		pts = append(pts, v.outline(o.at, o.r, 24)...)
	}
	a, c := v.project(top), v.project(belt)
	d := c.sub(a)
	long := d.x*d.x + d.y*d.y
	wide := (halfShoulders + 0.068) * k * v.scale(top)
	waist := 0.165 * k * v.scale(belt)
	spine := top.sub(belt).unit()
	across := b.shoulder[lead].sub(b.shoulder[trail]).unit()
	// A shirt hangs from a bent back: its front looks less far down than the
	// chest under it.
	front := across.cross(spine).unit().add(vec{0, 0.35, 0.45}).unit()
	p.raster.fill(p.dst, hull(pts), func(x, y float64) (rgb, float32) {
		t := ((x-a.x)*d.x + (y-a.y)*d.y) / long
		side := ((x-a.x)*d.y - (y-a.y)*d.x) / math.Sqrt(long)
		u := clamp(side/(wide+(waist-wide)*clamp(t, 0, 1)), -1, 1)
		if v.right.dot(across)*d.y-v.down.dot(across)*d.x < 0 {
			u = -u
		}
		bend := clamp(0.25-t*1.2, 0, 1)
		n := across.mul(u).add(front.mul(math.Sqrt(1 - u*u))).add(spine.mul(1.6 * bend)).unit()
		fold := p.cloth.at(u*2.2+t*3, t*5) * (0.05 + 0.05*clamp(t, 0, 1))
		k := roomLit(n) * (1 + fold) * (1 - 0.25*smooth(t, 0.35, 1.1))
		return s.Shirt.times(k), 1
	})
}

// paintSleeves draws the upper arms.
func (sc *scene) paintSleeves(p *painter, b *body) {
	s := sc.spec.Player
	k := s.Height / figureHeight
	for i := range 2 {
		sleeve := b.shoulder[i].toward(b.elbow[i], 0.72)
		if s.LongSleeve {
			sleeve = b.elbow[i]
		}
		p.limb(limb{b.shoulder[i].toward(b.elbow[i], 0.4), b.elbow[i], 0.050 * k, 0.041 * k, s.Skin, 0.015})
		p.limb(limb{b.shoulder[i], sleeve, 0.069 * k, 0.058 * k, s.Shirt, 0.06})
		if s.Bands {
			sc.dot(p, b.shoulderSticker[i], vec{0, 0.6, 0.8}, 0.016, s.BandRGB[4])
		}
	}
}

// paintForearms draws shaft and grip, then forearms and hands round them.
func (sc *scene) paintForearms(p *painter, t float64) {
	s, c := sc.spec.Player, sc.spec.Putter
	if !s.Present {
		return
	}
	pose := sc.bodyAt(t)
	b := &pose
	k := s.Height / figureHeight
	if sc.spec.Putter.Present {
		p.limb(limb{b.shaftFoot, b.gripEnd, 0.0048, 0.0062, rgb{0.52, 0.53, 0.55}, 0})
		p.limb(limb{b.gripEnd, b.gripTop, 0.0115, 0.0150, c.GripRGB, 0})
	}
	for i := range 2 {
		fore := s.Skin
		if s.LongSleeve {
			fore = s.Shirt
		}
		p.limb(limb{b.elbow[i], b.wrist[i], 0.044 * k, 0.029 * k, fore, 0.02})
		sc.paintHand(p, b, i, k)
		if s.Bands {
			along := b.wrist[i].sub(b.elbow[i])
			p.cuff(b.elbowBand[i], along, 0.035, 0.0445*k, s.BandRGB[i])
			p.cuff(b.wristBand[i], along, 0.028, 0.0335*k, s.BandRGB[2+i])
		}
	}
}

// paintHand draws the back of the hand and four fingers round the grip.
func (sc *scene) paintHand(p *painter, b *body, i int, k float64) {
	skin := sc.spec.Player.Skin
	axis := b.gripTop.sub(b.gripEnd).unit()
	p.limb(limb{b.wrist[i], b.hand[i].add(vec{sideSign[i] * 0.012 * k, 0, 0}), 0.028 * k, 0.036 * k, skin, 0})
	side := vec{sideSign[i], 0, 0}
	for f := range 4 {
		at := b.hand[i].add(axis.mul((0.030 - 0.021*float64(f)) * k))
		knuckle := at.add(side.mul(0.024 * k)).add(vec{0, 0, 0.022 * k})
		tip := at.add(side.mul(-0.016 * k)).add(vec{0, -0.006 * k, 0.024 * k})
		p.limb(limb{knuckle, tip, 0.0115 * k, 0.0098 * k, skin.times(1 - 0.03*float64(f%2)), 0})
	}
	thumb := b.hand[i].add(vec{0, 0, 0.030 * k})
	p.limb(limb{thumb.add(axis.mul(0.02 * k)), thumb.add(axis.mul(-0.038 * k)), 0.0115 * k, 0.0095 * k, skin, 0})
}

// dot is a round sticker on cloth.
func (sc *scene) dot(p *painter, at, normal vec, radius float64, colour rgb) {
	n := normal.unit()
	a := n.cross(vec{1, 0, 0}).unit()
	p.flat(p.view.circle(at, a.mul(radius), n.cross(a).mul(radius), 32), colour, n)
}
