package marker

import (
	"math"

	"strokereel/track"
)

// look is what one frame shows of a spot.
type look struct {
	x, y   float64 // luma px, chroma siting not yet applied
	u      float64 // luma px
	radius float64 // luma px
	streak float64 // luma px
	colour Colour
	rms    float64 // of the fit, as a share of the contrast
	luma   lumaPlace

	around  Colour // close to the disc
	crowded bool   // something of its colour, or else unusual, is near
	glossy  bool   // a highlight lies on it
	matt    bool   // measured without the highlight
}

// aim is what is looked for: a spot near (x, y) that moves by (vx, vy) a frame,
// both in chroma px, its colour, and what is believed of its size and streak.
type aim struct {
	x, y, vx, vy float64
	colour       Colour
	belief       belief
	// closely, when set, is the colour next to the disc: then nothing farther away
	// counts, whatever it is.
	closely *Colour
	matt    bool // look past a highlight
}

// sighter measures spots; it holds work space.
type sighter struct {
	chroma patch
	luma   patch
	back   Colour // surroundings in the window
	diff   Colour // from there to the spot's colour
	us, vs []float64
	matt   []Colour
}

const (
	// worstRMS is the worst fit, as a share of the contrast, that is still one of a
	// disc.
	worstRMS = 0.35
	// closeReach is how far around the disc a close look goes, chroma px: what lies
	// farther may be another thing than the head.
	closeReach = 1.2
	// crowd is how many samples of the sticker's colour farther than crowdFrom chroma
	// px outside the disc make it stand beside something of its colour.
	crowd, crowdFrom = 3, 1.6
	// leastCover is the least share of the disc that must show the spot's colour.
	leastCover = 0.25
)

// see measures a spot.
func (s *sighter) see(f *track.Frame, a aim, minContrast float64) (look, fault) {
	x, y, b := a.x, a.y, a.belief
	crowded := false
	// A window placed by a guess may cut the spot: centre it once or twice.
	for try := 0; ; try++ {
		mx, my, crowd, bad := s.project(f, x, y, a, minContrast)
		if !bad.OK() {
			return look{}, bad
		}
		crowded = crowd
		near := math.Hypot(mx-x, my-y) < 0.8
		x, y = mx, my
		if near || try == 2 {
			break
		}
	}
	d := disc{x: x, y: y, r: b.r, l: b.l, dx: 1, gain: 1}
	if v := math.Hypot(a.vx, a.vy); v > 0.05 {
		d.dx, d.dy = a.vx/v, a.vy/v
	}
	fit, ok := fitDisc(&s.chroma, d, b, edgeChroma)
	if !ok {
		return look{}, fault{Text: noDisc}
	}
	out := look{
		x: 2 * fit.x, y: 2 * fit.y, u: 2 * math.Max(fit.ux, fit.uy),
		radius: 2 * fit.r, streak: 2 * fit.l, rms: fit.rms,
		colour: Colour{s.back.U + fit.gain*s.diff.U, s.back.V + fit.gain*s.diff.V}, crowded: crowded || a.closely != nil,
	}
	if aside, most := math.Hypot(fit.x-a.x, fit.y-a.y), 2*b.r+b.l+4; aside > most {
		return out, fault{Text: elsewhere, Got: 2 * aside, Limit: 2 * most}
	}
	if fit.rms > worstRMS {
		return out, fault{Text: poorFit, Got: fit.rms, Limit: worstRMS}
	}
	if out.matt = a.matt; a.matt {
		return out, fault{} // in luma a highlight looks like more of the sticker
	}
	out.glossy = s.glossy(f, fit.disc)
	out.around = s.beside(f, fit.disc)
	if out.luma = s.inLuma(f, fit.disc, b); out.luma.u > 0 {
		out.streak = out.luma.l
	}
	if fit.r < smallDisc && out.luma.u > 0 {
		out.radius = out.luma.r
	}
	return out, fault{}
}

