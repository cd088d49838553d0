package ball

import (
	"math"
	"slices"

	"strokereel/track"
)

// Anchor is a sticker near which a ball may lie, px.
type Anchor struct {
	X, Y, Radius float64
	Still        bool // it hardly moves just now
}

// Finder finds and follows balls through a clip, frame by frame.
type Finder struct {
	// Listen, when set, hears of every look for a ball.
	Listen track.Listener
	// Sway, when set, tells by how much, px, a camera in a hand shows a place elsewhere
	// in the frame at hand than in the first one.
	Sway func(x, y float64) (dx, dy float64)

	opt       Options
	balls     []*Ball
	candidate []*Ball // seen but not yet still for long enough
	lastLook  float64
	frame     int
	redPix    []byte // work space
}

// New returns a finder.
func New(opt Options) *Finder { return &Finder{opt: opt, lastLook: math.Inf(-1)} }

// Ball is one ball: at rest, then perhaps on its way.
type Ball struct {
	ID           int
	RestX, RestY float64 // px, mean over the frames at rest, as the picture swayed when it was last seen there
	swayX, swayY float64 // px, how the picture swayed then
	middle       float64 // px, height at which the search finds it: its outline's, which lies higher or lower than its light's
	Radius       float64 // px, from the search; the ruler is Width
	First, Last  float64 // s, first and last sighting at rest
	Left         bool    // it left its place
	red          bool    // looked at in red, not in luma
	samples      []track.Sample
	score        float64 // clearness at rest
	level, floor float64 // luma of the ball and its surroundings
	rests        int
	clear        int     // frames at rest with no sticker near
	spread       float64 // px, half of how far apart the centres lie that the right and the left edge tell
	away         float64 // +1 or -1: the side of the ball away from the sticker last seen near, 0 unknown
	sums         []meanPatch
	// on its way
	vx, vy float64 // px/s
	x, y   float64
	lastT  float64
	moving int // sightings on its way
	missed int
	gone   bool
}

// Balls returns the balls that lay still, in the order in which they were
// found.
func (fd *Finder) Balls() []*Ball { return fd.balls }

// Track returns what was seen of the ball, in order of time. Sightings are of
// the middle of the ball's bright side; where the outline was measured they are
// shifted by as much as that differs from the ball's centre at rest.
func (b *Ball) Track() track.Track {
	tr := track.Track{Object: track.Ball, Samples: slices.Clone(b.samples)}
	o, err := b.Outline()
	if err != nil {
		return tr
	}
	for i := range tr.Samples {
		tr.Samples[i].X += o.X - b.RestX
		tr.Samples[i].Y += o.Y - b.RestY
	}
	return tr
}

const (
	// lookEvery is how often, in s, a ball is looked for beside a sticker.
	lookEvery = 0.08
	// samePlace is how far, in radii, two looks at one still ball may differ.
	samePlace = 0.25
	// startMove is how far, in radii, the edge found of a ball at rest may lie
	// from its place; at impact the first frame shows more.
	startMove = 0.2
	// clearOf is how far, in ball widths, a sticker must be away for the ball's
	// picture to count for the ruler: head and shadow are out of it then.
	clearOf = 3.2
	// pinClear is the same for a moving ball's centroid: the head's length.
	pinClear = 2
	// edgeU is the standard uncertainty, px, of a ball centre found by its edge.
	edgeU = 0.3
	// mostMissed is in how many frames after each other a rolling ball may be missed.
	mostMissed = 6
	// centreU is the standard uncertainty of a ball centre, px: scatter of
	// its edges on decoded video.
	centreU = 0.12
)

// Next takes the clip's next frame with the stickers seen in it.
func (fd *Finder) Next(f *track.Frame, anchors []Anchor) {
	fd.frame = f.Index
	for _, b := range fd.balls {
		switch {
		case b.gone:
		case b.Left:
			fd.roll(f, b, anchors)
		default:
			fd.rest(f, b, anchors)
		}
	}
	if f.T-fd.lastLook < lookEvery {
		return
	}
	fd.lastLook = f.T
	for _, a := range anchors {
		if a.Still {
			fd.look(f, a)
		}
	}
	fd.candidate = slices.DeleteFunc(fd.candidate, func(c *Ball) bool { return f.T-c.Last > 3*lookEvery })
}

