package marker

import (
	"math"
	"slices"
)

// patch is a window of one plane, projected so that the surroundings are near
// 0 and the sticker near 1. Coordinates are samples of that plane.
type patch struct {
	x0, y0, w, h int
	p            []float64 // not a number where nothing is known
	// reach bounds what counts: samples farther outside the disc than this are
	// another surface's. 0 takes the whole window.
	reach float64
}

func (a *patch) resize(x0, y0, w, h int) {
	a.x0, a.y0, a.w, a.h = x0, y0, w, h
	if cap(a.p) < w*h {
		a.p = make([]float64, w*h)
	}
	a.p = a.p[:w*h]
}

// disc is the picture of a round flat sticker that moved during the exposure:
// a disc of radius r with soft edge, smeared over the distance l along (dx, dy).
// All lengths are samples of the plane.
type disc struct {
	x, y   float64 // centre at mid-exposure
	r      float64
	l      float64 // streak length
	dx, dy float64 // unit vector of the motion
	gain   float64 // level of the sticker above the surroundings
	base   float64 // level of the surroundings
}

// belief is what is known of a disc's size and streak before looking.
type belief struct {
	r, ur float64
	l, ul float64
}

// discFit is a fitted disc with its standard uncertainties.
type discFit struct {
	disc
	ux, uy float64 // samples of the plane
	ur     float64
	rms    float64 // of the residuals, as a share of gain
}

const (
	// edgeChroma is the blur of an edge in the colour planes (standard
	// deviation of a Gaussian, chroma px): lens, the averaging of 2x2 pixels
	// and the codec together.
	edgeChroma = 0.55
	// noiseCorrelation widens the uncertainty of a fit because neighbouring
	// samples of decoded video do not err independently (blocks, deblocking).
	noiseCorrelation = 1.35

	// uGain is how well the level of a disc is known before looking, as a share: of
	// the smallest no sample shows the whole colour. Without it such a disc may
	// shrink to a point of any brightness.
	uGain = 0.25

	fitParams = 6 // x, y, gain, base, r, l
)

// edgeTable holds the Gaussian edge: the share of a sample that is covered at a
// distance z (in standard deviations) outside the edge, and the density there.
// The fit spends most of its time here.
var edgeTable = func() (t [8*edgeSteps + 2]struct{ cover, slope float64 }) {
	for i := range t {
		z := float64(i)/edgeSteps - 4
		t[i].cover = 0.5 * math.Erfc(z/math.Sqrt2)
		t[i].slope = math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
	}
	return t
}()

const edgeSteps = 128

// fitDisc fits a disc to a patch by damped Gauss-Newton with the belief as
// prior (Bard 1974; the normal matrix gives the covariance). It reports false
// when the patch shows no disc.
func fitDisc(a *patch, start disc, b belief, edge float64) (discFit, bool) {
	d := start
	var n [fitParams][fitParams]float64
	var rss, wsum float64
	scale := 0.15 // residual beyond which a sample counts less (Huber 1981)
	for iter := 0; iter < 8; iter++ {
		var g [fitParams]float64
		n = [fitParams][fitParams]float64{}
		rss, wsum = 0, 0
		sub := d.subframes()
		far := math.Inf(1)
		if a.reach > 0 {
			far = start.r + start.l/2 + a.reach
		}
		for i := range a.p {
			px, py := float64(a.x0+i%a.w), float64(a.y0+i/a.w)
			if (px-start.x)*(px-start.x)+(py-start.y)*(py-start.y) > far*far || math.IsNaN(a.p[i]) {
				continue
			}
			s, sx, sy, sr, sl := d.at(px, py, edge, sub)
			res := a.p[i] - (d.base + d.gain*s)
			w := 1.0
			if m := math.Abs(res); m > scale {
				w = scale / m
			}
			j := [fitParams]float64{d.gain * sx, d.gain * sy, s, 1, d.gain * sr, d.gain * sl}
			for p := 0; p < fitParams; p++ {
				wj := w * j[p]
				g[p] += wj * res
				for q := p; q < fitParams; q++ {
					n[p][q] += wj * j[q]
				}
			}
			rss += w * res * res
			wsum += w
		}
		s2 := math.Max(rss/math.Max(1, wsum-fitParams), 1e-4)
		scale = math.Max(0.05, 2*math.Sqrt(s2))
		n[4][4] += s2 / (b.ur * b.ur)
		g[4] += s2 / (b.ur * b.ur) * (b.r - d.r)
		n[2][2] += s2 / (uGain * uGain)
		g[2] += s2 / (uGain * uGain) * (1 - d.gain)
		n[5][5] += s2 / (b.ul * b.ul)
		g[5] += s2 / (b.ul * b.ul) * (b.l - d.l)
		step, ok := solve(n, g)
		if !ok {
			return discFit{}, false
		}
		limit := math.Max(1, d.r*0.5)
		d.x += clamp(step[0], -limit, limit)
		d.y += clamp(step[1], -limit, limit)
		d.gain += step[2]
		d.base += step[3]
		d.r = math.Max(0.5, d.r+clamp(step[4], -1, 1))
		d.l = math.Max(0, d.l+clamp(step[5], -2, 2))
		if math.Abs(step[0])+math.Abs(step[1]) < 2e-3 && iter >= 2 {
			break
		}
	}
	if d.gain < 0.3 || d.gain > 2.5 {
		return discFit{}, false
	}
	s2 := math.Max(rss/math.Max(1, wsum-fitParams), 1e-4)
	f := discFit{disc: d, rms: math.Sqrt(s2) / d.gain}
	for _, c := range []struct {
		at  int
		out *float64
	}{{0, &f.ux}, {1, &f.uy}, {4, &f.ur}} {
		var e [fitParams]float64
		e[c.at] = 1
		col, ok := solve(n, e)
		if !ok || !(col[c.at] > 0) {
			return discFit{}, false
		}
		*c.out = noiseCorrelation * math.Sqrt(s2*col[c.at])
	}
	return f, true
}

