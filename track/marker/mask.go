package marker

import "strokereel/track"

// What a sample of the colour planes is to the scan for stickers.
const (
	Plain     = iota // nothing
	Coloured         // of a colour a sticker may have
	StandsOut        // and unlike what surrounds it, below the place from which is searched
)

// Mask shows, sample by sample, what the scan for stickers takes notice of. It is
// for looking; tracking does not need it.
type Mask struct{ scan *scanner }

// NewMask returns the mask of clips whose frames all have the given size.
func NewMask(opt Options, width, height int) *Mask {
	return &Mask{newScanner(opt, (width+1)/2, (height+1)/2)}
}

// Fill writes Plain, Coloured or StandsOut for every sample of the colour planes
// into dst, row by row.
func (m *Mask) Fill(dst []byte, f *track.Frame) {
	s := m.scan
	contrast2 := int32(s.opt.MinContrast * s.opt.MinContrast)
	for y := range s.h {
		for x := range s.w {
			at := y*s.w + x
			dst[at] = Plain
			if !s.accept.has(f.U[at], f.V[at]) {
				continue
			}
			dst[at] = Coloured
			if y >= s.top() && y < s.h-s.margin[0]-1 && s.standsOut(f, x, y, at, contrast2) {
				dst[at] = StandsOut
			}
		}
	}
}
