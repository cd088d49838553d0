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
	offset   float64
	light    float64  // as a share, last one found
	stripes  *stripes // what it looks like
	lesson   *lesson  // nil when it is over
	shutter  shutter
	interval float64 // s, from picture to picture
	beside   float64 // px, to the right of the sticker where the line crossed its row last
	angle    float64 // rad, last one found
	before   float64 // rad, the one before it
	known    bool    // offset and angle are
	offsets  []float64
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
	Support      float64 // share of the rows in which the shaft stands out that lie on the line
	X, UX        float64 // px, where the line crosses the sticker's row, and its standard uncertainty
	Studied      bool    // how the shaft is lit was known
}

const (
	// usualLight is how light a shaft is taken to be before it was looked at, levels.
	usualLight = 180
	// stillMoves is the most a shaft may move from one picture to the next to learn from
	// it, px.
	stillMoves = 0.4
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
	// leastSupport is the share of the rows in which something stands out that must lie
	// on one line.
	leastSupport = 0.3
	// lineShared is how far, px, either end of a line may be off by what all rows share:
	// uneven light on the shaft, something dark along it.
	lineShared = 0.35
)

// NewShaft returns a finder for a clip of the given scale at the sticker, px/m, and the time
// from picture to picture, s.
func NewShaft(opt Options, pxPerM, interval float64) *Shaft {
	own := newStripe(opt.ShaftWidth/1000*pxPerM, usualLight)
	return &Shaft{opt: opt, pxPerM: pxPerM, interval: interval, light: 1, lesson: newLesson(own), shutter: newShutter(interval),
		stripes: &stripes{own: own, pxPerM: pxPerM, drawn: map[int]*smeared{}}}
}

// Exposure is for how long a picture is exposed, s; 0 when the shaft did not tell.
func (s *Shaft) Exposure() float64 {
	square, u := s.shutter.square()
	if u > toldShare*s.interval*s.interval {
		return 0
	}
	return math.Max(math.Sqrt(square), shortest)
}

// Find looks for the shaft above a sticker at (x, y) that moves at a speed, px/s.
func (s *Shaft) Find(f *track.Frame, x, y, speed float64) (ShaftLine, bool) {
	from, to := s.opt.ShaftFrom/1000*s.pxPerM, s.opt.ShaftTo/1000*s.pxPerM
	lean, middle, slack := mostLean, 0.0, mostOffset*s.pxPerM
	offset := 0.0
	if s.known {
		lean, middle, slack, offset = mostSwing, s.angle, offsetSlack*s.pxPerM, s.offset
	}
	reach := to*math.Tan(math.Min(1.2, math.Abs(middle)+lean)) + slack + 8
	if !s.ridge.fill(f, x, y, from, to, math.Min(reach, 1.2*to), s.opt.ShaftWidth/1000*s.pxPerM, math.Sqrt(s.shutter.streak(speed).square), s.opt.ShaftContrast) {
		return ShaftLine{}, false
	}
	angle, off, ok := s.ridge.search(middle, lean, offset, slack)
	if !ok {
		return ShaftLine{}, false
	}
	expected := s.shutter.streak(speed * math.Cos(angle))
	l, ok := s.follow(f, x, y, angle, off, expected)
	if !ok || l.support < leastSupport {
		return ShaftLine{}, false
	}
	line := l.above(x, y, from, to)
	line.Frame, line.T, line.Studied = f.Index, f.T, s.lesson == nil
	s.light, s.beside = l.light, l.x-x
	if s.lesson == nil {
		s.shutter.learn(expected, l.streak, speed*math.Cos(angle))
	} else if speed*s.interval < stillMoves {
		s.study(f, l, y)
	}
	s.learn(line, x, y)
	return line, true
}

// follow fits the line that the ridge tells, and the one the last picture leads to, as
// something else may look like a ridge; the better one is taken.
func (s *Shaft) follow(f *track.Frame, x, y, angle, offset float64, expected streak) (best straight, found bool) {
	starts := []straight{{x: x + offset/math.Cos(angle), slope: math.Tan(angle)}}
	if s.known {
		starts = append(starts, straight{x: x + s.beside, slope: math.Tan(2*s.angle - s.before)})
	}
	known := beliefs{s.light, lightU, expected, s.lesson == nil}
	if !known.studied {
		known.uLight = strangeLightU
	}
	for _, l := range starts {
		if l, ok := l.fit(f, y, s.ridge.rows, known, s.stripes); ok && (!found || l.worth() > best.worth()) {
			best, found = l, true
		}
	}
	return best, found
}

// above is a line above a sticker at (x, y), as told to others. Both its points keep their
// place on the club: they are measured along the shaft from where it passes the sticker.
func (l straight) above(x, y, from, to float64) ShaftLine {
	b := l.slope
	passing := (l.x - x) * b / (1 + b*b) // px above the sticker, with sign
	c := 1 / math.Sqrt(1+b*b)
	foot, top := from*c-passing, to*c-passing
	return ShaftLine{
		Angle: math.Atan(b), Support: l.support, X: l.x, UX: l.u(0),
		U:     math.Hypot(l.uSlope(), lineShared/l.span()) / (1 + b*b),
		FootX: l.at(foot), FootY: y - foot, TopX: l.at(top), TopY: y - top,
	}
}

// learn keeps what the line says of the club: the median distance of its first
// few sightings.
func (s *Shaft) learn(l ShaftLine, x, y float64) {
	if s.before, s.angle = s.angle, l.Angle; !s.known {
		s.before = s.angle
	}
	if len(s.offsets) < 15 {
		sin, cos := math.Sincos(l.Angle)
		s.offsets = append(s.offsets, (l.FootX-x)*cos+(l.FootY-y)*sin)
	}
	if len(s.offsets) >= 3 {
		s.offset, s.known = median(s.offsets), true
	}
}

// study learns from a shaft that hardly moves what it looks like.
func (s *Shaft) study(f *track.Frame, l straight, y float64) {
	for _, row := range s.ridge.rows {
		s.lesson.study(f.Y[row*f.Width:(row+1)*f.Width], l.at(y-float64(row)), l.across(), l.light)
	}
	if s.lesson.frames++; s.lesson.frames == lessonFrames {
		s.stripes.own, s.lesson = s.lesson.learnt(), nil
		clear(s.stripes.drawn)
	}
}
