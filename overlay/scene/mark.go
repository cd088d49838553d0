package scene

import (
	"strokereel/overlay"
	"strokereel/track"
)

// Ghost is the small cross that stays where the marker was at address.
type Ghost struct {
	Line overlay.Line
	Size overlay.Share
	X, Y float64 // clip px
}

// NewGhost marks a place in px of the clip's upright picture.
func NewGhost(x, y float64) *Ghost {
	l := overlay.DefaultLine()
	l.Width, l.Casing = 0.0035, 0.0025
	return &Ghost{Line: l, Size: 0.014, X: x, Y: y}
}

// Draw draws the cross.
func (g *Ghost) Draw(c *overlay.Canvas, m overlay.Moment) {
	c.Cross(m.View.At(g.X, g.Y), g.Size, g.Line)
}

// Target says on the ground which way the putt goes: a chevron and a word.
type Target struct {
	Line   overlay.Line
	Size   overlay.Share
	Place  float64 // m along the putt line
	Silent bool    // without its word

	ground Ground
}

// NewTarget places the mark at a distance (m) along the putt line.
func NewTarget(g Ground, place float64) (*Target, error) {
	if err := g.Validate(); err != nil {
		return nil, err
	}
	return &Target{Line: overlay.DefaultLine(), Size: 0.016, Place: place, ground: g}, nil
}

// tips are the points of the chevrons, and a unit of their size along the putt
// line and down into the ground, px.
func (t *Target) tips(c *overlay.Canvas, m overlay.Moment) (tips [2]overlay.Point, along, down overlay.Point) {
	dx, dy := t.ground.across(m)
	p, q := t.ground.at(m, t.Place), t.ground.at(m, t.Place+1)
	size := c.Px(t.Size)
	k := size / p.Distance(q)
	along = overlay.Point{X: (q.X - p.X) * k, Y: (q.Y - p.Y) * k}
	down = overlay.Point{X: dx * size, Y: dy * size}
	return [2]overlay.Point{p, p.Add(1.3*along.X, 1.3*along.Y)}, along, down
}

// Draw draws the chevrons.
func (t *Target) Draw(c *overlay.Canvas, m overlay.Moment) {
	tips, along, down := t.tips(c, m)
	for _, tip := range tips {
		c.Stroke(t.Line, tip.Add(-along.X-down.X, -along.Y-down.Y), tip, tip.Add(-along.X+down.X, -along.Y+down.Y))
	}
}

// Labels names the mark.
func (t *Target) Labels(c *overlay.Canvas, m overlay.Moment) []overlay.Label {
	tips, along, _ := t.tips(c, m)
	if t.Silent || !overlay.Around(tips[1], 1).Within(c.Safe()) {
		return nil
	}
	side := overlay.Right
	if along.X < 0 {
		side = overlay.Left
	}
	return []overlay.Label{{Key: "target", Rows: []overlay.Row{overlay.Quiet(wordTarget)}, At: tips[1], Side: side, Stay: true}}
}

// KeepClear keeps labels off the chevrons.
func (t *Target) KeepClear(c *overlay.Canvas, m overlay.Moment) []overlay.Box {
	tips, along, down := t.tips(c, m)
	back := tips[0].Add(-along.X, -along.Y)
	b := overlay.Span(back.Add(-down.X, -down.Y), back.Add(down.X, down.Y), tips[1])
	return []overlay.Box{b.Grow(c.Px(t.Line.Width))}
}

// known reports whether a measure has a value.
func known(m track.Measure) bool { return m.Status == track.Measured || m.Status == track.AtLeast }
