package demo

// Slope says of one sample of a frame, as it is before noise, how it changes when
// the sticker moves over the head by a pixel of the upright picture, to the right
// and down, and how large its noise is. All are levels.
type Slope struct{ Right, Down, Noise float64 }

const (
	// nudge is how far, px, the sticker is moved either way for a slope. The mean
	// over twice as much rounds the edge off; so little makes it 1 % less steep.
	nudge = 0.05
	// slopeRim is how far, px, around the sticker samples are looked at.
	slopeRim = 8
)

// Slopes draws every so many-th frame of a clip, without noise, with the sticker
// at four places around its own, and tells what that does to luma and to both
// colour differences. Only the sticker is moved: where it lies on the head,
// nobody knows who looks for it. Sharpening is left out; it is a filter that can
// be undone, so it makes noise and slopes larger and nothing clearer. Frames that
// do not show the whole sticker are passed over.
func Slopes(spec Spec, every int, told func(frame int, luma, colour []Slope)) error {
	spec.Video.Sharpen = 0
	sc, err := newScene(spec)
	if err != nil {
		return err
	}
	f := newStudio(sc).film()
	truth := sc.truth()
	for n := 0; n < len(truth.Frames); n += max(1, every) {
		if truth.Frames[n].MarkerWhole {
			luma, colour := f.slopes(truth.Frames[n].T, truth.Frames[n].MarkerBlur)
			told(n, luma, colour)
		}
	}
	return nil
}

// slopes looks at one frame. The sticker is moved along the head; what that is in
// pixels turns the slopes into those along the picture's axes.
func (f *film) slopes(t, blur float64) (luma, colour []Slope) {
	sc := f.scene
	v, club := sc.viewAt(t), sc.clubAt(t)
	step := nudge / v.scale(club.at)
	var looks [4]glimpse
	var seen [4]point
	for i, by := range [4]vec{{step, 0, 0}, {-step, 0, 0}, {0, step, 0}, {0, -step, 0}} {
		sc.nudged = by
		seen[i] = v.see(club.place(by))
		looks[i] = newGlimpse(v.project(club.at), v.scale(club.at)*sc.spec.Putter.StickerSize/2+blur/2+slopeRim, v.width, v.height)
		f.code(t, looks[i].take)
	}
	sc.nudged = vec{}
	along, up := seen[0].sub(seen[1]), seen[2].sub(seen[3])
	det := along.x*up.y - along.y*up.x
	for p := range looks[0].planes {
		for i := range looks[0].planes[p].level {
			a := looks[0].planes[p].level[i] - looks[1].planes[p].level[i]
			b := looks[2].planes[p].level[i] - looks[3].planes[p].level[i]
			s := Slope{(a*up.y - b*along.y) / det, (b*along.x - a*up.x) / det, looks[0].planes[p].noise[i]}
			if p == 0 {
				luma = append(luma, s)
			} else {
				colour = append(colour, s)
			}
		}
	}
	return luma, colour
}

// glimpse is the clean samples of luma and both colour differences in a window.
type glimpse struct{ planes [3]window }

// window is a part of a plane, whole quads wide.
type window struct {
	x, y, w, h   int // of its samples
	level, noise []float64
}

// newGlimpse is of the window within reach of a stored pixel.
func newGlimpse(at point, reach float64, width, height int) glimpse {
	x0, x1 := max(0, int(at.x-reach)/blockWide*blockWide), min(width, (int(at.x+reach)/blockWide+1)*blockWide)
	y0, y1 := max(0, int(at.y-reach)/2*2), min(height, (int(at.y+reach)/2+1)*2)
	var g glimpse
	for p := range g.planes {
		k := 1
		if p > 0 {
			k = 2
		}
		n := (x1 - x0) / k * ((y1 - y0) / k)
		g.planes[p] = window{x0 / k, y0 / k, (x1 - x0) / k, (y1 - y0) / k, make([]float64, n), make([]float64, n)}
	}
	return g
}

// take reads what is coded in the runs.
func (g glimpse) take(c *coded, in *spans) {
	for p, from := range [3]*plane{&c.luma, &c.cb, &c.cr} {
		w, k := g.planes[p], 1
		if p > 0 {
			k = 2
		}
		for y := w.y; y < w.y+w.h; y++ {
			lo, hi := in.row(k * y)
			for x := max(w.x, lo/k); x < min(w.x+w.w, hi/k); x++ {
				at := (y-w.y)*w.w + x - w.x
				w.level[at], w.noise[at] = from.sample(x, y)
			}
		}
	}
}

// sample is the clean level of a sample and its noise, levels.
func (p *plane) sample(x, y int) (level, noise float64) {
	i := y*p.quads + x/4
	lane := p.clean[i] >> (16 * (x % 4)) & 0xffff
	return (float64(lane) - cleanUnit/2) / cleanUnit, float64(p.dev[i]&^mayClip) / sigmaUnit
}