// subframes returns how many instants of the exposure stand for the streak.
func (d disc) subframes() int {
	if d.l < 0.4 {
		return 1
	}
	return min(15, 2*int(math.Ceil(d.l/1.2))+1)
}

// at returns the disc's coverage at a sample and its derivatives by x, y, r
// and l.
func (d disc) at(px, py, edge float64, sub int) (s, sx, sy, sr, sl float64) {
	// Far from the disc nothing changes; this is most of the window.
	ox, oy := px-d.x, py-d.y
	far := d.r + d.l/2 + 4*edge
	if ox*ox+oy*oy > far*far {
		return 0, 0, 0, 0, 0
	}
	for k := 0; k < sub; k++ {
		t := (float64(k)+0.5)/float64(sub) - 0.5
		ex, ey := ox-d.dx*d.l*t, oy-d.dy*d.l*t
		rr := math.Sqrt(ex*ex+ey*ey) + 1e-9
		z := (rr - d.r) / edge
		if z > 4 {
			continue
		}
		if z < -4 {
			s++
			continue
		}
		e := edgeTable[int((z+4)*edgeSteps+0.5)]
		s += e.cover
		g := e.slope / edge
		sx += g * ex / rr
		sy += g * ey / rr
		sr += g
		sl += g * (ex*d.dx + ey*d.dy) / rr * t
	}
	k := 1 / float64(sub)
	return s * k, sx * k, sy * k, sr * k, sl * k
}

// solve solves the symmetric system n x = g by Cholesky factorisation; the
// upper triangle of n is used.
func solve(n [fitParams][fitParams]float64, g [fitParams]float64) ([fitParams]float64, bool) {
	var l [fitParams][fitParams]float64
	var x [fitParams]float64
	for i := 0; i < fitParams; i++ {
		for j := 0; j <= i; j++ {
			s := n[j][i]
			for k := 0; k < j; k++ {
				s -= l[i][k] * l[j][k]
			}
			if i == j {
				if s <= 1e-12 {
					return x, false
				}
				l[i][i] = math.Sqrt(s)
			} else {
				l[i][j] = s / l[j][j]
			}
		}
	}
	for i := 0; i < fitParams; i++ {
		s := g[i]
		for k := 0; k < i; k++ {
			s -= l[i][k] * x[k]
		}
		x[i] = s / l[i][i]
	}
	for i := fitParams - 1; i >= 0; i-- {
		s := x[i]
		for k := i + 1; k < fitParams; k++ {
			s -= l[k][i] * x[k]
		}
		x[i] = s / l[i][i]
	}
	return x, true
}

func clamp(v, lo, hi float64) float64 { return math.Max(lo, math.Min(hi, v)) }

// median returns the middle value; it reorders v.
func median(v []float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	slices.Sort(v)
	return v[len(v)/2]
}
