package body

import (
	"math"

	"strokereel/track"
)

// patch is what is seen around an arm's elbow along one of its two limbs, in one
// look: samples on lines along the limb, as fine whatever the size of the picture.
type patch struct {
	x, y   float64   // px, the elbow as the model tells it
	dir    float64   // rad, of the limb away from the elbow
	length float64   // px, of the limb
	side   float64   // +1 or -1: which way is across, so that a mirror image reads alike
	pix    []float32 // brightness and two colours of each sample, along the limb and then across
}

const (
	// perLimb is how many samples there are in the length of a limb.
	perLimb = 60
	// A patch reaches from patchBack before the elbow to patchOn beyond it and patchWide
	// to either side, samples: what is compared and as much more as the model may err.
	patchBack, patchOn, patchWide = 14, 50, 27
	patchCols                     = 2*patchWide + 1
	patchRows                     = patchBack + patchOn + 1
)

// cut takes the patch between an elbow and the far joint of a limb from a frame.
func cut(f *track.Frame, elbow, far Joint, side float64) patch {
	dx, dy := far.X-elbow.X, far.Y-elbow.Y
	p := patch{x: elbow.X, y: elbow.Y, dir: math.Atan2(dy, dx), length: math.Hypot(dx, dy), side: side}
	if !(p.length > 0) {
		return p
	}
	p.pix = make([]float32, 0, 3*patchRows*patchCols)
	cw, ch := f.ChromaSize()
	for row := -patchBack; row <= patchOn; row++ {
		for col := -patchWide; col <= patchWide; col++ {
			x, y := p.picture(float64(row)*p.step(), float64(col)*p.step())
			cx, cy := (x-0.5)/2, (y-0.5)/2
			p.pix = append(p.pix, between(f.Y, f.Width, f.Height, x, y), between(f.U, cw, ch, cx, cy), between(f.V, cw, ch, cx, cy))
		}
	}
	return p
}

// step is the distance of samples, px.
func (p *patch) step() float64 { return p.length / perLimb }

// axes are the unit vectors along and across the limb.
func (p *patch) axes() (ax, ay, bx, by float64) {
	ay, ax = math.Sincos(p.dir)
	return ax, ay, -p.side * ay, p.side * ax
}

// picture is the place, px, so far along the limb and across it from the elbow.
func (p *patch) picture(along, across float64) (x, y float64) {
	ax, ay, bx, by := p.axes()
	return p.x + along*ax + across*bx, p.y + along*ay + across*by
}

// from is the reverse of picture.
func (p *patch) from(x, y float64) (along, across float64) {
	ax, ay, bx, by := p.axes()
	return (x-p.x)*ax + (y-p.y)*ay, (x-p.x)*bx + (y-p.y)*by
}

// levels is what is seen at a place between samples.
type levels [3]float32

// at is what is seen so far along the limb and across it, px; false outside.
func (p *patch) at(along, across float64) (levels, bool) {
	r, c := along/p.step()+patchBack, across/p.step()+patchWide
	if !(r >= 0 && c >= 0 && r < patchRows-1 && c < patchCols-1) {
		return levels{}, false
	}
	i, j := int(r), int(c)
	a, b := float32(r-float64(i)), float32(c-float64(j))
	k := 3 * (i*patchCols + j)
	q, s := p.pix[k:k+6], p.pix[k+3*patchCols:k+3*patchCols+6]
	var out levels
	for n := range out {
		top := q[n] + b*(q[n+3]-q[n])
		low := s[n] + b*(s[n+3]-s[n])
		out[n] = top + a*(low-top)
	}
	return out, true
}

// unlike is how much two places differ in brightness and colour, levels. A plane of
// colour has half of the range that brightness has.
func (l *levels) unlike(o levels) float32 {
	return size(l[0]-o[0]) + 2*size(l[1]-o[1]) + 2*size(l[2]-o[2])
}

func size(v float32) float32 { return max(v, -v) }

// between is the level of a plane between its samples; outside it goes on as at its rim.
func between(plane []byte, w, h int, x, y float64) float32 {
	x, y = math.Max(0, math.Min(x, float64(w)-1.001)), math.Max(0, math.Min(y, float64(h)-1.001))
	i, j := int(x), int(y)
	a, b := x-float64(i), y-float64(j)
	k := j*w + i
	top := float64(plane[k])*(1-a) + float64(plane[k+1])*a
	low := float64(plane[k+w])*(1-a) + float64(plane[k+w+1])*a
	return float32(top*(1-b) + low*b)
}
