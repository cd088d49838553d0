package marker

import (
	"math"

	"strokereel/track"
)

// spot is a place in the colour planes that stands out from its surroundings.
type spot struct {
	x, y   float64 // chroma px
	hits   int     // grid points that saw it
	colour Colour
}

// ringDirections are the eight directions in which a spot must differ from its
// surroundings.
var ringDirections = [8][2]float64{
	{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {.7071, .7071}, {-.7071, -.7071}, {.7071, -.7071}, {-.7071, .7071},
}

// ringRadii are the distances of the surroundings from a spot's centre, in
// chroma pixels of a 1920 px picture: a sticker of 20-25 mm has a radius of
// 1.9-5 there, the outer ones leave room for the streak of a fast one.
var ringRadii = []float64{4, 7, 11, 16}

// scanner finds spots; it holds what stays the same from frame to frame.
type scanner struct {
	opt    Options
	step   int
	rings  [][8]int // offsets into a plane, one row per radius
	margin []int    // chroma px a ring needs on every side
	accept colours
	label  []int32     // work: per grid point, 0 = no hit
	stack  []gridPoint // work
	w, h   int
}

type gridPoint struct{ x, y int }

// colours are those worth a look, by (Cb/4)<<6 | Cr/4.
type colours [4096]bool

func (a *colours) fill(opt Options) {
	want, haveHue := Hue(opt.Colour)
	for i := range a {
		c := Colour{float64(i>>6)*4 + 2 - 128, float64(i&63)*4 + 2 - 128}
		ok := c.norm() >= opt.MinChroma-2
		if ok && haveHue {
			ok = HueDistance(c.Hue(), want) <= opt.HueTolerance
		}
		a[i] = ok
	}
}

func (a *colours) has(u, v byte) bool { return a[int(u>>2)<<6|int(v>>2)] }

func newScanner(opt Options, w, h int) *scanner {
	s := &scanner{opt: opt, w: w, h: h, step: 2}
	unit := float64(max(w, h)) * 2 / 1920
	if unit < 0.75 {
		s.step = 1
	}
	last := 0
	for _, r := range ringRadii {
		rr := int(math.Round(math.Max(2, r*unit)))
		if rr == last {
			continue
		}
		last = rr
		var row [8]int
		for i, d := range ringDirections {
			row[i] = int(math.Round(d[1]*float64(rr)))*w + int(math.Round(d[0]*float64(rr)))
		}
		s.rings = append(s.rings, row)
		s.margin = append(s.margin, rr+1)
	}
	s.accept.fill(opt)
	s.label = make([]int32, (w/s.step+1)*(h/s.step+1))
	return s
}

// top is the first row that is searched.
func (s *scanner) top() int { return max(s.margin[0], int(s.opt.SearchFrom*float64(s.h))) }

// find returns the spots of a frame.
func (s *scanner) find(f *track.Frame) []spot {
	gw, gh := s.w/s.step+1, s.h/s.step+1
	clear(s.label)
	contrast2 := int32(s.opt.MinContrast * s.opt.MinContrast)
	any := false
	top := s.top()
	for gy := 0; gy < gh; gy++ {
		y := gy * s.step
		if y < top || y >= s.h-s.margin[0]-1 {
			continue
		}
		row := y * s.w
		u, v := f.U[row:row+s.w], f.V[row:row+s.w]
		for gx := 0; gx < gw; gx++ {
			x := gx * s.step
			if x >= s.w || !s.accept.has(u[x], v[x]) {
				continue
			}
			if s.standsOut(f, x, y, row+x, contrast2) {
				s.label[gy*gw+gx] = 1
				any = true
			}
		}
	}
	if !any {
		return nil
	}
	return s.gather(f, gw, gh)
}

// standsOut reports whether the colour at a place differs from that in all
// eight directions at one of the ring distances.
func (s *scanner) standsOut(f *track.Frame, x, y, at int, contrast2 int32) bool {
	cu, cv := int32(f.U[at]), int32(f.V[at])
	for k, ring := range s.rings {
		m := s.margin[k]
		if x < m || y < m || x >= s.w-m || y >= s.h-m {
			return false
		}
		ok := true
		for _, off := range ring {
			du, dv := cu-int32(f.U[at+off]), cv-int32(f.V[at+off])
			if du*du+dv*dv < contrast2 {
				ok = false
				break
			}
		}
		if ok {
			return true
		}
	}
	return false
}

// gather joins neighbouring hits of similar colour into spots.
func (s *scanner) gather(f *track.Frame, gw, gh int) []spot {
	var spots []spot
	maxHits := int(40 * float64(s.w*2) / 1920 * 40 * float64(s.w*2) / 1920 / float64(s.step*s.step))
	for gy := 0; gy < gh; gy++ {
		for gx := 0; gx < gw; gx++ {
			if s.label[gy*gw+gx] != 1 {
				continue
			}
			sp := s.grow(f, gx, gy, gw, gh)
			if sp.hits <= maxHits && sp.colour.norm() >= s.opt.MinChroma {
				spots = append(spots, sp)
			}
		}
	}
	return spots
}

// grow floods one spot from a first hit, taking neighbours of similar hue. The
// rim of a sticker is mixed with its surroundings, so the spot's colour is that
// of its most colourful point.
func (s *scanner) grow(f *track.Frame, gx, gy, gw, gh int) spot {
	at := func(p gridPoint) Colour {
		i := p.y*s.step*s.w + p.x*s.step
		return Colour{float64(f.U[i]) - 128, float64(f.V[i]) - 128}
	}
	s.stack = append(s.stack[:0], gridPoint{gx, gy})
	s.label[gy*gw+gx] = 2
	var sp spot
	var weight float64
	for len(s.stack) > 0 {
		p := s.stack[len(s.stack)-1]
		s.stack = s.stack[:len(s.stack)-1]
		c := at(p)
		n := c.norm()
		sp.hits++
		weight += n
		sp.x += n * float64(p.x*s.step)
		sp.y += n * float64(p.y*s.step)
		if n > sp.colour.norm() {
			sp.colour = c
		}
		for dy := -1; dy <= 1; dy++ {
			for dx := -1; dx <= 1; dx++ {
				q := gridPoint{p.x + dx, p.y + dy}
				if q.x < 0 || q.y < 0 || q.x >= gw || q.y >= gh || s.label[q.y*gw+q.x] != 1 {
					continue
				}
				if d := at(q); c.U*d.U+c.V*d.V < sameHue*n*d.norm() {
					continue
				}
				s.label[q.y*gw+q.x] = 2
				s.stack = append(s.stack, q)
			}
		}
	}
	sp.x /= weight
	sp.y /= weight
	return sp
}

// sameHue is the cosine of the hue difference, 45 degrees, up to which two
// neighbouring samples belong to one spot.
const sameHue = 0.707
