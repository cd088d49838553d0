package body

import (
	"maps"
	"math"
	"slices"

	"strokereel/track"
)

// arms are the patches of one look: of the person's left arm and the right one, of the
// upper arm and the forearm.
type arms [2][2]patch

const upper, fore = 0, 1

// farJoint is the joint at the other end of either limb, on the person's left, and
// stretch the part of the limb that is compared, as shares of it from the elbow on: of
// the upper arm that which does not deform with the shoulder, of the forearm that which
// the hands do not hide.
var (
	farJoint = [2]int{leftShoulder, leftWrist}
	stretch  = [2][2]float64{{-0.08, 0.5}, {-0.05, 0.7}}
)

// armsOf cuts the patches of a look.
func (p *Follower) armsOf(f *track.Frame, pose Pose) *arms {
	side := 1.0
	if p.mirrored {
		side = -1
	}
	var out arms
	for arm := range out {
		for limb := range out[arm] {
			out[arm][limb] = cut(f, pose.Joints[leftElbow+arm], pose.Joints[farJoint[limb]+arm], side)
		}
	}
	return &out
}

const (
	// addressTime is how long before the start of a stroke arms are taken as at address, s,
	// and leastLooks how many looks at them are needed.
	addressTime, leastLooks = 0.35, 3
	// modelOff is what the model errs by in how far an elbow has moved, as a share of a
	// limb, and laidOff what laying a limb's picture over another does at best: a limb is
	// no rigid board. Standard uncertainties.
	modelOff, laidOff = 0.025, 0.0067
	// modelTurned and laidTurned are those of how far a limb has turned, rad.
	modelTurned, laidTurned = 2 * math.Pi / 180, 0.6 * math.Pi / 180
	// alike is by how many levels another place may agree worse and still be the right
	// one, as light and folds change, or by which share of what differs at best.
	alike, alikeShare = 1, 0.1
	// probeOff, a share of a limb, and probeTurned, rad, are the shift and the turn over
	// which it is seen how much worse others agree.
	probeOff, probeTurned = 0.0133, 2 * math.Pi / 180
)

// armed are elbow and wrist of an arm in one look, and what is left open of them, px,
// as the scatter of one look: standard uncertainties.
type armed struct {
	elbow, wrist   Joint
	uElbow, uWrist float64
}

// followArms returns both arms of each look. How far the model is off depends on how
// an arm is bent, and what counts is how far an elbow has moved since address. So the
// picture of either limb at address is laid over that of each later look: edges of
// sleeves and arms, hems and folds tell to a pixel how far it went. Starts are those of
// the strokes, s.
func followArms(looks []seenPose, starts []float64) [][2]armed {
	out := make([][2]armed, len(looks))
	for k := range looks {
		for arm := range out[k] {
			out[k][arm] = unfollowed(bothWays(looks, k, leftElbow+arm), bothWays(looks, k, leftWrist+arm))
		}
	}
	for n, start := range starts {
		from, to := start-addressTime, math.Inf(1)
		if n == 0 {
			from = math.Inf(-1)
		}
		if n+1 < len(starts) {
			to = starts[n+1] - addressTime
		}
		for arm := range 2 {
			limbs, ok := limbsAt(looks, arm, start)
			if !ok {
				continue
			}
			laid := map[int]*[2]limb{}
			for k, q := range looks {
				if q.arms != nil && q.t >= from && q.t < to {
					elbow := out[k][arm].elbow
					laid[k] = &[2]limb{
						limbs[upper].find(&q.arms[arm][upper], elbow, bothWays(looks, k, leftShoulder+arm)),
						limbs[fore].find(&q.arms[arm][fore], elbow, out[k][arm].wrist),
					}
				}
			}
			h := hingeOf(laid, limbs)
			for k, l := range laid {
				out[k][arm].follow(l, h)
			}
		}
	}
	return out
}

// unfollowed is an arm as the model tells it.
func unfollowed(elbow, wrist Joint) armed {
	length := math.Hypot(wrist.X-elbow.X, wrist.Y-elbow.Y)
	return armed{elbow, wrist, math.Sqrt(alikeLooks) * modelOff * length, math.Sqrt(alikeLooks) * modelTurned * length}
}

