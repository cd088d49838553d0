package ball

import (
	"math"

	"strokereel/track"
)

// rest looks whether a ball still lies at its place.
func (fd *Finder) rest(f *track.Frame, b *Ball, anchors []Anchor) {
	reach := 0.35 * b.Radius
	swayX, swayY := fd.sway(b)
	dx, dy := swayX-b.swayX, swayY-b.swayY
	restX, restY, middle := b.RestX+dx, b.RestY+dy, b.middle+dy
	w := window{x0: restX - reach, x1: restX + reach, y0: middle - reach/2, y1: middle + reach/2}
	p := fd.shown(f, b, w)
	c, _ := find(p, w, b.Radius, b.Radius, fd.opt.MinContrast/2)
	bad := faint(c, 0.45*b.score)
	if off, most := math.Abs(c.x-restX), startMove*b.Radius; bad.OK() && off >= most {
		bad = fault{Text: shifted, Got: off, Limit: most}
	}
	fd.tell(f, b.ID, w, c, bad)
	if bad.OK() {
		b.Last, b.lastT, b.missed = f.T, f.T, 0
		b.rests++
		b.RestX, b.RestY, b.middle, b.swayX, b.swayY = restX, restY, middle, swayX, swayY
		if alone(b, anchors) {
			// With the head away the whole outline counts.
			b.clear++
			level, _ := levels(p, b.RestX, b.RestY, b.Radius)
			k := 1 / math.Min(float64(b.clear), 60)
			_, y, _ := centroid(p, b.RestX, b.RestY, b.Radius, b.Radius+1.5, b.floor, b.level)
			left, right, ok := b.edges(p, b.RestX, b.RestY)
			if ok {
				b.RestX += k * ((left+right)/2 - b.RestX)
				b.spread += k * ((right-left)/2 - b.spread)
			}
			b.RestY += k * (y - b.RestY)
			b.patch(level).add(p, b)
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
		fd.tell(f, b.ID, w, circle{}, fault{Text: notGone})
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
