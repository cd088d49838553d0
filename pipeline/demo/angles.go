package demo

import "math"

// What a protractor laid on the picture would read. Angles in degrees; the
// target counts as right, whichever side it is on.

// sight is the upright pixel of a point with the target to the right.
func (sc *scene) sight(p vec) point {
	q := sc.view.see(p)
	if sc.spec.Camera.Mirrored {
		q.x = -q.x
	}
	return q
}

// hang is the angle of the direction from p down to q against the vertical,
// positive when q is nearer to the target.
func (sc *scene) hang(p, q vec) float64 {
	d := sc.sight(q).sub(sc.sight(p))
	return math.Atan2(d.x, d.y) / degree
}

// leadWrist is the angle between lead forearm and shaft, growing when the lead
// wrist bends back.
func (sc *scene) leadWrist(t float64) float64 {
	b := sc.bodyAt(t)
	return sc.hang(b.gripTop, b.shaftFoot) - sc.hang(b.elbow[lead], b.wrist[lead])
}

// shaftLean is positive when the hands are ahead of the head.
func (sc *scene) shaftLean(t float64) float64 {
	b := sc.bodyAt(t)
	return -sc.hang(b.gripTop, b.shaftFoot)
}

// elbowSpread is the distance in the picture between the elbow bands, without
// bands between the joints, px.
func (sc *scene) elbowSpread(t float64) float64 {
	b := sc.bodyAt(t)
	at := b.elbow
	if sc.spec.Player.Bands {
		at = b.elbowBand
	}
	return sc.view.see(at[lead]).distance(sc.view.see(at[trail]))
}

// shoulderTilt is positive when the lead shoulder is lower.
func (sc *scene) shoulderTilt(t float64) float64 {
	b := sc.bodyAt(t)
	d := sc.sight(b.shoulder[lead]).sub(sc.sight(b.shoulder[trail]))
	return math.Atan2(d.y, d.x) / degree
}

// trunkLean is the lean of the line from mid-hips to mid-shoulders, away from
// the target positive.
func (sc *scene) trunkLean(t float64) float64 {
	b := sc.bodyAt(t)
	return sc.hang(b.shoulder[lead].toward(b.shoulder[trail], 0.5), b.hip[lead].toward(b.hip[trail], 0.5))
}
