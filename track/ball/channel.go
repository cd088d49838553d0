package ball

import (
	"math"

	"strokereel/track"
)

// plane is one channel of a picture, 16-235 from black to white.
type plane struct {
	pix  []byte
	w, h int
}

// luma is the channel in which a white ball stands out most.
func luma(f *track.Frame) plane { return plane{f.Y, f.Width, f.Height} }

// redShare is what Cr adds to luma to make red, in limited-range codes (BT.709:
// 1.5748 of the range of Cr, 224, over that of luma, 219).
const redShare = 1.5748 * 219 / 224

// red is the channel in which a yellow or orange ball stands out most: as bright
// as a white one there, while a green mat is darker than in luma. Only the window
// is filled, and what a search in it looks at beyond its bounds.
func (fd *Finder) red(f *track.Frame, w window, beyond float64) plane {
	if len(fd.redPix) != len(f.Y) {
		fd.redPix = make([]byte, len(f.Y))
	}
	cw, ch := f.ChromaSize()
	x0, x1 := max(0, int(w.x0-beyond)), min(f.Width-1, int(w.x1+beyond)+1)
	for y := max(0, int(w.y0-beyond)); y <= min(f.Height-1, int(w.y1+beyond)+1); y++ {
		// A colour sample is taken to lie in the middle of its 2x2: where it does
		// not, both edges of a ball shift alike and its width stays.
		near := f.V[y/2*cw : y/2*cw+cw]
		other := min(max(y/2+y%2*2-1, 0), ch-1)
		far := f.V[other*cw : other*cw+cw]
		for x := x0; x <= x1; x++ {
			i := x / 2
			j := min(max(i+x%2*2-1, 0), cw-1)
			v := 9*int(near[i]) + 3*int(near[j]) + 3*int(far[i]) + int(far[j]) // 16 times Cr
			r := float64(f.Y[y*f.Width+x]) + redShare*(float64(v)/16-128)
			fd.redPix[y*f.Width+x] = byte(math.Max(0, math.Min(255, r+0.5)))
		}
	}
	return plane{fd.redPix, f.Width, f.Height}
}

const (
	// clearInLuma is the rise of brightness across its edge, levels, at which a
	// ball needs no other channel.
	clearInLuma = 40
	// clearerInRed is how many times more it must stand out in red to be looked at
	// there: colour has half as many samples, and their noise.
	clearerInRed = 1.4
)

// seek returns the clearest circle in a window with a radius between r0 and r1,
// and whether it was found in red.
func (fd *Finder) seek(f *track.Frame, w window, r0, r1 float64) (c circle, inRed, ok bool) {
	c, ok = find(luma(f), w, r0, r1, fd.opt.MinContrast)
	if len(f.V) == 0 || ok && c.score >= clearInLuma {
		return c, false, ok
	}
	if r, found := find(fd.red(f, w, 1.3*r1+2), w, r0, r1, fd.opt.MinContrast); found && r.score > clearerInRed*c.score {
		return r, true, true
	}
	return c, false, ok
}

// shown returns the channel in which a ball is looked at, good for a window and
// what lies near a ball in it.
func (fd *Finder) shown(f *track.Frame, b *Ball, w window) plane {
	if b.red {
		return fd.red(f, w, 3*b.Radius+7)
	}
	return luma(f)
}
