package reel

import (
	"image"
	"math"

	"strokereel/pipeline/clip"
)

// size of a shape's frame, px.
func (s Shape) size() (w, h int) {
	if s == Tall {
		return 1080, 1920
	}
	return 1920, 1080
}

// seam is the gap between two clips side by side, px.
const seam = 8

// boxes of two clips: side by side, or before above after.
func (s Shape) boxes() [2]Box {
	w, h := s.size()
	if s == Tall {
		half := (h - seam) / 2
		return [2]Box{{0, 0, w, half}, {0, half + seam, w, half}}
	}
	half := (w - seam) / 2
	return [2]Box{{0, 0, half, h}, {half + seam, 0, half, h}}
}

// span is how far a stroke reaches from the address, m along the putt line,
// both positive, with room for the putter head and the ball.
type span struct{ back, through float64 }

// headRoom is half a long putter head and a little air, m.
const headRoom = 0.12

// blindWidth is the share of a clip's width that is shown when it is not known
// how far the stroke reaches: a player filmed whole fills the height of a wide
// picture, and a long putting stroke two fifths of its width.
const blindWidth = 0.4

// need is what of a source's picture must be seen, px of the clip.
type need struct{ x0, x1, y0, y1 float64 }

// needs is the whole stroke, and from the head at its highest, where the picture
// has a head, down to the putt line. Without numbers neither is known.
func (s Source) needs(r span) need {
	w, h := s.size[0], s.size[1]
	if s.Ground == nil {
		return need{w * (1 - blindWidth) / 2, w * (1 + blindWidth) / 2, h, 0}
	}
	a, b := s.Ground.X-r.back*s.Ground.DX, s.Ground.X+r.through*s.Ground.DX
	n := need{min(a, b), max(a, b), h, min(s.Ground.Y, h)}
	if s.Ground.Y-s.head.Low*s.PxPerM > 0 {
		n.y0 = max(s.Ground.Y-s.head.High*s.PxPerM, 0)
	}
	return n
}

// cropMost is how much taller than its box a picture may be when it fills the
// box's width; beyond it too little would be left of the player.
const cropMost = 1.35

// Shares of the shorter side: above the picture of a frame held upright, where
// there is no room beside the player, two plates with their margins; below the
// putt line a length in two rows.
const (
	headHigh   = 0.315
	lengthHigh = 0.245
)

// alone is the part of a frame for the picture of one clip, how much above it is
// for text, and how much of it from the putt line down, px.
func (s Shape) alone() (box Box, head int, below float64) {
	w, h := s.size()
	if s == Tall {
		head = int(headHigh*float64(w)) &^ 1 // chroma is shared by two rows
	}
	return Box{0, head, w, h - head}, head, lengthHigh * float64(min(w, h))
}

// closest is how many times larger than it must be to fill its box a picture may
// be shown, to come closer to the player.
const closest = 1.4

// single places one clip in a box, closer to the player where all that must be
// seen allows it; it fills the box unless that would cut off the stroke, the head
// or most of the picture. Room below the putt line is kept at all costs when it is
// firm, and otherwise where the picture fills the box anyway. The stroke stands in
// the middle. What is too high loses its top first.
func single(box Box, s Source, r span, below float64, firm bool) View {
	w, h := s.size[0], s.size[1]
	bw, bh := float64(box.W), float64(box.H)
	n := s.needs(r)
	scale, whole := max(bw/w, bh/h), min(bw/w, bh/h)
	if h*scale > cropMost*bh {
		scale = bh / h
	}
	if high := n.y1 - n.y0; high > 0 {
		if close := min(closest*scale, (bh-below)/high); firm || close > scale {
			scale = close
		}
		scale = min(scale, bh/high)
	}
	scale = min(scale, max(bw/(n.x1-n.x0), whole))
	v := View{Scale: scale, X: cover(bw/2-scale*(n.x0+n.x1)/2, bw, w*scale)}
	spare := bh - h*scale
	if v.Y = min(spare, spare/2); s.Ground == nil {
		return v
	}
	v.Y = max(min(spare, 0, bh-below-n.y1*scale), -n.y0*scale)
	if !firm {
		v.Y = max(v.Y, min(spare, 0))
	}
	return v
}

// cover moves a picture's edge so that the picture covers its box, or lies in
// the middle when it is too small.
func cover(at, box, picture float64) float64 {
	if picture < box {
		return (box - picture) / 2
	}
	return min(max(at, box-picture), 0)
}

const (
	// strip is the share of a box below its picture that is left free: the
	// lengths of both clips stand there. groundAt is the height of the ground in
	// the rest that is aimed at.
	strip    = 0.09
	groundAt = 0.90
	// linesRoom is what the lines of both clips and the lengths of one take below
	// the ground at the end, as a share of the box's shorter side; the strip grows
	// when a picture ends so close below the ground that they would not fit.
	linesRoom = 0.245
	// noticeRoom is what a notice of two rows takes more.
	noticeRoom = 0.13
	// hairline is the share of a box's height that may be cut off a picture so that
	// its grounds are level and no bare line is left above it.
	hairline = 0.03
	// zoomStep and zoomMost bound the search for a scale at which two pictures
	// with their grounds level both cover their boxes.
	zoomStep = 1.01
	zoomMost = 1.20
)

