package marker

import (
	"math"

	"strokereel/track"
)

// lumaPlace is where the luma plane alone shows the sticker, px; u is 0 when it
// does not stand out there.
type lumaPlace struct {
	x, y, u float64
	r, l    float64 // radius and streak
	uneven  float64 // part of u, as detail's
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
// seen twice as large. Its size is taken from the chroma fit, but for that of a small
// one. Its streak is not: the wide blur of the colour planes tells little of it, and
// a wrong one leaves no good fit.
func (s *sighter) inLuma(f *track.Frame, c disc, streak belief) lumaPlace {
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
	d := disc{x: 2*c.x + 0.25, y: 2*c.y + 0.5, r: 2 * c.r, l: 2 * streak.l, dx: c.dx, dy: c.dy, gain: 1}
	b := belief{r: d.r, ur: 0.15, l: d.l, ul: 2 * streak.ul}
	if c.r < smallDisc {
		b.ur = 0.3 * d.r
	}
	fit, ok := fitDisc(&s.luma, d, b, edgeLuma)
	if !ok || fit.rms > lumaRMS || math.Hypot(fit.x-d.x, fit.y-d.y) > 1.2 {
		return lumaPlace{}
	}
	return lumaPlace{fit.x, fit.y, math.Max(fit.ux, fit.uy), fit.r, fit.l, 0}
}
