package marker

import (
	"math"
	"slices"

	"strokereel/track"
)

// A highlight on a matt sticker adds the lamp's light to the sticker's own (the
// dichromatic model: Shafer, Color Research and Application 10, 1985, 210-218, from
// memory). It washes out the codes of the colour, more so toward its middle, and
// draws the middle of the sticker away from itself. In linear light the lamp adds
// as much to red as to green and blue: their differences stay.

// lightOf is linear light by code, 0 to 1 in steps, by the curve of phones.
var lightOf = func() (t [lightSteps + 1]float64) {
	for i := range t {
		t[i] = math.Pow(float64(i)/lightSteps, 2.2)
	}
	return t
}()

const (
	lightSteps = 512
	// clipped is from which code on, as a share, a channel is taken to be cut off.
	clipped = 0.985
)

func light(code float64) float64 { return lightOf[int(clamp(code, 0, 1)*lightSteps+0.5)] }

// ownLight is the difference of blue and red from green in linear light at a
// sample of the colour planes, in hundredths, which no highlight changes; false
// where a channel is cut off.
func ownLight(f *track.Frame, at, x, y int) (Colour, bool) {
	luma := (lumaMean(f, x, y) - 16) / 219
	// BT.709; of another matrix the differences turn a little, all alike.
	b := luma + 1.8556*(float64(f.U[at])-128)/224
	r := luma + 1.5748*(float64(f.V[at])-128)/224
	g := (luma - 0.2126*r - 0.0722*b) / 0.7152
	green := light(g)
	return Colour{100 * (light(b) - green), 100 * (light(r) - green)}, max(r, g, b) < clipped
}

// lumaMean is the mean of the luma around a sample of the colour planes.
func lumaMean(f *track.Frame, x, y int) float64 {
	x0, y0 := 2*x, 2*y
	x1, y1 := min(x0+1, f.Width-1), min(y0+1, f.Height-1)
	return (float64(f.Y[y0*f.Width+x0]) + float64(f.Y[y0*f.Width+x1]) + float64(f.Y[y1*f.Width+x0]) + float64(f.Y[y1*f.Width+x1])) / 4
}

const (
	// glossRim is how far, chroma px, from its edge the inside of a disc begins.
	glossRim = 0.8
	// glossLevels is by how much luma must rise inside a disc, and glossFade by how
	// much of its colour must fade there, for a highlight to lie on it.
	glossLevels, glossFade = 14, 0.10
	// glossBright is the least luma of a highlight's middle: half way to white.
	glossBright = 115
)

// glossy reports whether the inside of a disc is paler where it is brighter: so does
// a highlight; noise, shade and codecs do not.
func (s *sighter) glossy(f *track.Frame, d disc) bool {
	r := d.r - glossRim
	w, _ := f.ChromaSize()
	var n, l, p, ll, lp, brightest float64
	for j := 0; j < s.chroma.h; j++ {
		for i := 0; i < s.chroma.w; i++ {
			x, y := s.chroma.x0+i, s.chroma.y0+j
			if math.Hypot(float64(x)-d.x, float64(y)-d.y) > r {
				continue
			}
			at := y*w + x
			c := Colour{float64(f.U[at]) - 128 - s.back.U, float64(f.V[at]) - 128 - s.back.V}
			luma, share := lumaMean(f, x, y), s.diff.share(c)
			n, l, p, ll, lp = n+1, l+luma, p+share, ll+luma*luma, lp+luma*share
			brightest = math.Max(brightest, luma)
		}
	}
	if n < 4 || brightest < glossBright {
		return false
	}
	spread := math.Sqrt(math.Max(0, ll/n-l*l/n/n))
	return spread > glossLevels/2 && -(lp/n-l*p/n/n)/spread > glossFade/2
}

const (
	// litNear and litFar bound, chroma px from its edge, where beside a disc a highlight
	// may lie, and litLevels is by how much luma then rises there.
	litNear, litFar, litLevels = 0.5, 1.7, 75
)

// litBeside reports whether part of what is close to a disc just looked at is so bright
// that a highlight may lie there: a sample that shows both shows mostly the light, and
// the disc seems to end early. A thing behind the head may be as bright.
func (s *sighter) litBeside(f *track.Frame, l look) bool {
	s.us = s.us[:0]
	for j := range s.chroma.h {
		for i := range s.chroma.w {
			x, y := s.chroma.x0+i, s.chroma.y0+j
			if beyond := math.Hypot(float64(x)-l.x/2, float64(y)-l.y/2) - l.radius/2; beyond > litNear && beyond < litFar {
				s.us = append(s.us, lumaMean(f, x, y))
			}
		}
	}
	if len(s.us) == 0 {
		return false
	}
	slices.Sort(s.us)
	return s.us[len(s.us)*9/10]-s.us[0] > litLevels
}

// projectMatt fills the window in linear light without highlights: in shares of the
// colour that the inside of the disc of radius r expected at (x, y) has there. It
// reports false when that is hidden or does not stand out.
func (s *sighter) projectMatt(f *track.Frame, x, y, r float64, w int) bool {
	win := &s.chroma
	s.matt, s.us, s.vs = s.matt[:0], s.us[:0], s.vs[:0]
	var own Colour
	var n float64
	inside := math.Max(1, r-glossRim)
	for k := range win.p {
		i, j := k%win.w, k/win.w
		px, py := win.x0+i, win.y0+j
		c, ok := ownLight(f, py*w+px, px, py)
		switch {
		case !ok:
			c.U = math.NaN()
		case math.Hypot(float64(px)-x, float64(py)-y) < inside:
			own, n = Colour{own.U + c.U, own.V + c.V}, n+1
		case i == 0 || j == 0 || i == win.w-1 || j == win.h-1:
			s.us, s.vs = append(s.us, c.U), append(s.vs, c.V)
		}
		s.matt = append(s.matt, c)
	}
	if n < 3 || len(s.us) < win.w {
		return false
	}
	back := Colour{median(s.us), median(s.vs)}
	diff := Colour{own.U / n, own.V / n}.sub(back)
	for k, c := range s.matt {
		win.p[k] = clamp(diff.share(c.sub(back)), -0.15, 1.4)
	}
	return diff.norm() > leastOwn
}

// leastOwn is the least difference in own light, hundredths, at which a sticker is
// looked for by it.
const leastOwn = 4
