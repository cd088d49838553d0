package demo

// studio is what the films of one clip share: the empty room, for a camera in
// the hand at twice the size.
type studio struct {
	scene  *scene
	still  *patch
	double *patch
	sensor *sensor
}

func newStudio(sc *scene) *studio {
	w, h := sc.view.width, sc.view.height
	st := &studio{scene: sc, sensor: newSensor(sc.spec.Video, sc.spec.noiseSeed())}
	if sc.spec.Camera.Shake.any() {
		st.double = newPatch(2*w, 2*h)
		sc.paintRoom(st.double, 2)
		return st
	}
	st.still = newPatch(w, h)
	sc.paintRoom(st.still, 1)
	p := newPainter(sc.view, newGrain(sc.spec.Room.Grain+2))
	p.dst = st.still
	sc.paintProps(&p, 0, false)
	return st
}

// film draws frames for one goroutine. Forearms, club and ball are drawn anew in
// every frame; the rest of the figure only when it has moved. Only what was
// painted is coded anew.
type film struct {
	*studio
	painter painter
	room    *patch // as this frame's camera sees it
	light   lighting
	behind  *patch // room and slow figure in linear light
	work    *patch // the same as behind, but while something is painted
	sum     []rgb  // differences from what lies behind, zero between uses
	base    *coded // behind, coded
	front   *coded // work, coded where something was painted
	dark    *darkroom
	whole   spans
	touched spans // painted in any instant of an exposure
	blocks  spans
	slow    spans // the slow figure as drawn in behind
	posed   []joint
}

func (st *studio) film() *film {
	w, h := st.scene.view.width, st.scene.view.height
	f := &film{studio: st, room: st.still, painter: newPainter(st.scene.view, newGrain(st.scene.spec.Room.Grain+1)),
		behind: newPatch(w, h), work: newPatch(w, h), sum: make([]rgb, w*h), base: newCoded(w, h), front: newCoded(w, h),
		dark: newDarkroom(w, h), whole: wholeSpans(w, h), touched: newSpans(h), blocks: newSpans(h), slow: newSpans(h)}
	f.painter.dst = f.work
	if st.double != nil {
		f.room = newPatch(w, h)
		return f
	}
	f.empty()
	return f
}

// empty takes the figure out of the picture.
func (f *film) empty() {
	copy(f.behind.pix, f.room.pix)
	copy(f.work.pix, f.room.pix)
	f.slow.clear()
	f.posed = nil
}

// shoot draws frame n, exposed around t, as a 4:2:0 picture.
func (f *film) shoot(n int, t float64, out []byte) {
	g := newGrains(f.scene.spec.noiseSeed(), n, f.work.w)
	f.code(t, func(c *coded, in *spans) { f.sensor.develop(c, in, out, g) })
}

// code draws a frame exposed around t and hands out its clean samples, run by run:
// first all, then those that something quick was painted over.
func (f *film) code(t float64, take func(*coded, *spans)) {
	sc := f.scene
	light := sc.lightAt(t)
	fresh := light != f.light || f.double != nil
	f.light = light
	if f.double != nil {
		f.room.resample(f.double, sc.viewAt(t))
		f.empty()
	}
	if sc.spec.Player.Present {
		f.pose(t, !fresh)
	}
	if fresh {
		f.sensor.expose(f.behind, &f.whole, light, f.base, f.dark)
	}
	take(f.base, &f.whole)
	for _, a := range sc.moving(t) {
		f.expose(f.behind, t, a)
		f.touched.grown(&f.blocks, reach, blockWide, 2, f.work.w)
		f.sensor.expose(f.work, &f.blocks, light, f.front, f.dark)
		take(f.front, &f.blocks)
		f.work.copyRuns(f.behind, &f.touched)
	}
}

// pose brings the slow figure in behind up to date, and its codes if asked.
func (f *film) pose(t float64, code bool) {
	now := f.scene.slowPose(t)
	if f.posed != nil && !moved(f.posed, now) {
		return
	}
	f.posed = now
	f.work.copyRuns(f.room, &f.slow)
	f.expose(f.room, t, action{substeps(f.scene.slowBlur(t) / slowSoft), f.scene.paintSlow})
	f.touched.join(&f.slow)
	f.slow.clear()
	f.slow.join(&f.work.painted)
	f.behind.copyRuns(f.work, &f.touched)
	if code {
		f.touched.grown(&f.blocks, reach, blockWide, 2, f.work.w)
		f.sensor.expose(f.behind, &f.blocks, f.light, f.base, f.dark)
	}
}

// expose averages linear light over the shutter time in work, which is what lies
// behind as yet. Touched then holds what was painted.
func (f *film) expose(behind *patch, t float64, a action) {
	f.touched.clear()
	f.work.painted.clear()
	if a.steps == 1 {
		f.painter.view = f.scene.viewAt(t)
		a.paint(&f.painter, t)
		f.touched.join(&f.work.painted)
		return
	}
	for k := range a.steps {
		at := t + f.scene.spec.Video.Shutter*((float64(k)+0.5)/float64(a.steps)-0.5)
		f.painter.view = f.scene.viewAt(at)
		a.paint(&f.painter, at)
		f.touched.join(&f.work.painted)
		f.gather(behind)
		f.work.painted.clear()
	}
	k := 1 / float32(a.steps)
	for y := f.touched.top; y < f.touched.bottom; y++ {
		lo, hi := f.touched.row(y)
		sum, pix := f.sum[y*f.work.w+lo:y*f.work.w+hi], f.work.pix[y*f.work.w+lo:y*f.work.w+hi]
		for i, s := range sum {
			pix[i][0] += s[0] * k
			pix[i][1] += s[1] * k
			pix[i][2] += s[2] * k
		}
		clear(sum)
	}
	f.work.painted.join(&f.touched)
}

// gather adds what one instant painted to the sum and wipes it out.
func (f *film) gather(behind *patch) {
	p := &f.work.painted
	for y := p.top; y < p.bottom; y++ {
		lo, hi := p.row(y)
		at := y*f.work.w + lo
		pix, was := f.work.pix[at:y*f.work.w+hi], behind.pix[at:y*f.work.w+hi]
		sum := f.sum[at:][:len(pix)]
		for i, c := range pix {
			b := was[i]
			sum[i][0] += c[0] - b[0]
			sum[i][1] += c[1] - b[1]
			sum[i][2] += c[2] - b[2]
			pix[i] = b
		}
	}
}

// copyRuns makes p equal to another picture in the runs given.
func (p *patch) copyRuns(from *patch, in *spans) {
	for y := in.top; y < in.bottom; y++ {
		lo, hi := in.row(y)
		copy(p.pix[y*p.w+lo:y*p.w+hi], from.pix[y*p.w+lo:y*p.w+hi])
	}
}
