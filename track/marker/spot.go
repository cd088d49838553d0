package marker

import (
	"math"

	"strokereel/track"
)

// Spot is one coloured spot followed through the clip.
type Spot struct {
	ID       int
	Colour   Colour
	Radius   float64 // luma px, running mean
	samples  []track.Sample
	details  []detail // one per sample
	pane     pane
	seen     int
	streaks  float64 // running mean of streak length per px of frame-to-frame motion
	vx, vy   float64 // luma px per second
	lastT    float64 // of the last sighting
	x, y     float64 // last sighting, luma px without siting
	rms      float64 // running mean of the fits'
	lately   Colour  // at the last sighting
	full     float64 // the most colourful that Colour was
	beside   Colour  // running mean of what lies close to it
	besides  int     // sightings that mean was taken of
	glossed  int     // sightings on which a highlight lay
	repeated int     // frames whose picture repeated the one before, less those that did not
}

// detail is what else is known of a sample.
type detail struct {
	luma   lumaPlace
	uneven float64 // part of the sample's uncertainty: of colour that is lost, px
	turn
	view *view // nothing where a codec is at work
}

// Seen returns how many frames show the spot.
func (s *Spot) Seen() int { return s.seen }

// Latest returns the spot's last sighting and whether it is of this frame.
func (s *Spot) Latest(frame int) (track.Sample, bool) {
	if len(s.samples) == 0 {
		return track.Sample{}, false
	}
	last := s.samples[len(s.samples)-1]
	return last, last.Frame == frame && last.Seen
}

// doubts tells why a sighting cannot be this spot, expected at (px, py): by
// place, fit, colour or size. One that lies beside its place must fit as it does else:
// a piece of a shoe of its colour does not.
func (s *Spot) doubts(l look, px, py, reach float64) fault {
	d := math.Hypot(l.x-px, l.y-py)
	if d >= reach {
		return fault{Text: tooFar, Got: d, Limit: reach}
	}
	if most := math.Max(junkRMS, 2*s.rms); d > s.Radius && l.rms > most {
		return fault{Text: poorFit, Got: l.rms, Limit: most}
	}
	if d := s.usual().unlike(l.colour); d > 1 {
		return fault{Text: otherColour, Got: d, Limit: 1}
	}
	switch size := l.radius / s.Radius; {
	case size <= s.leastSize():
		return fault{Text: shrunk, Got: size, Limit: s.leastSize()}
	case size >= s.mostSize():
		return fault{Text: swollen, Got: size, Limit: s.mostSize()}
	}
	return fault{}
}

// leastSize is the smallest share of its usual radius with which a spot is taken: a
// disc of which something hides a part looks smaller, and its middle is not where
// it seems to be.
func (s *Spot) leastSize() float64 {
	if s.seen < sizeAfter {
		return 0.6
	}
	return 1 - math.Max(sizeShare, sizeU/s.Radius)
}

// mostSize is the largest: what a codec drags behind a disc in the dark makes it look
// larger and draws it back.
func (s *Spot) mostSize() float64 {
	if s.seen < sizeAfter {
		return 1.5
	}
	return 1 + swollenShare
}

const (
	// sizeAfter sightings tell a spot's size. From then on it is seen at most
	// sizeShare or sizeU px smaller: on rendered clips of every kind whole stickers
	// are seen 7 % smaller at most, the smallest by half a pixel, and half hidden ones by
	// 15 to 60 %.
	sizeAfter, sizeShare, sizeU = 30, 0.12, 0.5
	// swollenShare is how much larger they may look: of seventeen thousand in fair light
	// a few do by a fifth, and those that do by more in the dark are 2 px off and more.
	swollenShare = 0.25
)

const (
	// paler is how much less colourful than usual a sticker must look for a
	// highlight or a shadow's edge to be taken to lie on it, as a share.
	paler = 0.2
	// unevenShare is how far the middle of the colour may then lie from the
	// sticker's, in radii per share of colour lost; and in steps from frame to frame
	// when it moves, since a codec leaves lost colour where it was.
	unevenShare = 0.35
	// uMatt is the standard uncertainty, px, of a place by own light, since of a bright
	// sample it is told less well than colour, and uMattLost what the share of colour
	// lost to the highlight adds.
	uMatt, uMattLost = 0.12, 0.35
	// glossyLoss is the least share of colour that a highlight seen on it takes; a fit
	// worse than glossyRMS shows that it takes more from one side.
	glossyLoss, glossyRMS = 0.35, 0.14
)

