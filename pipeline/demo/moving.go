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
	half := sc.spec.Video.Shutter / 2
	return sc.view.project(at(t - half)).distance(sc.view.project(at(t + half)))
}

func (sc *scene) ballCentre(t float64) vec {
	c, _ := sc.ballAt(t)
	return c
}

// rim is how far beyond a moving thing its rectangle reaches, px: antialiasing
// and the unsharp mask.
const rim = 8

// area is a rectangle of the picture (even place and size) with something in it
// that may move, and the instants that its exposure takes.
type area struct {
	image.Rectangle
	steps int
}

// moving gives the areas that differ from the room and the slow figure at t:
// forearms and club, the ball, or both in one where they meet.
func (sc *scene) moving(t float64) []area {
	half := sc.spec.Video.Shutter / 2
	var club, ball box
	for _, at := range []float64{t - half, t, t + half} {
		if sc.spec.Player.Present {
			sc.boxArms(&club, at)
		}
		if sc.spec.Putter.Present {
			sc.boxClub(&club, at)
		}
		if sc.spec.Ball.Present {
			c := sc.ballCentre(at)
			ball.add(sc.view, vec{c.x, 0.01, c.z}, 0.085)
		}
	}
	w, h := sc.view.width, sc.view.height
	a := area{club.even(w, h), substeps(sc.blur(t, sc.marker))}
	b := area{ball.even(w, h), substeps(sc.blur(t, sc.ballCentre))}
	if a.Overlaps(b.Rectangle) {
		return []area{{a.Union(b.Rectangle), max(a.steps, b.steps)}}
	}
	return []area{a, b}
}

func (sc *scene) boxArms(x *box, t float64) {
	b := sc.bodyAt(t)
	k := sc.spec.Player.Height / figureHeight
	for i := range 2 {
		x.add(sc.view, b.elbow[i], 0.06*k)
		x.add(sc.view, b.hand[i], 0.09*k)
	}
}

// slowPose is where the slow figure's joints are seen and the rectangle they
// fill.
func (sc *scene) slowPose(t float64) ([]point, image.Rectangle) {
	b := sc.bodyAt(t)
	k := sc.spec.Player.Height / figureHeight
	var x box
	var pose []point
	put := func(p vec, radius float64) {
		pose = append(pose, sc.view.project(p))
		x.add(sc.view, p, radius*k)
	}
	for i := range 2 {
		put(b.ankle[i], 0.11)
		put(b.toe[i], 0.08)
		put(b.hip[i], 0.14)
		put(b.knee[i], 0.09)
		put(b.shoulder[i], 0.10)
		put(b.elbow[i], 0.08)
	}
	put(b.head, 0.17)
	put(b.capSticker, 0.05)
	put(b.skull.place(vec{0, 0, 0.1}), 0.05)
	return pose, x.even(sc.view.width, sc.view.height)
}

// slowBlur is how far the slow figure moves during the exposure, px.
func (sc *scene) slowBlur(t float64) float64 {
	half := sc.spec.Video.Shutter / 2
	a, _ := sc.slowPose(t - half)
	b, _ := sc.slowPose(t + half)
	far := 0.0
	for i := range a {
		far = max(far, a[i].distance(b[i]))
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

func (x *box) even(w, h int) image.Rectangle {
	r := x.r.Intersect(image.Rect(0, 0, w, h))
	r.Min.X, r.Min.Y = r.Min.X&^1, r.Min.Y&^1
	r.Max.X, r.Max.Y = (r.Max.X+1)&^1, (r.Max.Y+1)&^1
	return r
}
