package demo

// studio is what the films of one clip share: the empty room.
type studio struct {
	scene  *scene
	still  *patch
	sensor *sensor
}

func newStudio(sc *scene) *studio {
	st := &studio{scene: sc, still: newPatch(sc.view.width, sc.view.height)}
	sc.paintRoom(st.still)
	st.sensor = newSensor(sc.spec.Video, sc.spec.noiseSeed())
	return st
}

// film draws frames for one goroutine. Forearms, club and ball are drawn anew in
// every frame; the rest of the figure only when it has moved. Only what was
// painted is coded anew.
type film struct {
	*studio
	painter painter
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
	w, h := st.still.w, st.still.h
	f := &film{studio: st, painter: newPainter(st.scene.view, newGrain(st.scene.spec.Room.Grain+1)),
		behind: newPatch(w, h), work: newPatch(w, h), sum: make([]rgb, w*h), base: newCoded(w, h), front: newCoded(w, h),
		dark: newDarkroom(w, h), whole: wholeSpans(w, h), touched: newSpans(h), blocks: newSpans(h), slow: newSpans(h)}
	copy(f.behind.pix, st.still.pix)
	copy(f.work.pix, st.still.pix)
	f.painter.dst = f.work
	st.sensor.expose(f.behind, &f.whole, f.base, f.dark)
	return f
}

// shoot draws frame n, exposed around t, as a 4:2:0 picture.
func (f *film) shoot(n int, t float64, out []byte) {
	sc := f.scene
	if sc.spec.Player.Present {
		f.pose(t)
	}
	g := newGrains(sc.spec.noiseSeed(), n, f.work.w)
	f.sensor.develop(f.base, &f.whole, out, g)
	for _, a := range sc.moving(t) {
		f.expose(f.behind, t, a)
		f.touched.grown(&f.blocks, reach, blockWide, 2, f.work.w)
		f.sensor.expose(f.work, &f.blocks, f.front, f.dark)
		f.sensor.develop(f.front, &f.blocks, out, g)
		f.work.copyRuns(f.behind, &f.touched)
	}
}

// pose brings the slow figure in behind up to date.
func (f *film) pose(t float64) {
	now := f.scene.slowPose(t)
	if f.posed != nil && !moved(f.posed, now) {
		return
	}
	f.posed = now
	f.work.copyRuns(f.still, &f.slow)
	f.expose(f.still, t, action{substeps(f.scene.slowBlur(t) / slowSoft), f.scene.paintSlow})
	f.touched.join(&f.slow)
	f.slow.clear()
	f.slow.join(&f.work.painted)
	f.behind.copyRuns(f.work, &f.touched)
	f.touched.grown(&f.blocks, reach, blockWide, 2, f.work.w)
	f.sensor.expose(f.behind, &f.blocks, f.base, f.dark)
}

// expose averages linear light over the shutter time in work, which is what lies
// behind as yet. Touched then holds what was painted.
func (f *film) expose(behind *patch, t float64, a action) {
	f.touched.clear()
	f.work.painted.clear()
	if a.steps == 1 {
		a.paint(&f.painter, t)
		f.touched.join(&f.work.painted)
		return
	}
	for k := range a.steps {
		a.paint(&f.painter, t+f.scene.spec.Video.Shutter*((float64(k)+0.5)/float64(a.steps)-0.5))
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
