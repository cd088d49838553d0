package marker

import (
	"math"
	"slices"

	"strokereel/track"
)

// Tracker finds and follows coloured spots through a clip, frame by frame.
type Tracker struct {
	// Listen, when set, hears of every look and why it showed no sticker.
	Listen track.Listener
	// Bands, when set, keeps marks that are longer than discs too: those of a rod.
	Bands bool

	opt      Options
	scan     *scanner
	sight    sighter
	live     []*Spot
	retired  []*Spot
	w, h     int
	frames   int
	lastT    float64
	lastScan float64
	unit     float64 // this picture's pixels per pixel of a 1920 px picture
	barren   []place // where a spot was lately tried in vain
	siting   sitingVote
	now      []Sighting
	keys     []int // indexes of frames coded by themselves
}

// place is a moment at a place, luma px.
type place struct{ x, y, t float64 }

// New returns a tracker for a clip whose frames all have the given size.
func New(opt Options, width, height int) *Tracker {
	cw, ch := (width+1)/2, (height+1)/2
	return &Tracker{
		opt: opt, w: width, h: height, scan: newScanner(opt, cw, ch),
		unit: float64(max(width, height)) / 1920,
	}
}

// Next takes the clip's next frame.
func (t *Tracker) Next(f *track.Frame) {
	dt := f.T - t.lastT
	lost := false
	for _, s := range t.live {
		if !t.follow(f, s, dt) {
			lost = lost || s.established()
		}
	}
	// The scan of the whole picture is for spots that appear or were lost.
	if t.frames == 0 || f.T-t.lastScan >= scanEvery || lost {
		t.scanFrame(f, dt)
	}
	if t.frames%sitingEvery == 0 && t.frames < 10*sitingEvery {
		t.siting.add(f)
	}
	if f.Key {
		t.keys = append(t.keys, f.Index)
	}
	t.retire(f.T)
	t.frames++
	t.lastT = f.T
}

// scanFrame gives lost spots a second chance anywhere in reach and begins
// those that are not followed yet.
func (t *Tracker) scanFrame(f *track.Frame, dt float64) {
	t.lastScan = f.T
	t.barren = slices.DeleteFunc(t.barren, func(b place) bool { return f.T-b.t > retryAfter })
	spots := t.scan.find(f)
	for _, s := range t.live {
		if s.lastT < f.T {
			t.regain(f, s, spots, dt)
		}
	}
	for _, sp := range spots {
		t.begin(f, sp)
	}
}

// retire takes out spots unseen for too long and those that do not look like
// one disc of one colour.
func (t *Tracker) retire(now float64) {
	t.live = slices.DeleteFunc(t.live, func(s *Spot) bool {
		bad := s.seen == junkAfter && (s.rms > t.worst(junkRMS) || len(s.samples) > 2*junkAfter)
		if now-s.lastT <= t.opt.MaxGap && !bad {
			return false
		}
		t.tellRetired(now, s, bad)
		if s.established() && !bad {
			t.retired = append(t.retired, s)
		}
		return true
	})
}

const (
	// maxLive bounds the work on a picture full of coloured confetti.
	maxLive = 24
	// retryAfter is how long a place that showed no sticker is left alone, s.
	retryAfter = 0.3
	// minRadius and maxRadius bound a sticker's radius in luma px of a picture
	// 1920 px wide: 20-25 mm at 380-800 px/m, half as much again either way.
	minRadius, maxRadius = 2.6, 15
	// beginRMS is the worst fit with which a spot may begin: a disc of one
	// colour fits to about 0.1, an edge of cloth or a piece of skin does not.
	beginRMS = 0.2
	// smallerGuess is the share of the radius guessed from the hits that the smallest
	// spots may have: of these most hits are rim, mixed with what surrounds them.
	smallerGuess = 0.6
	// junkAfter sightings a spot must have shown a mean fit better than junkRMS.
	junkAfter, junkRMS = 12, 0.17
	// bandRMS is that of a band three times as long as high.
	bandRMS = 0.3
	// closeAfter sightings that nothing disturbed tell what lies close to a spot; a
	// close look must fit better than closeRMS.
	closeAfter, closeRMS = 10, 0.2
	// glossedAfter sightings with a highlight on it, one is looked for beside it too.
	glossedAfter = 5
	// scanEvery is how often, in s, the whole picture is looked at for spots:
	// a sticker that comes into view is found a tenth of a second late.
	scanEvery = 0.1
	// sitingEvery is how often, in frames, the chroma siting is looked at.
	sitingEvery = 30
)

// worst is the worst mean fit of a disc that is kept, or that of a band.
func (t *Tracker) worst(disc float64) float64 {
	if t.Bands {
		return bandRMS
	}
	return disc
}

// Spots returns every spot seen in at least five frames, most often seen
// first.
func (t *Tracker) Spots() []*Spot {
	all := slices.Clone(t.retired)
	for _, s := range t.live {
		if s.established() {
			all = append(all, s)
		}
	}
	slices.SortStableFunc(all, func(a, b *Spot) int { return b.seen - a.seen })
	return all
}

// Sighting is where a spot is in the frame just taken.
type Sighting struct {
	X, Y, Radius float64 // luma px
	Speed        float64 // px/s
}

// Sightings returns the established spots seen in the frame just taken.
func (t *Tracker) Sightings() []Sighting {
	t.now = t.now[:0]
	for _, s := range t.live {
		if s.established() && s.lastT == t.lastT {
			t.now = append(t.now, Sighting{s.x, s.y, s.Radius, math.Hypot(s.vx, s.vy)})
		}
	}
	return t.now
}
