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
	crowded bool   // something of its colour is near
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

// lumaPlace is where the luma plane alone shows the sticker, px; u is 0 when it
// does not stand out there.
type lumaPlace struct {
	x, y, u float64
	r       float64 // radius
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
		colour: Colour{s.back.U + fit.gain*s.diff.U, s.back.V + fit.gain*s.diff.V}, crowded: crowded,
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
	out.luma = s.inLuma(f, fit.disc)
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
	cx, cy := int(math.Round(x)), int(math.Round(y))
	x0, y0 := cx-half, cy-half
	if cx+half >= w || cy+half >= h || x0 < 0 || y0 < 0 {
		return 0, 0, false, fault{Text: offPicture}
	}
	side := 2*half + 1
	s.chroma.reach = 0
	far := math.Inf(1)
	if a.closely != nil {
		s.back, s.chroma.reach = *a.closely, closeReach
		far = b.r + b.l/2 + 2*closeReach
	} else {
		s.back = s.surroundings(f, x0, y0, side, w)
	}
	s.diff = a.colour.sub(s.back)
	back, diff := s.back, s.diff
	d2 := diff.U*diff.U + diff.V*diff.V
	if contrast := math.Sqrt(d2); contrast < minContrast {
		return 0, 0, false, fault{Text: pale, Got: contrast, Limit: minContrast}
	}
	rim, outside := b.r+b.l+crowdFrom, 0
	s.chroma.resize(x0, y0, side, side)
	if a.matt && !s.projectMatt(f, x, y, a, x0, y0, side, w) {
		return 0, 0, false, fault{Text: noDisc}
	}
	var m float64
	for j := 0; j < side; j++ {
		row := (y0+j)*w + x0
		for i := 0; i < side; i++ {
			if !a.matt {
				du := float64(f.U[row+i]) - 128 - back.U
				dv := float64(f.V[row+i]) - 128 - back.V
				s.chroma.p[j*side+i] = clamp((du*diff.U+dv*diff.V)/d2, -0.15, 1.4)
			}
			p := s.chroma.p[j*side+i]
			if !(p > 0.35) {
				continue
			}
			d := math.Hypot(float64(x0+i)-x, float64(y0+j)-y)
			if d > rim {
				outside++
			}
			if d < far {
				m += p
				mx += p * float64(x0+i)
				my += p * float64(y0+j)
			}
		}
	}
	area := math.Pi*b.r*b.r + 2*b.r*b.l
	if m < leastCover*area {
		return 0, 0, false, fault{Text: sparse, Got: m / area, Limit: leastCover}
	}
	return mx / m, my / m, outside >= crowd, fault{}
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

const (
	// lumaContrast is the least difference, levels, between sticker and head at
	// which the luma plane is used.
	lumaContrast = 12
	// smallDisc is the radius, chroma px, below which chroma does not tell size from
	// brightness; luma, with twice the samples, does.
	smallDisc = 1.3
	// lumaInside is how far, px, from its middle even the smallest sticker reaches.
	lumaInside = 1.4
	// edgeLuma is the blur of an edge in the luma plane, px.
	edgeLuma = 0.7
	// lumaReach is how far around the sticker the luma plane is looked at, px:
	// the head is hardly higher than the sticker.
	lumaReach = 1.8
	// lumaRMS is the worst luma fit that is believed, as a share of the contrast:
	// a highlight or the head's edge beside the sticker fits worse.
	lumaRMS = 0.25
)

// inLuma finds the disc of a chroma fit again in the luma plane, where it is
// seen twice as large. Size and streak are taken from the chroma fit, but for the
// size of a small one.
func (s *sighter) inLuma(f *track.Frame, c disc) lumaPlace {
	half := int(math.Ceil(2*c.r + c.l + 2))
	x0, y0 := int(math.Round(2*c.x))-half, int(math.Round(2*c.y))-half
	side := 2*half + 1
	if x0 < 0 || y0 < 0 || x0+side > f.Width || y0+side > f.Height {
		return lumaPlace{}
	}
	s.us, s.vs = s.us[:0], s.vs[:0]
	for j := 0; j < side; j++ {
		for i := 0; i < side; i++ {
			v := float64(f.Y[(y0+j)*f.Width+x0+i])
			switch r := math.Hypot(float64(x0+i)-2*c.x-0.25, float64(y0+j)-2*c.y-0.5); {
			case r < math.Max(1.2*c.r, lumaInside):
				s.us = append(s.us, v)
			case r > 2*c.r+1 && r < 2*c.r+2.5:
				s.vs = append(s.vs, v)
			}
		}
	}
	if len(s.us) < 5 || len(s.vs) < 5 {
		return lumaPlace{}
	}
	level, back := median(s.us), median(s.vs)
	if math.Abs(level-back) < lumaContrast {
		return lumaPlace{}
	}
	s.luma.resize(x0, y0, side, side)
	s.luma.reach = lumaReach
	for j := 0; j < side; j++ {
		for i := 0; i < side; i++ {
			s.luma.p[j*side+i] = clamp((float64(f.Y[(y0+j)*f.Width+x0+i])-back)/(level-back), -0.3, 1.3)
		}
	}
	d := disc{x: 2*c.x + 0.25, y: 2*c.y + 0.5, r: 2 * c.r, l: 2 * c.l, dx: c.dx, dy: c.dy, gain: 1}
	b := belief{r: d.r, ur: 0.15, l: d.l, ul: 0.3}
	if c.r < smallDisc {
		b.ur = 0.3 * d.r
	}
	fit, ok := fitDisc(&s.luma, d, b, edgeLuma)
	if !ok || fit.rms > lumaRMS || math.Hypot(fit.x-d.x, fit.y-d.y) > 1.2 {
		return lumaPlace{}
	}
	return lumaPlace{fit.x, fit.y, math.Max(fit.ux, fit.uy), fit.r}
}
