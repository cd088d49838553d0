package marker

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

const (
	// learnFrames are the slow frames, spread over the clip, that teach an inlay.
	learnFrames, learnSteps = 24, 12
	// learnSlow is the largest step, luma px per frame, of such a frame.
	learnSlow = 1.5
	// poseSteps at most find the pose in a frame.
	poseSteps = 5
	// uSlope is how differently a head is turned, uShape how differently a disc is seen
	// askew and, as a share, how large: its distance and its turn to the camera change
	// along a stroke, and a disc of a wrong size is off by where it lies between pixels.
	uSlope, uShape = 0.3, 0.03
	// uLight is how differently a surface is lit, as a share.
	uLight = 0.1
	// poseShared is what a pose errs by beyond its own uncertainty, px: surfaces are not
	// of one light.
	poseShared = 0.005
	// mostMisfit is how large, as a multiple of the noise from frame to frame, residuals
	// may usually be for an inlay to explain a clip: sensors leave 1.0 to 1.1, codecs 3 and
	// more.
	mostMisfit = 1.5
	// poseWorse is the worst fit, as a multiple of the usual, of a pose that is taken;
	// poseMove the farthest, px, that it may move a disc.
	poseWorse, poseMove = 1.8, 0.5
)

// uPart is how well a part is known before looking.
func (m *inlay) uPart(k int) float64 {
	switch k {
	case atR:
		return 0.5
	case atTop, atBottom:
		return 2
	case atFlat:
		return 0.05
	case atEdge:
		return 0.2
	case atSharp:
		return 0.4
	}
	return 0.1**m.part(k) + 0.005
}

// pupil is a view with the pose it was taken to show so far.
type pupil struct {
	v  *view
	at pose
}

// learn returns the inlay that explains views best, all of them together with the poses
// in them (Gauss-Newton).
func (p *proof) learn(start inlay, views []pupil) (inlay, bool) {
	const alike = inlayParts - poseParts
	m := start
	size := alike + poseParts*len(views)
	for range learnSteps {
		n, g := mat.NewSymDense(size, nil), mat.NewVecDense(size, nil)
		for k, s := range views {
			eq := p.compare(&m, s.v, s.at, inlayParts)
			s.at.believe(eq)
			place := func(i int) int {
				if i < poseParts {
					return alike + poseParts*k + i
				}
				return i - poseParts
			}
			eq.into(n, g, inlayParts, place)
		}
		for k := poseParts; k < inlayParts; k++ {
			i, u := k-poseParts, start.uPart(k)
			n.SetSym(i, i, n.At(i, i)+1/(u*u))
			g.SetVec(i, g.AtVec(i)+(*start.part(k)-*m.part(k))/(u*u))
		}
		d, _, ok := solved(n, g)
		if !ok {
			return m, false
		}
		m.move(d)
		for k := range views {
			views[k].at.move(d[alike+poseParts*k:])
		}
	}
	return m, true
}

// into adds the equations of the first so many parts to larger ones, in which each has
// its place.
func (e *normal) into(n *mat.SymDense, g *mat.VecDense, parts int, place func(int) int) {
	for i := range parts {
		a := place(i)
		g.SetVec(a, g.AtVec(a)+e.g[i])
		for j := i; j < parts; j++ {
			n.SetSym(a, place(j), n.At(a, place(j))+e.n[i][j])
		}
	}
}

// solved returns the solution of normal equations and its covariance.
func solved(n *mat.SymDense, g *mat.VecDense) (d []float64, c mat.Cholesky, ok bool) {
	var x mat.VecDense
	if !c.Factorize(n) || c.SolveVecTo(&x, g) != nil {
		return nil, c, false
	}
	return x.RawVector().Data, c, true
}