// limbsAt is how the limbs of an arm look at the address of a stroke.
func limbsAt(looks []seenPose, arm int, start float64) (limbs [2]pattern, ok bool) {
	for limb := range limbs {
		var seen []*patch
		for _, q := range looks {
			if q.arms != nil && q.t >= start-addressTime && q.t <= start && q.arms[arm][limb].pix != nil {
				seen = append(seen, &q.arms[arm][limb])
			}
		}
		if len(seen) < leastLooks {
			return limbs, false
		}
		limbs[limb] = patternOf(seen, stretch[limb][0], stretch[limb][1])
	}
	return limbs, true
}

// limb is where a limb's picture lies in a look.
type limb struct {
	x, y         float64 // px, where what was at the model's elbow at address is now
	turn         float64 // rad, since address
	ax, ay       float64 // unit vector along the limb
	bx, by       float64 // and across it
	along, cross float64 // px, standard uncertainties; infinite where nothing tells
	turned       float64 // rad
}

// find lays a pattern over what is seen in a look, near where the model says the limb is.
// It tells the more in a direction the worse it agrees elsewhere in it.
func (t *pattern) find(p *patch, elbow, far Joint) limb {
	inf := math.Inf(1)
	if p.pix == nil {
		return limb{along: inf, cross: inf, turned: inf}
	}
	var guess shift
	guess.along, guess.across = p.from(elbow.X, elbow.Y)
	guess.turn = p.side * math.Remainder(math.Atan2(far.Y-elbow.Y, far.X-elbow.X)-p.dir, 2*math.Pi)
	at, least, ok := t.lay(p, guess)
	if !ok {
		return limb{along: inf, cross: inf, turned: inf}
	}
	l := limb{turn: math.Remainder(p.dir+p.side*at.turn-t.dir, 2*math.Pi)}
	l.x, l.y = p.picture(at.along, at.across)
	l.ax, l.ay, l.bx, l.by = p.axes()
	off := probeOff * t.length
	l.along = math.Hypot(laidOff*t.length, off*t.sure(p, at, shift{along: off}, least))
	l.cross = math.Hypot(laidOff*t.length, off*t.sure(p, at, shift{across: off}, least))
	l.turned = math.Hypot(laidTurned, probeTurned*t.sure(p, at, shift{turn: probeTurned}, least))
	return l
}

// sure is how surely a pattern lies where it was laid, in steps of some kind: how many
// of them it takes until it agrees clearly worse.
func (t *pattern) sure(p *patch, at, step shift, least float64) float64 {
	there := func(k float64) float64 { return t.unlike(p, at.plus(k, k, step), t.points, math.Inf(1)) }
	worse := (there(1)+there(-1))/2 - least
	if !(worse > 0) || math.IsInf(worse, 1) {
		return math.Inf(1)
	}
	return math.Max(alike, alikeShare*least) / worse
}

const (
	// ownElbow is how far from the joint the model puts an elbow, as a share of the upper
	// arm: it has its own idea of where that is.
	ownElbow = 0.1
	// alikeLooks is how many looks err alike, so that their mean is no surer than one.
	alikeLooks = 8
)

// hinge is the elbow of an arm at address.
type hinge struct {
	x, y   float64 // px, from where the model put it
	axis   float64 // rad, direction of the forearm from there to the wrist
	before float64 // rad, the same from where the model put it
	length float64 // px, of the upper arm
}