// paired places two clips in their boxes so that a metre is equally long, the
// ground equally high and the address at the same place. The pictures cover
// their boxes down to the strip where they can; the heads are seen where the
// pictures have them, and from the putt line down a share of the boxes' shorter side
// is left for text.
func paired(boxes [2]Box, s [2]Source, r span, below float64) [2]View {
	if s[0].Ground == nil || s[1].Ground == nil {
		room := below * float64(min(boxes[0].W, boxes[0].H))
		return [2]View{single(boxes[0], s[0], r, room, true), single(boxes[1], s[1], r, room, true)}
	}
	bw, bh := float64(boxes[0].W), (1-strip)*float64(boxes[0].H)
	perM := 0.0
	for _, c := range s {
		perM = max(perM, c.PxPerM*max(bw/c.size[0], bh/c.size[1]))
	}
	most, lowest := bw/(r.back+r.through), float64(boxes[0].H)-below*float64(min(boxes[0].W, boxes[0].H))
	for _, c := range s {
		if n := c.needs(r); n.y0 < n.y1 {
			most = min(most, lowest/(n.y1-n.y0)*c.PxPerM)
		}
	}
	perM = min(perM, most)
	for zoom := 1.0; zoom < zoomMost && perM*zoom <= most; zoom *= zoomStep {
		if v, ok := level(boxes, s, r, perM*zoom, lowest); ok {
			return v
		}
	}
	v, _ := level(boxes, s, r, perM, lowest)
	return v
}

// level places two clips at a scale (px of the reel per metre), their putt lines no
// lower than lowest; ok is false when a box is not covered.
func level(boxes [2]Box, s [2]Source, r span, perM, lowest float64) (views [2]View, ok bool) {
	bw, bh := float64(boxes[0].W), (1-strip)*float64(boxes[0].H)
	var scale [2]float64
	xLo, xHi, yLo, yHi := math.Inf(-1), math.Inf(1), math.Inf(-1), math.Inf(1)
	for i, c := range s {
		scale[i] = perM / c.PxPerM
		xLo, xHi = free(xLo, xHi, c.Ground.X*scale[i], bw, c.size[0]*scale[i])
		yLo, yHi = free(yLo, yHi, c.Ground.Y*scale[i], bh, c.size[1]*scale[i])
	}
	ahead := (r.through - r.back) / 2 * perM
	x := inside(bw/2-math.Copysign(ahead, ahead*s[0].Ground.DX), xLo, xHi)
	y := inside(groundAt*bh, yLo, yHi)
	for i, c := range s {
		if n := c.needs(r); n.y0 < n.y1 {
			y = max(y, (c.Ground.Y-n.y0)*scale[i])
		}
	}
	y = min(y, lowest)
	for i, c := range s {
		// A bare line above a picture looks like a fault.
		if bare := y - c.Ground.Y*scale[i]; bare > 0 && bare < hairline*float64(boxes[i].H) {
			y -= bare
		}
	}
	for i, c := range s {
		views[i] = View{Scale: scale[i], X: x - c.Ground.X*scale[i], Y: y - c.Ground.Y*scale[i]}
	}
	return views, xLo <= xHi && yLo <= yHi
}

// free narrows the places at which a point of the picture may lie in its box
// such that the picture covers the box.
func free(lo, hi, point, box, picture float64) (float64, float64) {
	a, b := point+box-picture, point
	return max(lo, min(a, b)), min(hi, max(a, b))
}

// inside moves a value into an interval, to its middle when it is empty.
func inside(v, lo, hi float64) float64 {
	if lo > hi {
		return (lo + hi) / 2
	}
	return min(max(v, lo), hi)
}

// part is what of a source's pictures a pane needs, px; a turned pane needs all.
// The resampler looks a little beyond what it shows.
func (p Pane) part(s Source) clip.Part {
	whole := image.Rect(0, 0, s.Width, s.Height)
	if p.Turn != 0 {
		return clip.Part{Mirror: p.Mirror, Area: whole}
	}
	beyond := newTaps(p.View.Scale).n + 2
	x := func(v float64) int { return int(math.Floor((v - p.View.X) / p.View.Scale)) }
	y := func(v float64) int { return int(math.Floor((v - p.View.Y) / p.View.Scale)) }
	shown := image.Rect(x(0), y(0), x(float64(p.Box.W)), y(float64(p.Box.H))).Inset(-2 * beyond)
	shown.Min.X, shown.Min.Y = shown.Min.X&^1, shown.Min.Y&^1 // chroma is shared by two px
	shown.Max.X, shown.Max.Y = (shown.Max.X+1)&^1, (shown.Max.Y+1)&^1
	return clip.Part{Mirror: p.Mirror, Area: shown.Intersect(whole)}
}
