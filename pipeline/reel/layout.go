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

// between is the gap between two clips side by side, px.
const between = 8

// boxes of two clips: side by side, or before above after.
func (s Shape) boxes() [2]Box {
	w, h := s.size()
	if s == Tall {
		half := (h - between) / 2
		return [2]Box{{0, 0, w, half}, {0, half + between, w, half}}
	}
	half := (w - between) / 2
	return [2]Box{{0, 0, half, h}, {half + between, 0, half, h}}
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

// extent is what of a source's width must be seen, px of the clip.
func (s Source) extent(r span) (x0, x1 float64) {
	if s.Ground == nil {
		w := s.size[0]
		return w * (1 - blindWidth) / 2, w * (1 + blindWidth) / 2
	}
	a, b := s.Ground.X-r.back*s.Ground.DX, s.Ground.X+r.through*s.Ground.DX
	return min(a, b), max(a, b)
}

// cropMost is how much taller than its box a picture may be when it fills the
// box's width; beyond it too little would be left of the player.
const cropMost = 1.35

// single places one clip in a box: it fills the box unless that would cut off
// the stroke or most of the picture. The stroke stands in the middle. What is
// too high loses its top, and what the picture leaves free is below it, where
// the lengths are.
func single(box Box, s Source, r span) View {
	w, h := s.size[0], s.size[1]
	bw, bh := float64(box.W), float64(box.H)
	scale := max(bw/w, bh/h)
	if h*scale > cropMost*bh {
		scale = bh / h
	}
	x0, x1 := s.extent(r)
	scale = min(scale, max(bw/(x1-x0), min(bw/w, bh/h)))
	v := View{Scale: scale}
	v.X = cover(bw/2-scale*(x0+x1)/2, bw, w*scale)
	v.Y = min(bh-h*scale, 0)
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
	// linesRoom is what the lengths of both clips take below the ground at the
	// end, as a share of the box's shorter side; the strip grows when a picture
	// ends so close below the ground that they would not fit.
	linesRoom = 0.15
	// zoomStep and zoomMost bound the search for a scale at which two pictures
	// with their grounds level both cover their boxes.
	zoomStep = 1.01
	zoomMost = 1.20
)

// paired places two clips in their boxes so that a metre is equally long, the
// ground equally high and the address at the same place. The pictures cover
// their boxes down to the strip where they can.
func paired(boxes [2]Box, s [2]Source, r span) [2]View {
	if s[0].Ground == nil || s[1].Ground == nil {
		return [2]View{single(boxes[0], s[0], r), single(boxes[1], s[1], r)}
	}
	bw, bh := float64(boxes[0].W), (1-strip)*float64(boxes[0].H)
	perM := 0.0
	for _, c := range s {
		perM = max(perM, c.PxPerM*max(bw/c.size[0], bh/c.size[1]))
	}
	most := bw / (r.back + r.through)
	perM = min(perM, most)
	for zoom := 1.0; zoom < zoomMost && perM*zoom <= most; zoom *= zoomStep {
		if v, ok := level(boxes, s, r, perM*zoom); ok {
			return v
		}
	}
	v, _ := level(boxes, s, r, perM)
	return v
}

// level places two clips at a scale (px of the reel per metre); ok is false
// when a box is not covered.
func level(boxes [2]Box, s [2]Source, r span, perM float64) (views [2]View, ok bool) {
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
	h, short := float64(boxes[0].H), float64(min(boxes[0].W, boxes[0].H))
	y := min(inside(groundAt*bh, yLo, yHi), h-linesRoom*short)
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
