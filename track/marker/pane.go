package marker

import (
	"math"

	"strokereel/track"
)

// pane is what the colour planes showed around a spot in the frame before.
type pane struct {
	frame      int
	x0, y0     int // chroma px
	side       int
	u, v       []byte
	beforehand bool // there is one
}

// paneBeyond is how far, chroma px, a pane is compared beyond the disc: to clear of
// its soft edge. It is kept paneSlack wider, for what moves in between.
const paneBeyond, paneSlack = 2.5, 2

// change returns by how many levels, of both planes together, what surrounds a spot
// differs from the frame before, on average; not a number where that is not known.
// It then keeps this frame's.
func (p *pane) change(f *track.Frame, x, y, r float64) float64 {
	w, h := f.ChromaSize()
	half := int(math.Ceil(r + paneBeyond))
	cx, cy := int(math.Round(x)), int(math.Round(y))
	diff := math.NaN()
	if p.beforehand && f.Index == p.frame+1 && p.holds(cx-half, cy-half, 2*half+1) {
		sum := 0
		for j := cy - half; j <= cy+half; j++ {
			for i := cx - half; i <= cx+half; i++ {
				now, then := j*w+i, (j-p.y0)*p.side+i-p.x0
				sum += apart(f.U[now], p.u[then]) + apart(f.V[now], p.v[then])
			}
		}
		diff = float64(sum) / float64((2*half+1)*(2*half+1))
	}
	half += paneSlack
	p.frame, p.x0, p.y0, p.side = f.Index, cx-half, cy-half, 2*half+1
	p.u, p.v = p.u[:0], p.v[:0]
	if p.beforehand = p.x0 >= 0 && p.y0 >= 0 && p.x0+p.side <= w && p.y0+p.side <= h; p.beforehand {
		for j := p.y0; j < p.y0+p.side; j++ {
			p.u = append(p.u, f.U[j*w+p.x0:j*w+p.x0+p.side]...)
			p.v = append(p.v, f.V[j*w+p.x0:j*w+p.x0+p.side]...)
		}
	}
	return diff
}

// holds reports whether a square lies within the pane.
func (p *pane) holds(x0, y0, side int) bool {
	return x0 >= p.x0 && y0 >= p.y0 && x0+side <= p.x0+p.side && y0+side <= p.y0+p.side
}

func apart(a, b byte) int { return max(int(a), int(b)) - min(int(a), int(b)) }
