package marker

import (
	"math"

	"strokereel/track"
)

// view is what a frame shows around a spot, kept until the end of the clip.
type view struct {
	x0, y0, side int // chroma px
	y, u, v      []byte
}

// viewBeyond is how far, luma px, around a disc the head and what lies behind it are
// looked at.
const viewBeyond = 2

// newView cuts a view out of a frame; nothing where it does not lie within.
func newView(f *track.Frame, l look) *view {
	w, h := f.ChromaSize()
	half := int(math.Ceil((l.radius+l.streak/2+viewBeyond)/2)) + 1
	v := &view{x0: int(math.Round(l.x/2)) - half, y0: int(math.Round(l.y/2)) - half, side: 2*half + 1}
	if v.x0 < 0 || v.y0 < 0 || v.x0+v.side > min(w, f.Width/2) || v.y0+v.side > min(h, f.Height/2) {
		return nil
	}
	v.y = cut(nil, f.Y, f.Width, 2*v.x0, 2*v.y0, 2*v.side)
	v.u = cut(nil, f.U, w, v.x0, v.y0, v.side)
	v.v = cut(nil, f.V, w, v.x0, v.y0, v.side)
	return v
}
