package ball

import (
	"math"

	"strokereel/track"
)

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
	p := fd.shown(f, b, w)
	c, _ := find(p, w, b.Radius*0.9, b.Radius*1.08, fd.opt.MinContrast/2)
	bad := faint(c, 0.35*b.score)
	if way, least := math.Abs(c.x-b.RestX), 0.3*b.Radius; bad.OK() && way < least {
		bad = fault{Text: notAway, Got: way, Limit: least}
	}
	fd.tell(f, b.ID, w, c, bad)
	if !bad.OK() {
		return false
	}
	b.Left = true
	b.vx, b.vy = (c.x-b.RestX)/since, 0
	b.x, b.y, b.lastT = b.RestX, b.RestY, b.Last
	fd.pin(f, p, b, c, anchors)
	return true
}

// edges returns the x of the centre as the left and the right edge tell it.
func (b *Ball) edges(p plane, x, y float64) (left, right float64, ok bool) {
	left, okL := middle(p, x, y, b.Radius, -1, b.floor, b.level)
	right, okR := middle(p, x, y, b.Radius, 1, b.floor, b.level)
	near := 0.5 * b.Radius
	return left, right, okL && okR && math.Abs(left-x) < near && math.Abs(right-x) < near
}

// pin measures a moving ball found at c. While the head is close behind, only
// the edge in front tells the place.
func (fd *Finder) pin(f *track.Frame, p plane, b *Ball, c circle, anchors []Anchor) {
	x, y, u := c.x, c.y, edgeU
	left, right, ok := b.edges(p, c.x, c.y)
	switch front, okF := middle(p, c.x, c.y, b.Radius, b.away, b.floor, b.level); {
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
	p := fd.shown(f, b, w)
	c, _ := find(p, w, b.Radius*0.88, b.Radius*1.1, fd.opt.MinContrast/2)
	bad := faint(c, 0.3*b.score)
	fd.tell(f, b.ID, w, c, bad)
	if bad.OK() {
		fd.pin(f, p, b, c, anchors)
	} else {
		b.samples = append(b.samples, track.Sample{Frame: f.Index, T: f.T})
		b.missed++
	}
	switch {
	case b.missed > mostMissed:
		b.gone = true
		fd.tell(f, b.ID, w, circle{}, fault{Text: lost, Got: float64(b.missed)})
	case math.Abs(b.x-b.RestX) > fd.opt.FollowFor*2*b.Radius:
		b.gone = true
		fd.tell(f, b.ID, w, circle{}, fault{Text: farEnough})
	}
}
