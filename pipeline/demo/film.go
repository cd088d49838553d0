package demo

import (
	"image"
	"math"
)

// studio is what the films of one clip share: the empty room.
type studio struct {
	scene  *scene
	still  *patch
	sensor *sensor
}

func newStudio(sc *scene) *studio {
	st := &studio{scene: sc, still: newPatch(0, 0, sc.view.width, sc.view.height)}
	sc.paintRoom(st.still)
	st.sensor = newSensor(sc.spec.Video, sc.spec.noiseSeed())
	return st
}

// film draws frames for one goroutine. Forearms, club and ball are drawn anew in
// every frame; the rest of the figure only when it has moved.
type film struct {
	*studio
	painter painter
	behind  *patch  // room and slow figure in linear light
	base    coded   // behind, exposed
	posed   []point // slow figure as drawn in behind, nil before
	posedIn image.Rectangle
	changed coded
	work    patch
	sum     []rgb
}

func (st *studio) film() *film {
	f := &film{studio: st, painter: newPainter(st.scene.view, newGrain(st.scene.spec.Room.Grain+1))}
	f.behind = newPatch(0, 0, st.still.w, st.still.h)
	copy(f.behind.pix, st.still.pix)
	st.sensor.expose(f.behind, &f.base)
	return f
}

// shoot draws frame n, exposed around t, as a 4:2:0 picture.
func (f *film) shoot(n int, t float64, out []byte) {
	sc := f.scene
	w, h := sc.view.width, sc.view.height
	if sc.spec.Player.Present {
		f.pose(t)
	}
	g := newGrains(sc.spec.noiseSeed(), n, w)
	f.sensor.develop(&f.base, out, w, h, g)
	for _, r := range sc.moving(t) {
		if r.Empty() {
			continue
		}
		f.expose(r.Rectangle, t, r.steps, f.behind, sc.paintQuick)
		f.sensor.expose(&f.work, &f.changed)
		f.sensor.develop(&f.changed, out, w, h, g)
	}
}

// poseSlack is how far a joint of the slow figure may move before it is drawn
// again, px: more than the tremor, less than any picture shows.
const poseSlack = 0.08

// slowSoft is how much more than the marker the slow figure may move between
// two instants: nothing on it is measured finely.
const slowSoft = 4

// pose brings the slow figure in behind up to date.
func (f *film) pose(t float64) {
	now, where := f.scene.slowPose(t)
	if f.posed != nil {
		far := 0.0
		for i, p := range now {
			far = max(far, p.distance(f.posed[i]))
		}
		if far < poseSlack {
			return
		}
	}
	f.posed = now
	r := where.Union(f.posedIn)
	f.posedIn = where
	f.expose(r, t, substeps(f.scene.slowBlur(t)/slowSoft), f.still, f.scene.paintSlow)
	for y := range f.work.h {
		copy(f.behind.pix[(r.Min.Y+y)*f.behind.w+r.Min.X:], f.work.pix[y*f.work.w:(y+1)*f.work.w])
	}
	f.sensor.expose(&f.work, &f.changed)
	f.base.take(&f.changed)
}

// expose averages linear light over the shutter time in one rectangle.
func (f *film) expose(r image.Rectangle, t float64, steps int, behind *patch, paint func(*painter, float64)) {
	n := r.Dx() * r.Dy()
	if cap(f.work.pix) < n {
		f.work.pix, f.sum = make([]rgb, n), make([]rgb, n)
	}
	f.work = patch{r.Min.X, r.Min.Y, r.Dx(), r.Dy(), f.work.pix[:n]}
	f.painter.dst = &f.work
	sum := f.sum[:n]
	clear(sum)
	for k := range steps {
		f.work.copyFrom(behind)
		paint(&f.painter, t+f.scene.spec.Video.Shutter*((float64(k)+0.5)/float64(steps)-0.5))
		if steps == 1 {
			return
		}
		for i, c := range f.work.pix {
			s := &sum[i]
			s[0] += c[0]
			s[1] += c[1]
			s[2] += c[2]
		}
	}
	k := 1 / float32(steps)
	for i, s := range sum {
		f.work.pix[i] = rgb{s[0] * k, s[1] * k, s[2] * k}
	}
}

// copyFrom fills p with its place in a whole picture.
func (p *patch) copyFrom(whole *patch) {
	for y := range p.h {
		from := (p.y0+y)*whole.w + p.x0
		copy(p.pix[y*p.w:(y+1)*p.w], whole.pix[from:from+p.w])
	}
}

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