// move changes what is alike in all frames, by no more than the model stands in a step.
func (m *inlay) move(d []float64) {
	for k := poseParts; k < inlayParts; k++ {
		most := 0.4
		if k == atFlat || k >= atSurfaces {
			most = 0.1
		}
		*m.part(k) += clamp(d[k-poseParts], -most, most)
		if k >= atSurfaces {
			*m.part(k) = clamp(*m.part(k), 0.001, 1.2)
		}
	}
	// Beyond these it is no picture of a sticker any more.
	m.r, m.flat, m.edge = math.Max(1, m.r), clamp(m.flat, 0.6, 1.4), clamp(m.edge, 0.08, 1.5)
}

func (a *pose) move(d []float64) {
	a.x += clamp(d[atX], -0.4, 0.4)
	a.y += clamp(d[atY], -0.4, 0.4)
	a.slope += clamp(d[atSlope], -0.15, 0.15)
	a.skew += clamp(d[atSkew], -0.05, 0.05)
	a.wide = clamp(a.wide+clamp(d[atWide], -0.05, 0.05), -0.2, 0.2)
	a.tall = clamp(a.tall+clamp(d[atTall], -0.05, 0.05), -0.2, 0.2)
	for k := range a.light {
		a.light[k] = clamp(a.light[k]+clamp(d[atLight+k], -0.1, 0.1), -0.6, 0.6)
	}
}

// believe adds what is known of a pose before looking.
func (a *pose) believe(eq *normal) {
	eq.believe(atSlope, -a.slope, uSlope)
	eq.believe(atSkew, -a.skew, uShape)
	eq.believe(atWide, -a.wide, uShape)
	eq.believe(atTall, -a.tall, uShape)
	for k, l := range a.light {
		eq.believe(atLight+k, -l, uLight)
	}
}

// poseFit is a pose that was found, with its standard uncertainty by the noise that is
// left, px, and that as a multiple of the one expected; not a number where none was.
type poseFit struct {
	pose
	u, rms float64
}

// find returns the pose of an inlay in a view.
func (p *proof) find(m *inlay, v *view, at pose) poseFit {
	f := poseFit{pose: at}
	for range poseSteps {
		eq := p.compare(m, v, f.pose, poseParts)
		f.rms = eq.rms()
		f.believe(eq)
		n, g := mat.NewSymDense(poseParts, nil), mat.NewVecDense(poseParts, nil)
		eq.into(n, g, poseParts, func(i int) int { return i })
		d, c, ok := solved(n, g)
		var inv mat.SymDense
		if !ok || c.InverseTo(&inv) != nil {
			return poseFit{at, math.NaN(), math.NaN()}
		}
		f.move(d)
		f.u = f.rms * math.Sqrt(math.Max(inv.At(atX, atX), inv.At(atY, atY)))
		if math.Abs(d[atX])+math.Abs(d[atY]) < 1e-3 {
			break
		}
	}
	return f
}

// exposureFrames are the fastest frames that tell the exposure, exposureWithin how well,
// as a share of the time between frames.
const exposureFrames, exposureWithin = 8, 0.03

// exposure returns the exposure, as a share of the time between frames, that explains
// the streaks of the fastest views best. The motion of each is that from frame to frame.
func (p *proof) exposure(m *inlay, views []pupil) float64 {
	fastest := slices.SortedFunc(slices.Values(views), func(a, b pupil) int {
		return cmp.Compare(math.Hypot(b.at.mx, b.at.my), math.Hypot(a.at.mx, a.at.my))
	})
	fastest = fastest[:min(len(fastest), exposureFrames)]
	left := func(share float64) (sum float64) {
		for _, s := range fastest {
			sum += p.find(m, s.v, s.at.exposed(share)).rms
		}
		return sum
	}
	lo, hi := 0.0, 1.0
	for hi-lo > exposureWithin {
		third := (hi - lo) / 3
		if left(lo+third) < left(hi-third) {
			hi -= third
		} else {
			lo += third
		}
	}
	return (lo + hi) / 2
}

func (a pose) exposed(share float64) pose {
	a.mx, a.my = share*a.mx, share*a.my
	return a
}
