package overlay

import (
	"math"
	"slices"
)

// Slot is where a label wants to stand.
type Slot int

// Slots. Near is beside the thing it speaks of; the others are places of the
// frame, of which one label after the other takes a row.
const (
	Near Slot = iota
	TopLeft
	TopMiddle
	TopRight
	BottomLeft
	BottomMiddle
	BottomRight
)

// Side is the side of its thing on which a Near label is tried first.
type Side int

// The sides.
const (
	Above Side = iota
	Below
	Left
	Right
)

// claim is a label's need of room.
type claim struct {
	w, h float64
	at   Point // what it speaks of
	gap  float64
	slot Slot
	side Side
	last *Box // where it was on the picture before
	line bool // a leader will be drawn when it is moved away
}

// place gives every claim a box in the frame that overlaps neither a box given
// before nor one to keep clear, earlier claims first, nor one to avoid as long as
// there is room elsewhere. A claim without a place gets ok false. Boxes given are
// gap apart.
func place(frame Box, claims []claim, clear, avoid []Box, gap float64) (boxes []Box, ok []bool) {
	boxes, ok = make([]Box, len(claims)), make([]bool, len(claims))
	taken := append([]Box(nil), clear...)
	for i, cl := range claims {
		b, found := cl.find(frame, taken, clear, avoid)
		if found {
			boxes[i], ok[i] = b, true
			taken = append(taken, b.Grow(gap))
		}
	}
	return boxes, ok
}

// find looks for room: where the label was, where it would like to be, and then
// anywhere, the nearest first; only then on what it should avoid.
func (cl claim) find(frame Box, taken, clear, avoid []Box) (Box, bool) {
	if cl.last != nil && cl.last.Within(frame) && !cl.last.overlapsAny(taken) {
		return *cl.last, true
	}
	wishes := cl.wishes(frame)
	for _, shunned := range [][]Box{avoid, nil} {
		free := func(b Box) bool {
			return b.Within(frame) && !b.overlapsAny(taken) && !b.overlapsAny(shunned)
		}
		for _, b := range wishes {
			if free(b) && !cl.crosses(b, clear) {
				return b, true
			}
		}
		for _, b := range wishes {
			if free(b) {
				return b, true
			}
		}
		if b, ok := cl.search(frame, free); ok || len(avoid) == 0 {
			return b, ok
		}
	}
	return Box{}, false
}

// crosses reports whether a leader from b would run through something to keep
// clear other than what it points at.
func (cl claim) crosses(b Box, clear []Box) bool {
	if !cl.line {
		return false
	}
	from := b.Nearest(cl.at)
	for _, k := range clear {
		at := Around(cl.at, 0)
		if _, hit := k.enters(from, cl.at); hit && !at.Within(k) {
			return true
		}
	}
	return false
}

// wishes lists the places a label would like, best first.
func (cl claim) wishes(frame Box) []Box {
	if cl.slot == Near {
		return cl.around(frame)
	}
	opposite := [...]Slot{TopLeft: TopRight, TopMiddle: TopMiddle, TopRight: TopLeft,
		BottomLeft: BottomRight, BottomMiddle: BottomMiddle, BottomRight: BottomLeft}
	own, far := cl.stack(frame, cl.slot), 0
	for far < len(own) && math.Abs(own[far].Y0-own[0].Y0) <= float64(stackNear)*math.Min(frame.W(), frame.H()) {
		far++
	}
	return slices.Concat(own[:far], cl.stack(frame, opposite[cl.slot]), own[far:])
}

// stackNear is how far from its place, as a share of the frame's shorter side, a
// label stands sooner than at the opposite place: further on it would float in
// the middle of the picture.
const stackNear Share = 0.25

// rings is how many distances around its thing a Near label tries.
const rings = 5

// ownRings is how many of them it tries on its own side before any other.
const ownRings = 2