// project fills the window around (x, y) with the share of the spot's colour in
// each sample and returns where the middle of that is, and whether more of it lies
// at the window's rim.
func (s *sighter) project(f *track.Frame, x, y float64, a aim, minContrast float64) (mx, my float64, crowded bool, bad fault) {
	w, h := f.ChromaSize()
	b := a.belief
	half := int(math.Ceil(b.r + b.l/2 + 2.5))
	x0, y0 := int(math.Round(x))-half, int(math.Round(y))-half
	side := 2*half + 1
	if x0+side > w || y0+side > h || x0 < 0 || y0 < 0 {
		return 0, 0, false, fault{Text: offPicture}
	}
	s.chroma.resize(x0, y0, side, side)
	far := math.Inf(1)
	if a.closely != nil {
		s.back, s.chroma.reach = *a.closely, closeReach
		far = b.r + b.l/2 + 2*closeReach
	} else {
		s.back, s.chroma.reach = s.surroundings(f, x0, y0, side, w), 0
	}
	s.diff = a.colour.sub(s.back)
	if contrast := s.diff.norm(); contrast < minContrast {
		return 0, 0, false, fault{Text: pale, Got: contrast, Limit: minContrast}
	}
	if !a.matt {
		s.projectCodes(f, w)
	} else if !s.projectMatt(f, x, y, b.r, w) {
		return 0, 0, false, fault{Text: noDisc}
	}
	mx, my, m, outside := s.middle(x, y, far, b.r+b.l+crowdFrom)
	if area := math.Pi*b.r*b.r + 2*b.r*b.l; m < leastCover*area {
		return 0, 0, false, fault{Text: sparse, Got: m / area, Limit: leastCover}
	}
	return mx, my, outside >= crowd, fault{}
}

// projectCodes fills the window from the codes of the colour.
func (s *sighter) projectCodes(f *track.Frame, w int) {
	c := &s.chroma
	d2 := s.diff.U*s.diff.U + s.diff.V*s.diff.V
	for j := range c.h {
		row := (c.y0+j)*w + c.x0
		for i := range c.w {
			du := float64(f.U[row+i]) - 128 - s.back.U
			dv := float64(f.V[row+i]) - 128 - s.back.V
			c.p[j*c.w+i] = clamp((du*s.diff.U+dv*s.diff.V)/d2, -0.15, 1.4)
		}
	}
}

// middle is the middle and the mass of what is of the spot's colour nearer to a
// place than far, and how many such samples lie beyond a rim.
func (s *sighter) middle(x, y, far, rim float64) (mx, my, m float64, outside int) {
	for k, p := range s.chroma.p {
		if !(p > 0.35) { // nor where nothing is known
			continue
		}
		px, py := float64(s.chroma.x0+k%s.chroma.w), float64(s.chroma.y0+k/s.chroma.w)
		d := math.Hypot(px-x, py-y)
		if d > rim {
			outside++
		}
		if d < far {
			m, mx, my = m+p, mx+p*px, my+p*py
		}
	}
	return mx / m, my / m, m, outside
}

// beside returns the median colour close to a disc: mostly the head's.
func (s *sighter) beside(f *track.Frame, d disc) Colour {
	w, h := f.ChromaSize()
	s.us, s.vs = s.us[:0], s.vs[:0]
	lo, hi := d.r+closeReach/2, d.r+d.l/2+1.5*closeReach
	for y := max(0, int(d.y-hi)); y <= min(h-1, int(d.y+hi)+1); y++ {
		for x := max(0, int(d.x-hi)); x <= min(w-1, int(d.x+hi)+1); x++ {
			if r := math.Hypot(float64(x)-d.x, float64(y)-d.y); r > lo && r < hi {
				s.us = append(s.us, float64(f.U[y*w+x])-128)
				s.vs = append(s.vs, float64(f.V[y*w+x])-128)
			}
		}
	}
	return Colour{median(s.us), median(s.vs)}
}

// surroundings returns the median colour of the window's border.
func (s *sighter) surroundings(f *track.Frame, x0, y0, side, w int) Colour {
	s.us, s.vs = s.us[:0], s.vs[:0]
	add := func(x, y int) {
		i := y*w + x
		s.us = append(s.us, float64(f.U[i])-128)
		s.vs = append(s.vs, float64(f.V[i])-128)
	}
	for i := 0; i < side; i++ {
		add(x0+i, y0)
		add(x0+i, y0+side-1)
		add(x0, y0+i)
		add(x0+side-1, y0+i)
	}
	return Colour{median(s.us), median(s.vs)}
}
