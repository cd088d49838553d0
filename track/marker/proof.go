package marker

import "math"

// taps are how pixels share a colour sample along one axis, from the one before its
// first pixel on, by how far, px, the sample lies from that: between two pixels they
// share it evenly, on one its neighbours take a quarter each.
func taps(offset float64) [4]float64 {
	switch offset {
	case 0:
		return [4]float64{0.25, 0.5, 0.25, 0}
	case 1:
		return [4]float64{0, 0.25, 0.5, 0.25}
	}
	return [4]float64{0, 0.5, 0.5, 0}
}

// binomial is the blur that sharpening takes off.
var binomial = [5]float64{1. / 16, 4. / 16, 6. / 16, 4. / 16, 1. / 16}

// proof holds the pixels that an inlay shows in a view. Colour samples share them.
type proof struct {
	offsetX, offsetY float64    // of colour samples from the first of their pixels
	noise            [2]float64 // of a sample of luma and of colour, levels

	m     *inlay
	v     *view
	at    pose
	sub   int
	parts int
	side  int
	shown []bool
	grid  []pixel
}

// around is how many pixels around a view sharpening and sharing look at.
const around = 3

// pixel is what the inlay shows in a column and a row of the view.
func (p *proof) pixel(i, j int) *pixel {
	k := (j+around)*p.side + i + around
	if !p.shown[k] {
		p.shown[k] = true
		p.m.show(&p.grid[k], float64(2*p.v.x0+i), float64(2*p.v.y0+j), p.at, p.sub, p.parts)
	}
	return &p.grid[k]
}

// compare returns the normal equations of a view for the first so many parts.
func (p *proof) compare(m *inlay, v *view, at pose, parts int) *normal {
	p.m, p.v, p.at, p.parts = m, v, at, parts
	motion := math.Hypot(at.mx, at.my)
	p.sub = 1
	if motion > 0.4 {
		p.sub = min(15, 2*int(math.Ceil(motion/2.4))+1)
	}
	p.side = 2*v.side + 2*around
	if n := p.side * p.side; cap(p.grid) < n {
		p.grid, p.shown = make([]pixel, n), make([]bool, n)
	}
	p.grid, p.shown = p.grid[:p.side*p.side], p.shown[:p.side*p.side]
	clear(p.shown)
	eq := &normal{}
	tx, ty := taps(p.offsetX), taps(p.offsetY)
	for j := range v.side {
		for i := range v.side {
			if !p.near(float64(2*(v.x0+i))+p.offsetX, float64(2*(v.y0+j))+p.offsetY) {
				continue
			}
			k := j*v.side + i
			u, w := p.shared(2*i, 2*j, tx, ty)
			eq.add(float64(v.u[k])-128-u.level, &u.by, parts, u.uncertain(p.noise[1]))
			eq.add(float64(v.v[k])-128-w.level, &w.by, parts, w.uncertain(p.noise[1]))
		}
	}
	for j := range 2 * v.side {
		for i := range 2 * v.side {
			if p.near(float64(2*v.x0+i), float64(2*v.y0+j)) {
				y := p.sharpened(i, j)
				eq.add(float64(v.y[2*j*v.side+i])-16-y.level, &y.by, parts, y.uncertain(p.noise[0]))
			}
		}
	}
	return eq
}

// near reports whether a place lies near enough to the disc to be looked at.
func (p *proof) near(x, y float64) bool {
	x, y = x-p.at.x, y-p.at.y
	if m := math.Hypot(p.at.mx, p.at.my); m > 0 {
		along := clamp((x*p.at.mx+y*p.at.my)/m, -m/2, m/2) / m
		x, y = x-along*p.at.mx, y-along*p.at.my
	}
	return math.Hypot(x, y) <= p.m.r+viewBeyond
}

// shared is a sample of either colour plane whose first pixel is (i, j).
func (p *proof) shared(i, j int, tx, ty [4]float64) (u, v sample) {
	for b, wy := range ty {
		for a, wx := range tx {
			if w := wx * wy; w > 0 {
				q := p.pixel(i+a-1, j+b-1)
				u.plus(w, &q[1], p.parts)
				v.plus(w, &q[2], p.parts)
			}
		}
	}
	return u, v
}

// sharpened is a sample of luma.
func (p *proof) sharpened(i, j int) (y sample) {
	var blur sample
	for b, wy := range binomial {
		for a, wx := range binomial {
			blur.plus(wx*wy, &p.pixel(i+a-2, j+b-2)[0], p.parts)
		}
	}
	own := &p.pixel(i, j)[0]
	y.plus(1+p.m.sharp, own, p.parts)
	y.plus(-p.m.sharp, &blur, p.parts)
	y.by[atSharp] = own.level - blur.level
	return y
}

func (s *sample) plus(w float64, o *sample, parts int) {
	s.level += w * o.level
	s.ends += w * o.ends
	for k := range parts {
		s.by[k] += w * o.by[k]
	}
}

// uEnds is how well the end of a head is known at each place, px: it is rounded, worn and
// in a light of its own, and as near to the sticker as it lies it would draw that aside.
const uEnds = 0.3

// uncertain is how uncertain a sample is, levels, with its noise and what is not known of
// the ends of the head.
func (s *sample) uncertain(noise float64) float64 { return math.Hypot(noise, uEnds*s.ends) }

// normal are normal equations; only the upper triangle is kept.
type normal struct {
	n           [inlayParts][inlayParts]float64
	g           [inlayParts]float64
	rss, weight float64
}

// outlier is from how many standard deviations on a sample counts less: something else
// is seen there.
const outlier = 4

// add takes in a sample that is off by res, levels.
func (e *normal) add(res float64, by *[inlayParts]float64, parts int, noise float64) {
	w := 1 / (noise * noise)
	if a := math.Abs(res) / (outlier * noise); a > 1 {
		w /= a * a
	}
	e.rss += w * res * res
	e.weight += w * noise * noise
	for p := range parts {
		wd := w * by[p]
		e.g[p] += wd * res
		for q := p; q < parts; q++ {
			e.n[p][q] += wd * by[q]
		}
	}
}

// believe adds that a part is expected to change by d, with a standard uncertainty.
func (e *normal) believe(part int, d, u float64) {
	e.n[part][part] += 1 / (u * u)
	e.g[part] += d / (u * u)
}

// rms is that of the residuals, in standard deviations.
func (e *normal) rms() float64 { return math.Sqrt(e.rss / math.Max(1, e.weight)) }
