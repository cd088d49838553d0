package overlay

import "math"

// Label is text on a plate that finds its own place.
type Label struct {
	Key  string // tells it apart from picture to picture
	Rows []Row
	Sign *Sign // drawn before the first row, when it speaks of a role
	Slot Slot
	At   Point // what it speaks of; used when Slot is Near
	Side Side  // tried first; used when Slot is Near
	// Stay keeps the label where it was on the picture before, relative to At,
	// as long as there is room.
	Stay bool
}

// LabelGap is the least room between a thing and its label.
const LabelGap Share = 0.028

const (
	between   Share = 0.012 // from label to label
	padX      Share = 0.018
	padY      Share = 0.010
	signWide  Share = 0.055
	signSpace Share = 0.014
	tabSpace  Share = 0.030 // least room between the two ends of a row
	leaderMin Share = 0.08  // a label further away is tied to its thing
)

// Size is the width and height of a label's plate, px.
func (c *Canvas) Size(l Label) (w, h float64) {
	for i, r := range l.Rows {
		left, right := r.split()
		rw := c.Width(left)
		if len(right) > 0 {
			rw += c.Px(tabSpace) + c.Width(right)
		}
		if i == 0 && l.Sign != nil {
			rw += c.Px(signWide + signSpace)
		}
		w = math.Max(w, rw)
		h += c.Height(r)
	}
	return math.Ceil(w + 2*c.Px(padX)), math.Ceil(h + 2*c.Px(padY))
}

// layOut places and draws labels and returns the keys of those left out.
func (c *Canvas) layOut(labels []Label, clear, avoid []Box) (left []string) {
	claims := make([]claim, len(labels))
	for i, l := range labels {
		claims[i] = c.claim(l)
	}
	boxes, ok := place(c.Safe(), claims, clear, avoid, c.Px(between))
	for i, l := range labels {
		if ok[i] && l.Slot == Near {
			c.leader(boxes[i], l.At, clear)
		}
	}
	for i, l := range labels {
		if !ok[i] {
			left = append(left, l.Key)
			delete(c.places, l.Key)
			continue
		}
		c.places[l.Key] = Point{boxes[i].X0 - l.At.X, boxes[i].Y0 - l.At.Y}
		c.drawLabel(boxes[i], l)
	}
	return left
}

func (c *Canvas) claim(l Label) claim {
	w, h := c.Size(l)
	cl := claim{w: w, h: h, at: l.At, gap: c.Px(LabelGap), slot: l.Slot, side: l.Side, line: l.Slot == Near}
	if p, ok := c.places[l.Key]; ok && l.Stay {
		cl.last = &Box{l.At.X + p.X, l.At.Y + p.Y, l.At.X + p.X + w, l.At.Y + p.Y + h}
	}
	return cl
}

// leader ties a label that had to move away to its thing; it ends where
// something to keep clear begins.
func (c *Canvas) leader(b Box, at Point, clear []Box) {
	from := b.Nearest(at)
	if from.Distance(at) < c.Px(leaderMin) {
		return
	}
	end := 1.0
	for _, k := range clear {
		if share, hit := k.enters(from, at); hit {
			end = math.Min(end, share)
		}
	}
	l := DefaultLine()
	l.Width, l.Casing = 0.003, 0.002
	c.Stroke(l, from, from.Lerp(at, end))
}

func (c *Canvas) drawLabel(b Box, l Label) {
	c.Plate(b)
	x, y := b.X0+c.Px(padX), b.Y0+c.Px(padY)
	for i, r := range l.Rows {
		indent := 0.0
		if i == 0 && l.Sign != nil {
			c.DrawSign(Point{x, y + c.Height(r)/2}, *l.Sign)
			indent = c.Px(signWide + signSpace)
		}
		left, right := r.split()
		c.Write(Point{x + indent, y}, left)
		if len(right) > 0 {
			c.Write(Point{b.X1 - c.Px(padX) - c.Width(right), y}, right)
		}
		y += c.Height(r)
	}
}

// DrawSign draws the sample of a sign from its left end at p: a piece of its
// line with its shape in the middle. It is signWide long and needs no casing on
// a plate or page.
func (c *Canvas) DrawSign(p Point, s Sign) {
	l := DefaultLine().Signed(s)
	l.Casing = 0
	c.Stroke(l, p, p.Add(c.Px(signWide), 0))
	c.Mark(p.Add(c.Px(signWide)/2, 0), s.Shape, 0.010, l.whole())
}

// whole returns the line without dashes, in which marks are drawn.
func (l Line) whole() Line {
	l.Dash = nil
	l.Casing = 0.003
	return l
}
