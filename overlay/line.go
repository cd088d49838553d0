package overlay

import (
	"image/color"
	"math"
)

// Line is the look of a line or mark.
type Line struct {
	Width  Share
	Colour color.RGBA
	// Opacity of line and casing, 0 to 1. Below 1 a line may lose its contrast,
	// so only what is on its way out goes there.
	Opacity float64
	Dash    []Share // lengths of strokes and gaps in turn; none is a whole line
	Casing  Share   // on either side; without one there is no promise of contrast
}

// DefaultLine is a line that is read on a phone held upright.
func DefaultLine() Line {
	return Line{Width: 0.0065, Colour: Chalk, Opacity: 1, Casing: 0.0032}
}

// Signed returns the line in the colour and dash of a sign.
func (l Line) Signed(s Sign) Line {
	l.Colour, l.Dash = s.Colour, s.Dash
	return l
}

// At returns the line at an opacity.
func (l Line) At(opacity float64) Line {
	l.Opacity = opacity
	return l
}

// Stroke draws a line through points; points far outside the frame or not
// numbers end it.
func (c *Canvas) Stroke(l Line, points ...Point) {
	if len(points) < 2 || l.Opacity <= 0 {
		return
	}
	if l.Casing > 0 {
		c.dc.SetDash()
		c.trace(points)
		c.dc.SetColor(see(Ink, CasingOpacity*l.Opacity))
		c.dc.SetLineWidth(c.Px(l.Width + 2*l.Casing))
		c.dc.Stroke()
	}
	dash := make([]float64, len(l.Dash))
	for i, d := range l.Dash {
		dash[i] = c.Px(d)
	}
	c.dc.SetDash(dash...)
	c.trace(points)
	c.dc.SetColor(see(l.Colour, l.Opacity))
	c.dc.SetLineWidth(c.Px(l.Width))
	c.dc.Stroke()
	c.dc.SetDash()
}

func (c *Canvas) trace(points []Point) {
	c.dc.ClearPath()
	open := false
	for _, p := range points {
		switch {
		case !p.usable():
			open = false
		case open:
			c.dc.LineTo(p.X, p.Y)
		default:
			c.dc.MoveTo(p.X, p.Y)
			open = true
		}
	}
}

// Mark draws a shape of half-width r at p; rings are open in the middle.
func (c *Canvas) Mark(p Point, s Shape, r Share, l Line) {
	if !p.usable() || l.Opacity <= 0 {
		return
	}
	if l.Casing > 0 {
		c.outline(p, s, c.Px(r+l.Casing))
		c.dc.SetColor(see(Ink, CasingOpacity*l.Opacity))
		c.dc.Fill()
	}
	c.outline(p, s, c.Px(r))
	c.dc.SetColor(see(l.Colour, l.Opacity))
	c.dc.Fill()
	if s == Ring {
		c.outline(p, s, c.Px(r*0.55))
		c.dc.SetColor(see(Ink, l.Opacity))
		c.dc.Fill()
	}
}

// outline lays the path of a shape; its corners reach a little beyond r so that
// all shapes look equally large.
func (c *Canvas) outline(p Point, s Shape, r float64) {
	c.dc.ClearPath()
	switch s {
	case Diamond:
		c.dc.DrawRegularPolygon(4, p.X, p.Y, 1.3*r, math.Pi/4)
	case Square:
		c.dc.DrawRectangle(p.X-0.88*r, p.Y-0.88*r, 1.76*r, 1.76*r)
	case Triangle:
		c.dc.DrawRegularPolygon(3, p.X, p.Y+0.15*r, 1.35*r, 0)
	default:
		c.dc.DrawCircle(p.X, p.Y, r)
	}
}

// Cross draws an upright cross with arms of length r.
func (c *Canvas) Cross(p Point, r Share, l Line) {
	d := c.Px(r)
	whole := l
	whole.Casing = 0
	arms := [2][2]Point{{p.Add(-d, 0), p.Add(d, 0)}, {p.Add(0, -d), p.Add(0, d)}}
	if l.Casing > 0 {
		under := whole
		under.Width, under.Colour, under.Opacity = l.Width+2*l.Casing, Ink, CasingOpacity*l.Opacity
		for _, a := range arms {
			c.Stroke(under, a[0], a[1])
		}
	}
	for _, a := range arms {
		c.Stroke(whole, a[0], a[1])
	}
}

// Circle draws a ring of radius r px around p.
func (c *Canvas) Circle(p Point, r float64, l Line) {
	const corners = 48
	points := make([]Point, corners+1)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / corners)
		points[i] = p.Add(r*cos, r*sin)
	}
	c.Stroke(l, points...)
}

// Rectangle draws the edge of a box.
func (c *Canvas) Rectangle(b Box, l Line) {
	c.Stroke(l, Point{b.X0, b.Y0}, Point{b.X1, b.Y0}, Point{b.X1, b.Y1}, Point{b.X0, b.Y1}, Point{b.X0, b.Y0})
}
