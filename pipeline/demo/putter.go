package demo

import "math"

// The club is one rigid body. Its axes at address: x the way the face looks, y
// up, z toward the camera; its origin is the sticker's centre.

// hosel is where the shaft meets the head.
func (p Putter) hosel() vec {
	return vec{p.FaceAhead - 0.4*p.Depth, p.HeadHeight - p.StickerUp, -0.72 * p.Width}
}

// shaft is the direction from the head to the grip.
func (p Putter) shaft() vec {
	return vec{0, math.Sin(p.Lie * degree), -math.Cos(p.Lie * degree)}
}

// onShaft is a point of the shaft, a length above the hosel.
func (p Putter) onShaft(length float64) vec { return p.hosel().add(p.shaft().mul(length)) }

// markerHome is the sticker's centre at address: the face stands off the ball
// by the drawn gap.
func markerHome(p Putter, b Ball) vec {
	lean := -p.AddressLean * degree
	r, y := b.Diameter/2, p.SoleGap+p.StickerUp
	x := ((r-y)*math.Sin(lean) - p.FaceAhead - r - b.Gap) / math.Cos(lean)
	return vec{x, y, p.PlaneOffset}
}

// clubAt swings the club as on a pendulum whose plane leans toward the player:
// the marker's place on the line is given, the wrists add to the lean of the
// shaft (head ahead of the hands positive).
func (sc *scene) clubAt(t float64) frame3 {
	p := sc.spec.Putter
	along := sc.motion.along(t)
	theta := math.Asin(clamp(along/p.SwingRadius, -0.9, 0.9))
	// The hands stay on the pendulum; what the wrists add to the lean lifts the
	// head further.
	wrist := sc.wrist.at(t)
	hands := p.SwingRadius - p.Length
	rise := hands*(1-math.Cos(theta)) + p.Length*(1-math.Cos(theta+wrist))
	tilt := p.PlaneTilt * degree
	at := sc.home.add(vec{
		along,
		rise*math.Cos(tilt) + sc.motion.shiver(t) + pathAt(sc.spec.Raise, t),
		-rise*math.Sin(tilt) - sc.motion.inside.at(t),
	})
	lean := theta - p.AddressLean*degree + wrist
	turn := sc.faceTurn * along
	up := vec{0, 1, 0}
	return frame3{
		at: at,
		ex: vec{math.Cos(lean), math.Sin(lean), 0}.turned(up, turn),
		ey: vec{-math.Sin(lean), math.Cos(lean), 0}.turned(up, turn),
		ez: vec{0, 0, 1}.turned(up, turn),
	}
}

// faceGap is the room left between the face and the ball on its spot.
func (sc *scene) faceGap(t float64) float64 {
	club := sc.clubAt(t)
	r := sc.spec.Ball.Diameter / 2
	centre := vec{0, r, 0}
	return centre.sub(club.at).dot(club.ex) - sc.spec.Putter.FaceAhead - r
}

// findContact is the first moment at which face and ball touch, by halving.
func (sc *scene) findContact(st Stroke) (float64, bool) {
	lo := st.topEnd() + 0.3*st.DownTime
	hi := st.nominal() + 0.15*st.DownTime
	if sc.faceGap(lo) <= 0 || sc.faceGap(hi) > 0 {
		return 0, false
	}
	for range 60 {
		mid := (lo + hi) / 2
		if sc.faceGap(mid) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi, true
}
