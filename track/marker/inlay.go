package marker

import "math"

// inlay is the picture of a sticker on the head of a putter, in linear light, where
// surfaces mix at an edge: a disc, seen a little flat, on a strip between two grounds,
// each of one light, red, green and blue from 0 to 1. Lengths are luma px.
type inlay struct {
	r           float64       // half the disc's width
	flat        float64       // its height as a share of its width
	top, bottom float64       // edges of the head, from the middle of the disc
	edge        float64       // standard deviation of the blur of an edge
	sharp       float64       // how much the phone sharpens luma
	surfaces    [4][3]float64 // light of the sticker, the head, above and below that
}

// pose is where an inlay is in a frame, luma px.
type pose struct {
	x, y       float64
	slope      float64    // of the head's edges
	skew       float64    // of the disc's outline
	wide, tall float64    // by how much wider and taller than usual the disc is seen, as a share
	mx, my     float64    // motion during the exposure
	light      [4]float64 // by how much more light than usual each surface shows, as a share
}

// Numbers of what is fitted: the pose, then what is alike in all frames.
const (
	atX = iota
	atY
	atSlope
	atSkew
	atWide
	atTall
	atLight
	poseParts = atLight + 4
	atR       = iota + 2
	atFlat
	atTop
	atBottom
	atEdge
	atSharp
	atSurfaces
	inlayParts = atSurfaces + 4*3
)

// part is one of the numbers that are alike in all frames.
func (m *inlay) part(k int) *float64 {
	if k >= atSurfaces {
		k -= atSurfaces
		return &m.surfaces[k/3][k%3]
	}
	return [...]*float64{&m.r, &m.flat, &m.top, &m.bottom, &m.edge, &m.sharp}[k-atR]
}

// pixel is what one luma pixel shows, levels, and how that changes with each part: in
// luma before sharpening, and in the two planes of the colour.
type pixel [3]sample

type sample struct {
	level float64
	ends  float64 // by how much that changes when the head ends a pixel farther out
	by    [inlayParts]float64
}

// levelsOf is what the codes of red, green and blue add to luma and to the planes of
// the colour, levels (BT.709).
var levelsOf = [3][3]float64{
	{219 * 0.2126, 219 * 0.7152, 219 * 0.0722},
	{-224 * 0.2126 / 1.8556, -224 * 0.7152 / 1.8556, 224 * 0.9278 / 1.8556},
	{224 * 0.7874 / 1.5748, -224 * 0.7152 / 1.5748, -224 * 0.0722 / 1.5748},
}

// cover is how much of a pixel a surface covers, and how that changes with parts.
type cover struct {
	share                         float64
	x, y, slope, skew, wide, tall float64
	top, bottom, edge             float64
}

// show tells what the pixel at (px, py) shows of an inlay that is seen at sub instants
// of the exposure, for the first so many parts.
func (m *inlay) show(out *pixel, px, py float64, at pose, sub, parts int) {
	disc, above, below := m.covers(px, py, at, sub)
	*out = pixel{}
	head := 1 - disc.share - above.share - below.share
	shares := [4]float64{disc.share, head, above.share, below.share}
	for c := range 3 {
		var lit [4]float64
		for k := range lit {
			lit[k] = m.surfaces[k][c] * (1 + at.light[k])
		}
		h := lit[1]
		toDisc, toAbove, toBelow := lit[0]-h, lit[2]-h, lit[3]-h
		code, slope := codeOf(h + toDisc*disc.share + toAbove*above.share + toBelow*below.share)
		edges := func(d, a, b float64) float64 { return toDisc*d + toAbove*a + toBelow*b }
		var by [inlayParts]float64
		by[atX] = edges(disc.x, above.x, below.x)
		by[atY] = edges(disc.y, above.y, below.y)
		by[atSlope] = edges(0, above.slope, below.slope)
		by[atSkew] = toDisc * disc.skew
		by[atWide], by[atTall] = toDisc*disc.wide, toDisc*disc.tall
		for k, share := range shares {
			by[atLight+k] = share * m.surfaces[k][c]
		}
		byTop, byBottom := toAbove*above.top, toBelow*below.bottom
		if parts > poseParts {
			by[atR], by[atFlat] = toDisc*disc.wide/m.r, toDisc*disc.tall/m.flat
			by[atTop], by[atBottom] = byTop, byBottom
			by[atEdge] = edges(disc.edge, above.edge, below.edge)
			for k, share := range shares {
				by[atSurfaces+3*k+c] = share * (1 + at.light[k])
			}
		}
		for p := range out {
			k := levelsOf[p][c]
			out[p].level += k * code
			out[p].ends += k * slope * (byTop + byBottom)
			for i := range parts {
				out[p].by[i] += k * slope * by[i]
			}
		}
	}
}

