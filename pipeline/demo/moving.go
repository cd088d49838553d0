package demo

import (
	"image"
	"math"
)

// substeps is how many instants make up an exposure in which something moves by
// so many pixels: one below a seventh of a pixel, at least 12 from 1.5 on.
func substeps(moved float64) int {
	switch {
	case moved < 0.15:
		return 1
	case moved < 0.6:
		return 3
	case moved < 1.5:
		return 6
	}
	return max(12, int(math.Ceil(2.5*moved)))
}

// blur is how far a place moves in the picture during the exposure, px.
func (sc *scene) blur(t float64, at func(float64) vec) float64 {
	half, v := sc.spec.Video.Shutter/2, sc.viewAt(t)
	return v.project(at(t - half)).distance(v.project(at(t + half)))
}

func (sc *scene) ballCentre(t float64) vec {
	c, _ := sc.ballAt(t)
	return c
}

// rim is how far beyond a moving thing its rectangle reaches, px: antialiasing
// and the unsharp mask.
const rim = 8

// action is something to paint in a frame and the instants that its exposure
// takes.
type action struct {
	steps int
	paint func(*painter, float64)
}

// moving gives what differs from the room and the slow figure at t: forearms and
// club, then the ball, or both in one where they may meet.
func (sc *scene) moving(t float64) []action {
	half := sc.spec.Video.Shutter / 2
	var club, ball box
	for _, at := range []float64{t - half, t, t + half} {
		if sc.spec.Player.Present {
			sc.boxArms(&club, at)
		}
		if sc.spec.Putter.Present {
			sc.boxClub(&club, at)
		}
		if sc.ballShown(at) {
			c := sc.ballCentre(at)
			ball.add(sc.view, vec{c.x, 0.01, c.z}, 0.085)
		}
	}
	a, b := substeps(sc.blur(t, sc.marker)), substeps(sc.blur(t, sc.ballCentre))
	if sc.hasFront() {
		return []action{{max(a, b, substeps(sc.propBlur(t))), sc.paintAll}}
	}
	if club.r.Overlaps(ball.r) {
		return []action{{max(a, b), sc.paintQuick}}
	}
	return []action{{a, sc.paintArmsAndClub}, {b, sc.paintBall}}
}

func (sc *scene) boxArms(x *box, t float64) {
	b := sc.bodyAt(t)
	k := sc.spec.Player.Height / figureHeight
	for i := range 2 {
		x.add(sc.view, b.elbow[i], 0.06*k)
		x.add(sc.view, b.hand[i], 0.09*k)
	}
}

// joint is where a joint of the slow figure is seen and how far it may move
// before the figure is drawn again, px.
type joint struct {
	at    point
	slack float64
}

// fineSlack is for joints near a sticker that is measured: less than any picture
// shows. softSlack is for knees and elbows, where nothing of the slow figure is
// measured; it is more than the tremor.
const fineSlack, softSlack = 0.08, 0.4

// slowSoft is how much more than the marker the slow figure may move between
// two instants: nothing on it is measured finely.
const slowSoft = 4

// slowPose is where the slow figure's joints are seen.
func (sc *scene) slowPose(t float64) []joint {
	b := sc.bodyAt(t)
	var pose []joint
	put := func(p vec, slack float64) { pose = append(pose, joint{sc.view.project(p), slack}) }
	for i := range 2 {
		put(b.ankle[i], fineSlack)
		put(b.toe[i], fineSlack)
		put(b.hip[i], fineSlack)
		put(b.knee[i], softSlack)
		put(b.shoulder[i], fineSlack)
		put(b.elbow[i], softSlack)
	}
	put(b.head, fineSlack)
	put(b.capSticker, fineSlack)
	put(b.skull.place(vec{0, 0, 0.1}), fineSlack)
	return pose
}

func moved(was, now []joint) bool {
	for i, j := range now {
		if j.at.distance(was[i].at) > j.slack {
			return true
		}
	}
	return false
}

// slowBlur is how far the slow figure moves during the exposure, px.
func (sc *scene) slowBlur(t float64) float64 {
	half := sc.spec.Video.Shutter / 2
	a, b := sc.slowPose(t-half), sc.slowPose(t+half)
	far := 0.0
	for i := range a {
		far = max(far, a[i].at.distance(b[i].at))
	}
	return far
}

func (sc *scene) boxClub(x *box, t float64) {
	c, p := sc.clubAt(t), sc.spec.Putter
	x.add(sc.view, c.place(p.onShaft(p.Length)), 0.03)
	mid := c.place(vec{p.FaceAhead - p.Depth/2, 0, -p.Width / 2})
	x.add(sc.view, mid, 0.6*max(p.Depth, p.Width))
	ground := vec{mid.x + 0.25*mid.y, 0, mid.z - 0.35*mid.y}
	x.add(sc.view, ground, 1.4*max(p.Depth, p.Width)*(1+9*mid.y))
}

// box collects the pixels that balls around room points may touch.
type box struct {
	r    image.Rectangle
	used bool
}

func (x *box) add(v view, p vec, radius float64) {
	c, r := v.project(p), radius*v.scale(p)
	n := image.Rect(int(c.x-r)-rim, int(c.y-r)-rim, int(c.x+r)+rim+1, int(c.y+r)+rim+1)
	if !x.used {
		x.r, x.used = n, true
		return
	}
	x.r = x.r.Union(n)
}