// slides are how far along a side, in half sizes of the label, it is tried. On
// the left and right, where labels are low, they go further.
var slides = [...]float64{0, 0.5, -0.5, 1, -1, -1.5, 1.5, -2, 2}

// shortSlides is how many of them are tried above and below.
const shortSlides = 5

// around lists boxes around the thing, the wanted side first, sliding along
// each side and at growing distances, pushed into the frame along the side.
func (cl claim) around(frame Box) []Box {
	opposite := [...]Side{Above: Below, Below: Above, Left: Right, Right: Left}
	order := []Side{cl.side, Left, Right, opposite[cl.side]}
	if cl.side == Left || cl.side == Right {
		order = []Side{cl.side, Above, Below, opposite[cl.side]}
	}
	var boxes []Box
	try := func(side Side, ring int) {
		tried := slides[:]
		if side == Above || side == Below {
			tried = slides[:shortSlides]
		}
		for _, k := range tried {
			boxes = append(boxes, cl.on(side, cl.gap*(1+1.6*float64(ring)), k, frame))
		}
	}
	for ring := range ownRings {
		try(cl.side, ring)
	}
	for ring := range rings {
		for _, side := range order {
			try(side, ring)
		}
	}
	return boxes
}

// beside is the share of a distance that is left between a thing and a label on
// its left or right, where the line of text already stands apart.
const beside = 0.75

// on is the box at a distance on one side, slid by k half sizes.
func (cl claim) on(side Side, d, k float64, frame Box) Box {
	x, y := cl.at.X-cl.w/2, cl.at.Y-cl.h/2
	switch side {
	case Above, Below:
		x = min(max(x+k*cl.w/2, frame.X0), frame.X1-cl.w)
		y = cl.at.Y + d
		if side == Above {
			y = cl.at.Y - d - cl.h
		}
	default:
		y = min(max(y+k*cl.h/2, frame.Y0), frame.Y1-cl.h)
		x = cl.at.X + beside*d
		if side == Left {
			x = cl.at.X - beside*d - cl.w
		}
	}
	return Box{x, y, x + cl.w, y + cl.h}
}

// stack lists boxes at a place of the frame, row after row toward its middle.
func (cl claim) stack(frame Box, slot Slot) []Box {
	x := frame.X0
	switch slot {
	case TopMiddle, BottomMiddle:
		x = (frame.X0 + frame.X1 - cl.w) / 2
	case TopRight, BottomRight:
		x = frame.X1 - cl.w
	}
	y, step := frame.Y0, cl.gap/2
	if slot >= BottomLeft {
		y, step = frame.Y1-cl.h, -step
	}
	var boxes []Box
	for i := range int(frame.H() / 2 / math.Abs(step)) {
		boxes = append(boxes, Box{x, y, x + cl.w, y + cl.h}.Move(0, float64(i)*step))
	}
	return boxes
}

// gridSteps is how many rows of a frame are tried when everything else failed.
const gridSteps = 36

// search tries the whole frame, edges included, on a grid and returns the free
// box nearest to where the label would like to be.
func (cl claim) search(frame Box, free func(Box) bool) (best Box, ok bool) {
	want := cl.at
	if w := cl.wishes(frame); cl.slot != Near && len(w) > 0 {
		want = w[0].Centre()
	}
	step := math.Min(frame.W(), frame.H()) / gridSteps
	nearest := math.Inf(1)
	for _, y := range grid(frame.Y0, frame.Y1-cl.h, step) {
		for _, x := range grid(frame.X0, frame.X1-cl.w, step) {
			b := Box{x, y, x + cl.w, y + cl.h}
			if d := b.Centre().Distance(want); d < nearest && free(b) {
				best, nearest, ok = b, d, true
			}
		}
	}
	return best, ok
}

// grid lists the places from one end to the other, both included.
func grid(from, to, step float64) []float64 {
	if to < from {
		return nil
	}
	var at []float64
	for v := from; v < to; v += step {
		at = append(at, v)
	}
	return append(at, to)
}
