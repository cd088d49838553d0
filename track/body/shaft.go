package body

import (
	"math"

	"strokereel/track"
)

// Shaft finds the line of the shaft in single frames.
type Shaft struct {
	opt    Options
	pxPerM float64
	ridge  ridgeMap
	// offset is how far the line passes from the sticker, px, positive when the
	// shaft is to the right of it; it is a property of the club.
	offset  float64
	angle   float64 // rad, last one found
	known   bool    // offset and angle are
	offsets []float64
}

// ShaftLine is the shaft in one frame: the line through the points that are
// Foot and Top above the sticker along it.
type ShaftLine struct {
	Frame        int
	T            float64
	Angle        float64 // rad from the vertical, positive when the top is to the right of the foot
	U            float64 // rad, standard uncertainty
	FootX, FootY float64 // px, at the lower end of the stretch looked at
	TopX, TopY   float64 // px, at its upper end
	Support      float64 // share of the rows in which the shaft stands out
}

const (
	// mostLean is the largest lean looked for before the club is known, rad.
	mostLean = 30 * math.Pi / 180
	// mostSwing is how much the lean may differ from the last one found, rad; the
	// frames asked for may lie half a stroke apart.
	mostSwing = 45 * math.Pi / 180
	// mostOffset is the largest distance of sticker and shaft before the club is
	// known, m: half of a deep head.
	mostOffset = 0.06
	// offsetSlack is how much that distance may change as the face turns, m.
	offsetSlack = 0.012
	// leastSupport is the share of rows in which the shaft must stand out.
	leastSupport = 0.45
)

// NewShaft returns a finder for a clip of the given scale at the sticker.
func NewShaft(opt Options, pxPerM float64) *Shaft { return &Shaft{opt: opt, pxPerM: pxPerM} }

// Find looks for the shaft above a sticker at (x, y).
func (s *Shaft) Find(f *track.Frame, x, y float64) (ShaftLine, bool) {
	from, to := s.opt.ShaftFrom/1000*s.pxPerM, s.opt.ShaftTo/1000*s.pxPerM
	lean, middle, slack := mostLean, 0.0, mostOffset*s.pxPerM
	offset := 0.0
	if s.known {
		lean, middle, slack, offset = mostSwing, s.angle, offsetSlack*s.pxPerM, s.offset
	}
	reach := to*math.Tan(math.Min(1.2, math.Abs(middle)+lean)) + slack + 8
	if !s.ridge.fill(f, x, y, from, to, math.Min(reach, 1.2*to), s.opt.ShaftWidth/1000*s.pxPerM, s.opt.ShaftContrast) {
		return ShaftLine{}, false
	}
	angle, off, ok := s.ridge.search(middle, lean, offset, slack)
	if !ok {
		return ShaftLine{}, false
	}
	line, ok := s.ridge.refine(f, angle, off)
	if !ok || line.Support < leastSupport {
		return ShaftLine{}, false
	}
	line.Frame, line.T = f.Index, f.T
	s.learn(line, x, y)
	return line, true
}

// learn keeps what the line says of the club: the median distance of its first
// few sightings.
func (s *Shaft) learn(l ShaftLine, x, y float64) {
	s.angle = l.Angle
	if len(s.offsets) < 15 {
		sin, cos := math.Sincos(l.Angle)
		s.offsets = append(s.offsets, (l.FootX-x)*cos+(l.FootY-y)*sin)
	}
	if len(s.offsets) >= 3 {
		s.offset, s.known = median(s.offsets), true
	}
}
