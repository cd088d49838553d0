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

// Draw draws the chevron.
func (t *Target) Draw(c *overlay.Canvas, m overlay.Moment) {
	dx, dy := t.ground.across(m)
	p, q := t.ground.at(m, t.Place), t.ground.at(m, t.Place+1)
	d, size := p.Distance(q), c.Px(t.Size)
	fx, fy := (q.X-p.X)/d*size, (q.Y-p.Y)/d*size
	for k := range 2 {
		tip := p.Add(1.3*float64(k)*fx, 1.3*float64(k)*fy)
		c.Stroke(t.Line, tip.Add(-fx-dx*size, -fy-dy*size), tip, tip.Add(-fx+dx*size, -fy+dy*size))
	}
}

// Labels names the mark.
func (t *Target) Labels(c *overlay.Canvas, m overlay.Moment) []overlay.Label {
	p := t.ground.at(m, t.Place)
	if t.Silent || !c.Frame().Grow(-c.Px(0.02)).Overlaps(overlay.Around(p, 1)) {
		return nil
	}
	return []overlay.Label{{Key: "target", Rows: []overlay.Row{overlay.Quiet(wordTarget)}, At: p, Side: overlay.Right, Stay: true}}
}

// KeepClear keeps labels off the chevron.
func (t *Target) KeepClear(c *overlay.Canvas, m overlay.Moment) []overlay.Box {
	return []overlay.Box{overlay.Around(t.ground.at(m, t.Place), c.Px(1.6*t.Size))}
}

// known reports whether a measure has a value.
func known(m track.Measure) bool { return m.Status == track.Measured || m.Status == track.AtLeast }