// hingeOf finds the point about which the forearm turns against the upper arm: the one
// of which both say that it goes the same way.
func hingeOf(laid map[int]*[2]limb, limbs [2]pattern) hinge {
	h := hinge{before: limbs[fore].dir, length: limbs[upper].length}
	var sum normal
	sum.add(1, 0, 0, ownElbow*h.length)
	sum.add(0, 1, 0, ownElbow*h.length)
	for _, k := range slices.Sorted(maps.Keys(laid)) {
		u, f := &laid[k][upper], &laid[k][fore]
		us, uc := math.Sincos(u.turn)
		fs, fc := math.Sincos(f.turn)
		// Across the forearm u + U p = f + F p, U and F being the turns.
		x, y := f.bx, f.by
		off := math.Hypot(u.along*(x*u.ax+y*u.ay), u.cross*(x*u.bx+y*u.by))
		sum.add(x*(uc-fc)+y*(us-fs), y*(uc-fc)-x*(us-fs), x*(f.x-u.x)+y*(f.y-u.y), math.Sqrt(alikeLooks)*math.Hypot(f.cross, off))
	}
	h.x, h.y = sum.solve()
	s, c := math.Sincos(h.before)
	h.axis = math.Atan2(limbs[fore].length*s-h.y, limbs[fore].length*c-h.x)
	return h
}

// follow puts an arm right by where its limbs lie.
func (a *armed) follow(laid *[2]limb, h hinge) {
	turn := math.Remainder(math.Atan2(a.wrist.Y-a.elbow.Y, a.wrist.X-a.elbow.X)-h.before, 2*math.Pi)
	w := math.Pow(modelTurned/laid[fore].turned, 2)
	turn += math.Remainder(laid[fore].turn-turn, 2*math.Pi) * w / (1 + w)

	if laid[fore].turned < modelTurned {
		// A forearm that is seen ends at its wrist, seen or not.
		a.wrist.Seen = math.Max(a.wrist.Seen, a.elbow.Seen)
	}

	a.elbow.X, a.elbow.Y = a.elbow.X+h.x, a.elbow.Y+h.y
	var sum normal
	sum.add(1, 0, 0, modelOff*h.length)
	sum.add(0, 1, 0, modelOff*h.length)
	tell := func(l *limb, dx, dy, u float64) {
		s, c := math.Sincos(l.turn)
		x, y := l.x+c*h.x-s*h.y-a.elbow.X, l.y+s*h.x+c*h.y-a.elbow.Y
		sum.add(dx, dy, x*dx+y*dy, u)
	}
	// A forearm is smooth: how far along it is cannot be seen.
	tell(&laid[upper], laid[upper].ax, laid[upper].ay, laid[upper].along)
	tell(&laid[upper], laid[upper].bx, laid[upper].by, laid[upper].cross)
	tell(&laid[fore], laid[fore].bx, laid[fore].by, laid[fore].cross)
	x, y := sum.solve()
	a.elbow.X, a.elbow.Y = a.elbow.X+x, a.elbow.Y+y
	a.uElbow = math.Sqrt(alikeLooks) * sum.u()

	length := math.Hypot(a.wrist.X-a.elbow.X, a.wrist.Y-a.elbow.Y)
	s, c := math.Sincos(h.axis + turn)
	a.wrist.X, a.wrist.Y = a.elbow.X+length*c, a.elbow.Y+length*s
	a.uWrist = math.Sqrt(alikeLooks) * length * modelTurned / math.Sqrt(1+w)
}

// normal gathers what is told of a place (x, y), each along one direction, by least
// squares.
type normal struct{ xx, xy, yy, x, y float64 }

// add notes how far the place is along a unit vector, with its standard uncertainty.
func (n *normal) add(dx, dy, far, u float64) {
	if !(u < math.MaxFloat64) {
		return // nothing is known
	}
	w := 1 / (u * u)
	n.xx, n.xy, n.yy = n.xx+w*dx*dx, n.xy+w*dx*dy, n.yy+w*dy*dy
	n.x, n.y = n.x+w*far*dx, n.y+w*far*dy
}

func (n normal) solve() (x, y float64) {
	det := n.xx*n.yy - n.xy*n.xy
	return (n.x*n.yy - n.y*n.xy) / det, (n.y*n.xx - n.x*n.xy) / det
}

// u is the standard uncertainty of the place in either direction.
func (n normal) u() float64 { return math.Sqrt((n.xx + n.yy) / (n.xx*n.yy - n.xy*n.xy) / 2) }