// look searches for a ball beside a still sticker.
func (fd *Finder) look(f *track.Frame, a Anchor) {
	d := 2 * a.Radius
	r0, r1 := fd.opt.WidthLow*a.Radius, fd.opt.WidthHigh*a.Radius
	for _, side := range [2]float64{-1, 1} {
		// From 30 to 130 mm beside the sticker, 45 mm above to 25 mm below.
		near, far := 1.2*d, 6*d
		w := window{x0: a.X + side*near, x1: a.X + side*far, y0: a.Y - 2*d, y1: a.Y + 1.1*d}
		if side < 0 {
			w.x0, w.x1 = w.x1, w.x0
		}
		c, inRed, ok := fd.seek(f, w, r0, r1)
		if !ok {
			fd.tell(f, track.NoID, w, c, fault{Text: nothingRound})
			continue
		}
		if fd.known(c) {
			continue
		}
		still := fd.consider(f, c, inRed)
		fd.tell(f, track.NoID, w, c, fault{Text: notStillYet, Got: still, Limit: fd.opt.StillTime})
	}
}

// known reports whether a circle is a ball that lies there already.
func (fd *Finder) known(c circle) bool {
	for _, b := range fd.balls {
		if !b.Left && math.Hypot(c.x-b.RestX, c.y-b.RestY) < b.Radius {
			return true
		}
	}
	return false
}

// consider takes a sighting of a possible ball and returns for how long, s, it
// has lain still; long enough makes it a ball.
func (fd *Finder) consider(f *track.Frame, c circle, inRed bool) (still float64) {
	for i, b := range fd.candidate {
		if b.red != inRed || math.Hypot(c.x-b.RestX, c.y-b.RestY) > samePlace*b.Radius {
			continue
		}
		k := float64(b.rests)
		b.RestX, b.RestY = (k*b.RestX+c.x)/(k+1), (k*b.RestY+c.y)/(k+1)
		b.Radius, b.score = (k*b.Radius+c.r)/(k+1), (k*b.score+c.score)/(k+1)
		b.rests++
		b.Last = f.T
		if b.Last-b.First >= fd.opt.StillTime && b.rests >= 3 {
			fd.candidate = slices.Delete(fd.candidate, i, i+1)
			around := window{b.RestX, b.RestY, b.RestX, b.RestY}
			b.middle = b.RestY
			b.level, b.floor = levels(fd.shown(f, b, around), b.RestX, b.RestY, b.Radius)
			b.rests = 0
			b.swayX, b.swayY = fd.sway(b)
			fd.balls = append(fd.balls, b)
		}
		return b.Last - b.First
	}
	fd.candidate = append(fd.candidate, &Ball{ID: f.Index, red: inRed, RestX: c.x, RestY: c.y, Radius: c.r, score: c.score, First: f.T, Last: f.T, rests: 1})
	return 0
}

// sway returns by how much the picture sways at a ball's place.
func (fd *Finder) sway(b *Ball) (dx, dy float64) {
	if fd.Sway == nil {
		return 0, 0
	}
	return fd.Sway(b.RestX, b.RestY)
}

// levels returns the luma of a ball and of what surrounds it.
func levels(p plane, x, y, r float64) (ball, floor float64) {
	var in, out []float64
	for j := int(y - 2*r); j <= int(y+2*r); j++ {
		for i := int(x - 2*r); i <= int(x+2*r); i++ {
			if i < 0 || j < 0 || i >= p.w || j >= p.h {
				continue
			}
			d := math.Hypot(float64(i)-x, float64(j)-y)
			if d < 0.7*r {
				in = append(in, float64(p.pix[j*p.w+i]))
			} else if d > 1.4*r && d < 2*r {
				out = append(out, float64(p.pix[j*p.w+i]))
			}
		}
	}
	slices.Sort(in)
	slices.Sort(out)
	return in[len(in)/2], out[len(out)/2]
}
