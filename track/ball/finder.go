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
	opt       Options
	balls     []*Ball
	candidate []*Ball // seen but not yet still for long enough
	lastLook  float64
	frame     int
}

// New returns a finder.
func New(opt Options) *Finder { return &Finder{opt: opt, lastLook: math.Inf(-1)} }

// Ball is one ball: at rest, then perhaps on its way.
type Ball struct {
	ID           int
	RestX, RestY float64 // px, mean over the frames at rest
	Radius       float64 // px, from the search; the ruler is Width
	First, Last  float64 // s, first and last sighting at rest
	Left         bool    // it left its place
	samples      []track.Sample
	score        float64 // clearness at rest
	level, floor float64 // luma of the ball and its surroundings
	rests        int
	clear        int     // frames at rest with no sticker near
	spread       float64 // px, half of how far apart the centres lie that the right and the left edge tell
	away         float64 // +1 or -1: the side of the ball away from the sticker last seen near, 0 unknown
	sum          meanPatch
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
		c, ok := find(f, w, r0, r1, fd.opt.MinContrast)
		if !ok || fd.known(c) {
			continue
		}
		fd.consider(f, c)
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

// consider takes a sighting of a possible ball; one that has lain still for
// long enough becomes a ball.
func (fd *Finder) consider(f *track.Frame, c circle) {
	for i, b := range fd.candidate {
		if math.Hypot(c.x-b.RestX, c.y-b.RestY) > samePlace*b.Radius {
			continue
		}
		k := float64(b.rests)
		b.RestX, b.RestY = (k*b.RestX+c.x)/(k+1), (k*b.RestY+c.y)/(k+1)
		b.Radius, b.score = (k*b.Radius+c.r)/(k+1), (k*b.score+c.score)/(k+1)
		b.rests++
		b.Last = f.T
		if b.Last-b.First >= fd.opt.StillTime && b.rests >= 3 {
			fd.candidate = slices.Delete(fd.candidate, i, i+1)
			b.level, b.floor = levels(f, b.RestX, b.RestY, b.Radius)
			b.rests = 0
			fd.balls = append(fd.balls, b)
		}
		return
	}
	fd.candidate = append(fd.candidate, &Ball{ID: f.Index, RestX: c.x, RestY: c.y, Radius: c.r, score: c.score, First: f.T, Last: f.T, rests: 1})
}

// levels returns the luma of a ball and of what surrounds it.
func levels(f *track.Frame, x, y, r float64) (ball, floor float64) {
	var in, out []float64
	for j := int(y - 2*r); j <= int(y+2*r); j++ {
		for i := int(x - 2*r); i <= int(x+2*r); i++ {
			if i < 0 || j < 0 || i >= f.Width || j >= f.Height {
				continue
			}
			d := math.Hypot(float64(i)-x, float64(j)-y)
			if d < 0.7*r {
				in = append(in, float64(f.Y[j*f.Width+i]))
			} else if d > 1.4*r && d < 2*r {
				out = append(out, float64(f.Y[j*f.Width+i]))
			}
		}
	}
	slices.Sort(in)
	slices.Sort(out)
	return in[len(in)/2], out[len(out)/2]
}

// rest looks whether a ball still lies at its place.
func (fd *Finder) rest(f *track.Frame, b *Ball, anchors []Anchor) {
	reach := 0.35 * b.Radius
	w := window{x0: b.RestX - reach, x1: b.RestX + reach, y0: b.RestY - reach/2, y1: b.RestY + reach/2}
	c, ok := find(f, w, b.Radius, b.Radius, fd.opt.MinContrast/2)
	if ok && c.score > 0.45*b.score && math.Abs(c.x-b.RestX) < startMove*b.Radius {
		b.Last, b.lastT, b.missed = f.T, f.T, 0
		b.rests++
		if alone(b, anchors) {
			// With the head away the whole outline counts.
			b.clear++
			k := 1 / math.Min(float64(b.clear), 60)
			_, y, _ := centroid(f, b.RestX, b.RestY, b.Radius, b.Radius+1.5, b.floor, b.level)
			left, right, ok := b.edges(f, b.RestX, b.RestY)
			if ok {
				b.RestX += k * ((left+right)/2 - b.RestX)
				b.spread += k * ((right-left)/2 - b.spread)
			}
			b.RestY += k * (y - b.RestY)
			b.sum.add(f, b.RestX, b.RestY, b.Radius)
		}
		b.see(f, b.RestX, b.RestY, centreU)
		b.noteSide(anchors)
		return
	}
	// The edge may be hidden for a frame by the head that strikes it: the ball
	// has left when something round is on its way, or its place is bare.
	b.samples = append(b.samples, track.Sample{Frame: f.Index, T: f.T})
	if fd.launch(f, b, anchors) {
		return
	}
	b.missed++
	if f.T-b.Last > 0.5 {
		b.Left, b.gone = true, true
	}
}

// noteSide notes on which side of the ball a sticker is that is near it: struck,
// the ball goes the other way.
func (b *Ball) noteSide(anchors []Anchor) {
	for _, a := range anchors {
		d := math.Hypot(a.X-b.RestX, a.Y-b.RestY)
		if d > 0.8*b.Radius && d < clearOf*2*b.Radius {
			b.away = math.Copysign(1, b.RestX-a.X)
		}
	}
}

// alone reports whether no sticker is near the ball at rest.
func alone(b *Ball, anchors []Anchor) bool {
	return clearAt(b.RestX, b.RestY, anchors, b.Radius, clearOf)
}

// clearAt reports whether no sticker is within a number of ball widths of a
// place. A warm-white ball is itself a coloured spot on a green mat: one at the
// place does not count.
func clearAt(x, y float64, anchors []Anchor, radius, widths float64) bool {
	for _, a := range anchors {
		if d := math.Hypot(a.X-x, a.Y-y); d > 0.8*radius && d < widths*2*radius {
			return false
		}
	}
	return true
}

// see records a sighting.
func (b *Ball) see(f *track.Frame, x, y, u float64) {
	s := track.Sample{Frame: f.Index, T: f.T, X: x, Y: y, U: u, Seen: true}
	if n := len(b.samples); n > 0 && b.samples[n-1].Frame == f.Index {
		b.samples[n-1] = s
		return
	}
	b.samples = append(b.samples, s)
}

// launch looks for a ball on its way from its place; it reports whether it
// found one.
func (fd *Finder) launch(f *track.Frame, b *Ball, anchors []Anchor) bool {
	since := f.T - b.Last
	far := fd.opt.MaxSpeed * 2 * b.Radius * since
	w := window{x0: b.RestX - far, x1: b.RestX + far, y0: b.RestY - 0.6*b.Radius, y1: b.RestY + 0.6*b.Radius}
	if b.away > 0 {
		w.x0 = b.RestX
	} else if b.away < 0 {
		w.x1 = b.RestX
	}
	c, ok := find(f, w, b.Radius*0.9, b.Radius*1.08, fd.opt.MinContrast/2)
	if !ok || math.Abs(c.x-b.RestX) < 0.3*b.Radius || c.score < 0.35*b.score {
		return false
	}
	b.Left = true
	b.vx, b.vy = (c.x-b.RestX)/since, 0
	b.x, b.y, b.lastT = b.RestX, b.RestY, b.Last
	fd.pin(f, b, c, anchors)
	return true
}

// edges returns the x of the centre as the left and the right edge tell it.
func (b *Ball) edges(f *track.Frame, x, y float64) (left, right float64, ok bool) {
	left, okL := middle(f, x, y, b.Radius, -1, b.floor, b.level)
	right, okR := middle(f, x, y, b.Radius, 1, b.floor, b.level)
	near := 0.5 * b.Radius
	return left, right, okL && okR && math.Abs(left-x) < near && math.Abs(right-x) < near
}

// pin measures a moving ball found at c. While the head is close behind, only
// the edge in front tells the place.
func (fd *Finder) pin(f *track.Frame, b *Ball, c circle, anchors []Anchor) {
	x, y, u := c.x, c.y, edgeU
	left, right, ok := b.edges(f, c.x, c.y)
	switch front, okF := middle(f, c.x, c.y, b.Radius, b.away, b.floor, b.level); {
	case ok && clearAt(c.x, c.y, anchors, b.Radius, pinClear):
		x, u = (left+right)/2, centreU
	case b.away != 0 && okF && math.Abs(front-c.x) < 0.5*b.Radius:
		x, u = front-b.away*b.spread, centreU
	}
	b.see(f, x, y, u)
	since := f.T - b.lastT
	b.vx, b.vy = (x-b.x)/since, 0.5*b.vy+0.5*(y-b.y)/since
	b.x, b.y, b.lastT, b.missed = x, y, f.T, 0
	b.moving++
}

// roll follows a ball on its way.
func (fd *Finder) roll(f *track.Frame, b *Ball, anchors []Anchor) {
	since := f.T - b.lastT
	px, py := b.x+b.vx*since, b.y+b.vy*since
	slack := math.Max(2, 0.35*math.Abs(b.vx)*since)
	w := window{x0: px - slack, x1: px + slack, y0: py - 0.3*b.Radius - 1, y1: py + 0.3*b.Radius + 1}
	if b.moving < 2 {
		// When it left between two frames is unknown, so its speed is too.
		way := b.away
		if way == 0 {
			way = b.vx
		}
		far := math.Copysign(fd.opt.MaxSpeed*2*b.Radius*since, way)
		w.x0, w.x1 = math.Min(b.x, b.x+far), math.Max(b.x, b.x+far)
	}
	c, ok := find(f, w, b.Radius*0.88, b.Radius*1.1, fd.opt.MinContrast/2)
	if ok && c.score > 0.3*b.score {
		fd.pin(f, b, c, anchors)
	} else {
		b.samples = append(b.samples, track.Sample{Frame: f.Index, T: f.T})
		b.missed++
	}
	if b.missed > 6 || math.Abs(b.x-b.RestX) > fd.opt.FollowFor*2*b.Radius {
		b.gone = true
	}
}
