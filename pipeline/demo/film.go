package demo

import "image"

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
