package body

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"strokereel/track"
)

// Face follows how the head turns in the picture. A player bent over the ball looks
// down, so the axis about which the head turns points mostly at the camera, and a
// turn shows as a turn of the head's picture. The picture of the head at address is
// laid over that of every later frame, shifted and turned until the two agree best
// (Lucas and Kanade 1981, IJCAI, 674-679, from memory). A trunk that sways shifts
// it only.
type Face struct {
	x, y, radius float64 // px, the head at address
	spots        []spot
	moved        placed
	normal       mat.SymDense
	crown, chin  track.Track
}

// spot is a place of the head's picture at address, px from its middle, and how
// bright and how steep it was.
type spot struct{ x, y, level, gx, gy float64 }

// placed is how the picture of the head lies in a frame: shifted, px, turned, rad,
// and brighter, levels.
type placed struct{ dx, dy, turn, light float64 }

const (
	// faceWide is how far from the middle of the head its picture is used, as a share
	// of the distance of the ears.
	faceWide = 0.62
	// faceStep is the grid of the places used, px.
	faceStep = 2
	// faceRounds is how often a place is improved, faceDone the step, px, at which
	// it is good.
	faceRounds, faceDone = 12, 0.005
	// faceShared is what the codec makes all of a head's places err by, as a shift
	// at its rim, px.
	faceShared = 0.15
	// mostUnlike is the largest difference of the two pictures, levels rms, beyond
	// which it is no longer the same side of the head.
	mostUnlike = 25
)

// NewFace returns a follower of the head between two ears, px.
func NewFace(ax, ay, bx, by float64) *Face {
	return newFace((ax+bx)/2, (ay+by)/2, faceWide*math.Hypot(ax-bx, ay-by))
}

const (
	// capBelow is how far below the middle of a bent head, in the picture, the front
	// edge of its cap is, m, and capWide how far from that middle the head's picture
	// is used: any part of the head turns alike.
	capBelow, capWide = 0.11, 0.09
)

// FaceUnderCap returns a follower of the head with a sticker at the front edge of
// its cap, px.
func FaceUnderCap(x, y, pxPerM float64) *Face {
	return newFace(x, y-capBelow*pxPerM, capWide*pxPerM)
}

func newFace(x, y, radius float64) *Face {
	return &Face{x: x, y: y, radius: radius,
		crown: track.Track{Object: track.HeadCrown}, chin: track.Track{Object: track.HeadChin}}
}

// Next takes a frame; the first one is the address.
func (h *Face) Next(f *track.Frame) {
	p, q := track.Sample{Frame: f.Index, T: f.T}, track.Sample{Frame: f.Index, T: f.T}
	if h.spots == nil {
		h.learn(f)
	}
	if u, ok := h.lay(f); ok {
		s, c := math.Sincos(h.moved.turn)
		x, y, r := h.x+h.moved.dx, h.y+h.moved.dy, h.radius
		p.X, p.Y, p.U, p.Seen = x+r*s, y-r*c, u, true
		q.X, q.Y, q.U, q.Seen = x-r*s, y+r*c, u, true
	}
	h.crown.Samples, h.chin.Samples = append(h.crown.Samples, p), append(h.chin.Samples, q)
}

// Tracks are two points of the head's picture, above and below its middle at
// address.
func (h *Face) Tracks() []track.Track { return []track.Track{h.crown, h.chin} }

// learn notes the head's picture and the normal matrix of laying it over another.
func (h *Face) learn(f *track.Frame) {
	h.normal = *mat.NewSymDense(4, nil)
	n := int(h.radius / faceStep)
	for j := -n; j <= n; j++ {
		for i := -n; i <= n; i++ {
			x, y := float64(i*faceStep), float64(j*faceStep)
			if x*x+y*y > h.radius*h.radius {
				continue
			}
			l, ok := bright(f, h.x+x, h.y+y)
			e, ok1 := bright(f, h.x+x+1, h.y+y)
			w, ok2 := bright(f, h.x+x-1, h.y+y)
			b, ok3 := bright(f, h.x+x, h.y+y+1)
			t, ok4 := bright(f, h.x+x, h.y+y-1)
			if ok && ok1 && ok2 && ok3 && ok4 {
				o := spot{x, y, l, (e - w) / 2, (b - t) / 2}
				h.spots = append(h.spots, o)
				h.normal.SymRankOne(&h.normal, 1, mat.NewVecDense(4, o.slopes()))
			}
		}
	}
}

// slopes are how the brightness seen where a place belongs changes as the picture
// is shifted right and down, turned, and lightened.
func (o spot) slopes() []float64 { return []float64{o.gx, o.gy, o.gy*o.x - o.gx*o.y, 1} }

// lay improves how the head's picture lies in a frame, from how it lay in the last
// one, and returns the standard uncertainty of a place at its rim, px.
func (h *Face) lay(f *track.Frame) (u float64, ok bool) {
	var chol mat.Cholesky
	if len(h.spots) < 50 || !chol.Factorize(&h.normal) {
		return 0, false
	}
	m := h.moved
	for range faceRounds {
		s, c := math.Sincos(m.turn)
		b := mat.NewVecDense(4, nil)
		sum, n := 0.0, 0.0
		for _, o := range h.spots {
			l, in := bright(f, h.x+m.dx+c*o.x-s*o.y, h.y+m.dy+s*o.x+c*o.y)
			if !in {
				continue
			}
			d := o.level - l + m.light
			sum, n = sum+d*d, n+1
			b.AddScaledVec(b, d, mat.NewVecDense(4, o.slopes()))
		}
		if n < 0.8*float64(len(h.spots)) {
			return 0, false
		}
		var step mat.VecDense
		if chol.SolveVecTo(&step, b) != nil {
			return 0, false
		}
		// Slopes are those of the picture at address: turn the shift with it.
		sx, sy := step.AtVec(0), step.AtVec(1)
		m.dx, m.dy = m.dx+c*sx-s*sy, m.dy+s*sx+c*sy
		m.turn, m.light = m.turn+step.AtVec(2), m.light-step.AtVec(3)
		u = math.Sqrt(sum / n)
		if math.Hypot(sx, sy)+math.Abs(step.AtVec(2))*h.radius < faceDone {
			break
		}
	}
	if u > mostUnlike || math.Hypot(m.dx, m.dy) > h.radius || math.Abs(m.turn) > 1 {
		return 0, false
	}
	h.moved = m
	var inverse mat.SymDense
	if chol.InverseTo(&inverse) != nil {
		return 0, false
	}
	// Neighbouring differences err alike, over blocks of the codec of 8 px.
	const alike = 8 / faceStep
	return math.Hypot(faceShared, alike*u*h.radius*math.Sqrt(inverse.At(2, 2))), true
}

// bright is the brightness between pixels, levels.
func bright(f *track.Frame, x, y float64) (float64, bool) {
	i, j := int(math.Floor(x)), int(math.Floor(y))
	if i < 0 || j < 0 || i+1 >= f.Width || j+1 >= f.Height {
		return 0, false
	}
	x, y = x-float64(i), y-float64(j)
	k := j*f.Width + i
	top := float64(f.Y[k])*(1-x) + float64(f.Y[k+1])*x
	low := float64(f.Y[k+f.Width])*(1-x) + float64(f.Y[k+f.Width+1])*x
	return top*(1-y) + low*y, true
}