// covers tells how much of a pixel the disc and the grounds above and below the head
// cover.
func (m *inlay) covers(px, py float64, at pose, sub int) (disc, above, below cover) {
	wide, f2 := m.r*(1+at.wide), sq(m.flat*(1+at.tall))
	n := 1 / float64(sub)
	strip, turn := newRim(at.slope, 1, m.edge), 1/math.Hypot(at.slope, 1)
	for k := range sub {
		w := (float64(k)+0.5)*n - 0.5
		ex, ey := px-at.x-at.mx*w, py-at.y-at.my*w
		qx, qy := ex+at.skew*ey, ey/f2+at.skew*ex
		r := math.Sqrt(math.Max(1e-9, ex*qx+ey*qy))
		share, d, e := 0.0, 0.0, 0.0
		if in := wide - r; in > 2 {
			share = 1
		} else if in > -2 {
			share, d, e = newRim(qx, qy, m.edge).cover(in)
		}
		d *= n
		disc.share += n * share
		disc.x, disc.y = disc.x+d*qx/r, disc.y+d*qy/r
		disc.wide, disc.tall = disc.wide+d*wide, disc.tall+d*ey*ey/(r*f2)
		disc.skew, disc.edge = disc.skew-d*ex*ey/r, disc.edge+n*e

		along, v := turn*(ex+at.slope*ey), turn*(ey-at.slope*ex)
		share, d, e = strip.cover(-m.top - v)
		d *= n
		above.share += n * share
		above.x, above.y, above.slope = above.x-d*turn*at.slope, above.y+d*turn, above.slope+d*turn*turn*along
		above.top, above.edge = above.top-d, above.edge+n*e

		share, d, e = strip.cover(v - m.bottom)
		d *= n
		below.share += n * share
		below.x, below.y, below.slope = below.x+d*turn*at.slope, below.y-d*turn, below.slope-d*turn*turn*along
		below.bottom, below.edge = below.bottom-d, below.edge+n*e
	}
	return disc, above, below
}

// rim is how an edge looks in pixels, which are squares: a ramp as wide as the square
// is across it, softened by the blur and by the square's other side.
type rim struct{ wide, soft, blur float64 }

func newRim(nx, ny, blur float64) rim {
	nx, ny = math.Abs(nx), math.Abs(ny)
	if nx == 0 && ny == 0 {
		ny = 1 // the middle of a disc: every way is as far
	}
	k := 1 / math.Hypot(nx, ny)
	wide, narrow := k*math.Max(nx, ny), k*math.Min(nx, ny)
	return rim{wide, math.Sqrt(blur*blur + narrow*narrow/12), blur}
}

// cover is the share of a pixel that is covered whose middle lies d inside an edge, and
// how it changes with d and with the blur.
func (r rim) cover(d float64) (share, byD, byBlur float64) {
	ca, da, a := inside((d + r.wide/2) / r.soft)
	cb, db, b := inside((d - r.wide/2) / r.soft)
	k := 1 / r.wide
	return k * r.soft * (a*ca + da - b*cb - db), k * (ca - cb), k * (da - db) * r.blur / r.soft
}

// inside is the share that a Gaussian edge covers at z standard deviations inside it,
// and the density there.
func inside(z float64) (share, density, at float64) {
	switch {
	case !(z > -4):
		return 0, 0, z
	case z >= 4:
		return 1, 0, z
	}
	l := (4 - z) * edgeSteps
	i := int(l)
	q, e, f := l-float64(i), edgeTable[i], edgeTable[i+1]
	return e.cover + q*(f.cover-e.cover), e.slope + q*(f.slope-e.slope), z
}

// codes is the curve of phones (ITU-R BT.709, item 1.2, from memory) and its slope.
var codes = func() (t [lightSteps + 2]struct{ code, slope float64 }) {
	for i := range t {
		if l := float64(i) / lightSteps; l < 0.018 {
			t[i].code, t[i].slope = 4.5*l, 4.5
		} else {
			t[i].code, t[i].slope = 1.099*math.Pow(l, 0.45)-0.099, 1.099*0.45*math.Pow(l, -0.55)
		}
	}
	return t
}()

// codeOf is the code of light and its slope there.
func codeOf(light float64) (code, slope float64) {
	l := clamp(light, 0, 1) * lightSteps
	i := int(l)
	q, a, b := l-float64(i), codes[i], codes[i+1]
	return a.code + q*(b.code-a.code), a.slope + q*(b.slope-a.slope)
}

// lightOfLevels is the light of levels of luma, blue and red less 16 and 128.
func lightOfLevels(y, u, v float64) (l [3]float64) {
	luma := y / 219
	b, r := luma+1.8556*u/224, luma+1.5748*v/224
	for i, c := range [3]float64{r, (luma - 0.2126*r - 0.0722*b) / 0.7152, b} {
		if l[i] = math.Max(0, c/4.5); c >= 4.5*0.018 {
			l[i] = math.Pow((c+0.099)/1.099, 1/0.45)
		}
	}
	return l
}
