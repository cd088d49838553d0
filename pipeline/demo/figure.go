package demo

import "math"

// lead and trail index the two sides of the body; lead is the target side.
const (
	lead  = 0
	trail = 1
)

var sideSign = [2]float64{1, -1}

// body is the golfer's joints in the room at one moment.
type body struct {
	ankle, toe, knee, hip        [2]vec
	shoulder, elbow, wrist, hand [2]vec
	chest, neck, head            vec
	skull                        frame3 // z the way the face looks, y toward the crown
	turn                         float64
	gripTop, gripEnd, shaftFoot  vec
	elbowBand, wristBand         [2]vec
	shoulderSticker              [2]vec
	capSticker                   vec
}

// Proportions of a 1.75 m player bent over a putt, metres; the figure's height
// scales them.
const (
	figureHeight  = 1.75
	upperArm      = 0.295
	foreArm       = 0.255
	wristToHand   = 0.075
	halfShoulders = 0.185
	halfHips      = 0.095
	skullWide     = 0.078
	skullLong     = 0.118
	skullDeep     = 0.098
	addressSwivel = 48 * degree // elbow's way out, between backward (0) and sideways (90)
	gazeDown      = 58 * degree // face below the horizon
	bandFromJoint = 0.035
)

// bodyAt poses the figure: the club moves the hands, the shoulders rock on their
// own, the arms reach between them.
func (sc *scene) bodyAt(t float64) body {
	p := sc.spec.Player
	k := p.Height / figureHeight
	shift := vec{-p.StanceBack, 0, -sc.motion.inside.at(t)}
	sway := sc.sway.at(t)
	var b body
	for i, s := range sideSign {
		x := s * p.Stance / 2
		b.ankle[i] = vec{x, 0.085 * k, -0.40 * k}.add(shift)
		b.toe[i] = vec{x + s*0.035*k, 0.035 * k, -0.22 * k}.add(shift)
		b.knee[i] = vec{x*0.86 + 0.3*sway, 0.47 * k, -0.335 * k}.add(shift)
		b.hip[i] = vec{s*halfHips*k + 0.6*sway, 0.88 * k, -0.50 * k}.add(shift)
	}
	b.chest = vec{sway, 1.27 * k, -0.19 * k}.add(shift)
	b.neck = b.chest.add(vec{0, 0.045 * k, 0.05 * k})
	sc.poseHead(&b, t, k)
	sc.poseArms(&b, t, k)
	return b
}

// poseHead turns the head toward the target about the line of the neck.
func (sc *scene) poseHead(b *body, t, k float64) {
	b.turn = sc.headTurn.at(t)
	lift := 0.12 * b.turn
	gaze := gazeDown - 0.35*b.turn
	face := vec{0, -math.Sin(gaze), math.Cos(gaze)}
	crown := vec{0, math.Cos(gaze), math.Sin(gaze)}
	face = face.turned(crown, b.turn)
	b.head = b.neck.add(crown.mul(0.155 * k)).add(vec{-0.25 * sc.sway.at(t), lift * 0.04 * k, 0})
	b.skull = frame3{at: b.head, ex: crown.cross(face), ey: crown, ez: face}
	b.capSticker = b.skull.place(vec{0, 0.055 * k, 0.185 * k})
}

// Places of the hands' middles below the grip's top, metres.
const (
	leadGrip  = 0.075
	trailGrip = 0.165
	gripLong  = 0.27
)

func (sc *scene) poseArms(b *body, t, k float64) {
	club, p := sc.clubAt(t), sc.spec.Putter
	b.gripTop = club.place(p.onShaft(p.Length))
	b.gripEnd = club.place(p.onShaft(p.Length - gripLong))
	b.shaftFoot = club.place(p.hosel())
	b.hand[lead] = club.place(p.onShaft(p.Length - leadGrip))
	b.hand[trail] = club.place(p.onShaft(p.Length - trailGrip))
	rock := sc.rock.at(t) + sc.addressTilt
	swivel := addressSwivel + sc.swivel.at(t)
	across := vec{math.Cos(rock), -math.Sin(rock), 0.35 * math.Sin(rock)}
	above := vec{math.Sin(rock), math.Cos(rock), 0}
	for i, s := range sideSign {
		b.shoulder[i] = b.chest.add(across.mul(s * halfShoulders * k))
		b.wrist[i] = b.hand[i].toward(b.shoulder[i], wristToHand*k/b.hand[i].sub(b.shoulder[i]).length())
		b.reach(i, k, swivel)
		b.elbowBand[i] = b.elbow[i].toward(b.wrist[i], bandFromJoint*k/b.wrist[i].sub(b.elbow[i]).length())
		b.wristBand[i] = b.wrist[i].toward(b.elbow[i], bandFromJoint*k/b.wrist[i].sub(b.elbow[i]).length())
		// The stickers turn with the shoulders.
		b.shoulderSticker[i] = b.shoulder[i].add(across.mul(-s * 0.015 * k)).add(above.mul(0.03 * k)).add(vec{0, 0, 0.068 * k})
	}
}

// reach bends one arm by the law of cosines. An arm that is too short pulls its
// shoulder along.
func (b *body) reach(i int, k, swivel float64) {
	l1, l2 := upperArm*k, foreArm*k
	d := b.wrist[i].sub(b.shoulder[i])
	if far := d.length() - 0.995*(l1+l2); far > 0 {
		b.shoulder[i] = b.shoulder[i].add(d.unit().mul(far))
		d = b.wrist[i].sub(b.shoulder[i])
	}
	dist := d.length()
	a := (l1*l1 - l2*l2 + dist*dist) / (2 * dist)
	h := math.Sqrt(math.Max(0, l1*l1-a*a))
	dir := d.unit()
	pole := vec{sideSign[i] * math.Sin(swivel), 0, -math.Cos(swivel)}
	pole = pole.sub(dir.mul(pole.dot(dir))).unit()
	b.elbow[i] = b.shoulder[i].add(dir.mul(a)).add(pole.mul(h))
}
