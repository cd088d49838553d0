package marker

import (
	"math"
	"slices"

	"strokereel/track"
)

// pane is what a frame showed around a spot, kept for the next.
type pane struct {
	frame        int
	x0, y0, side int // chroma px
	y, u, v      []byte
}

// turn is how a picture differs from the frame before around a spot: not a number
// where that is not known.
type turn struct {
	change   float64 // levels of both colour planes together, on average
	repeated float64 // share of the luma samples that are the same to the level
}

// paneBeyond is how far, chroma px, a pane reaches beyond the disc: to clear of its
// soft edge, and of what it moves while it is slow.
const paneBeyond = 2.5

// next compares a frame with the pane that was kept of the one before, and keeps what
// it shows of a spot of radius r at (x, y), chroma px.
func (p *pane) next(f *track.Frame, x, y, r float64) turn {
	t := turn{math.NaN(), math.NaN()}
	w, h := f.ChromaSize()
	if len(p.u) > 0 && f.Index == p.frame+1 {
		t.change = float64(apart(p.u, f.U, w, p.x0, p.y0, p.side)+apart(p.v, f.V, w, p.x0, p.y0, p.side)) / float64(p.side*p.side)
		t.repeated = float64(same(p.y, f.Y, f.Width, 2*p.x0, 2*p.y0, 2*p.side)) / float64(4*p.side*p.side)
	}
	half := int(math.Ceil(r + paneBeyond))
	p.frame, p.x0, p.y0, p.side = f.Index, int(math.Round(x))-half, int(math.Round(y))-half, 2*half+1
	p.y, p.u, p.v = p.y[:0], p.u[:0], p.v[:0]
	if p.x0 >= 0 && p.y0 >= 0 && p.x0+p.side <= min(w, f.Width/2) && p.y0+p.side <= min(h, f.Height/2) {
		p.y = cut(p.y, f.Y, f.Width, 2*p.x0, 2*p.y0, 2*p.side)
		p.u = cut(p.u, f.U, w, p.x0, p.y0, p.side)
		p.v = cut(p.v, f.V, w, p.x0, p.y0, p.side)
	}
	return t
}

// cut appends a square of a plane, row by row.
func cut(out, plane []byte, w, x0, y0, side int) []byte {
	for j := range side {
		out = append(out, plane[(y0+j)*w+x0:][:side]...)
	}
	return out
}

// apart is the sum of the differences, without sign, of a square of a plane from one
// that was kept.
func apart(kept, plane []byte, w, x0, y0, side int) (sum int) {
	for j := range side {
		row := plane[(y0+j)*w+x0:][:side]
		for i, v := range kept[j*side:][:side] {
			sum += max(int(v), int(row[i])) - min(int(v), int(row[i]))
		}
	}
	return sum
}

// same counts the samples of a square of a plane that are those that were kept.
func same(kept, plane []byte, w, x0, y0, side int) (n int) {
	for j := range side {
		row := plane[(y0+j)*w+x0:][:side]
		for i, v := range kept[j*side:][:side] {
			if v == row[i] {
				n++
			}
		}
	}
	return n
}

// repeatedFrom is the share of samples from which a codec is at work. Noise alone
// repeats few; a codec that leaves out what is not worth its bits repeats most where
// little moves, and only there is a slow sticker seen behind its place. Rendered clips
// repeat 0.12 before coding and 0.55 to 0.90 after it.
const repeatedFrom = 0.35

// repeats reports whether the codec leaves out small changes around a spot. Keys,
// the frames coded by themselves, do not tell.
func (s *Spot) repeats(keys []int) bool {
	var shares []float64
	for i, d := range s.details {
		if _, key := slices.BinarySearch(keys, s.samples[i].Frame); s.samples[i].Seen && !key && !math.IsNaN(d.repeated) {
			shares = append(shares, d.repeated)
		}
	}
	return len(shares) > 0 && median(shares) > repeatedFrom
}