// usual is the sticker's colour without a highlight on it.
func (s *Spot) usual() Colour {
	k := s.full / s.Colour.norm()
	return Colour{k * s.Colour.U, k * s.Colour.V}
}

// uneven is the standard uncertainty, px, of a sighting part of whose colour is
// lost: of the place, where light washed it out or darkened it, and of that of the
// colour when the sticker moved by so many px since the last frame.
func (s *Spot) uneven(l look, moved float64) (u, uColour float64) {
	lost := 1 - l.colour.norm()/s.full
	if l.glossy {
		lost = math.Max(lost, glossyLoss) * math.Max(1, l.rms/glossyRMS)
	}
	switch {
	case l.matt:
		u = uMatt + uMattLost*math.Max(0, lost)
		return u, u
	case s.seen < 10 || lost < paler:
		return 0, 0
	}
	return unevenShare * lost * l.radius, unevenShare * lost * math.Hypot(l.radius, moved)
}

// belief returns what is expected of the next sighting's size and streak, in
// chroma px, when it moves by v chroma px per frame.
func (s *Spot) belief(v float64) belief {
	ur := 0.35 * s.Radius / 2
	if s.seen >= 10 {
		ur = 0.06 * s.Radius / 2
	}
	return belief{r: s.Radius / 2, ur: ur, l: s.streaks * v, ul: 0.02 + 0.25*v}
}

// add takes a sighting into the spot's record.
func (s *Spot) add(f *track.Frame, l look, since float64) {
	moved := 0.0
	if since > 0 {
		moved = math.Hypot(l.x-s.x, l.y-s.y)
		vx, vy := (l.x-s.x)/since, (l.y-s.y)/since
		s.vx, s.vy = 0.3*s.vx+0.7*vx, 0.3*s.vy+0.7*vy
		if moved > 4 && since < 0.05 {
			s.streaks += 0.1 * (clamp(l.streak/moved, 0, 1.2) - s.streaks)
		}
	}
	k := 1 / math.Min(float64(s.seen+1), 30)
	if l.streak < 1 || s.seen == 0 {
		s.Radius += k * (l.radius - s.Radius)
		s.Colour.U += k * (l.colour.U - s.Colour.U)
		s.Colour.V += k * (l.colour.V - s.Colour.V)
		s.full = math.Max(s.full, s.Colour.norm())
	}
	if !l.crowded && !l.matt && l.streak < 1 {
		s.besides++
		k := 1 / math.Min(float64(s.besides), 30)
		s.beside.U += k * (l.around.U - s.beside.U)
		s.beside.V += k * (l.around.V - s.beside.V)
	}
	if l.glossy {
		s.glossed++
	}
	s.lately = l.colour
	s.rms += k * (l.rms - s.rms)
	s.x, s.y, s.lastT = l.x, l.y, f.T
	s.seen++
	uneven, unevenColour := s.uneven(l, moved)
	s.samples = append(s.samples, track.Sample{Frame: f.Index, T: f.T, X: l.x, Y: l.y, U: math.Hypot(l.u, unevenColour), Seen: true})
	if l.luma.u > 0 {
		l.luma.u, l.luma.uneven = math.Hypot(l.luma.u, uneven), uneven
	}
	s.keep(f, l, unevenColour)
}

// keep takes what else a sighting shows into the record.
func (s *Spot) keep(f *track.Frame, l look, uneven float64) {
	d := detail{luma: l.luma, uneven: uneven, turn: s.pane.next(f, l.x/2, l.y/2, s.Radius/2)}
	switch {
	case d.repeated > repeatedFrom:
		s.repeated++
	case d.repeated <= repeatedFrom:
		s.repeated--
	}
	if s.repeated <= 0 && !l.matt && !l.crowded {
		d.view = newView(f, l)
	}
	s.details = append(s.details, d)
}

// established reports whether a spot has been seen often enough to be one.
func (s *Spot) established() bool { return s.seen >= 5 }
