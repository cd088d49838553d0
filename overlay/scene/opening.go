package scene

import (
	"math"

	"strokereel/overlay"
)

// Opening is the first page of a reel.
type Opening struct {
	Title string
	Lines []string // such as the student's code, the date, the putt
	Clips []OpeningClip
}

// OpeningClip names a clip the reel shows.
type OpeningClip struct {
	Role overlay.Role
	Text string
}

// Draw draws the page; the moment does not matter.
func (o *Opening) Draw(c *overlay.Canvas, _ overlay.Moment) {
	b := page(c)
	p := overlay.Point{X: b.X0, Y: b.Y0 + b.H()*0.1}
	if c.Tall() {
		p.Y = b.Y0 + b.H()*0.16
	}
	p = paragraph(c, p, b.W(), title(o.Title))
	p.Y += c.Px(0.02)
	for _, line := range o.Lines {
		p = paragraph(c, p, b.W(), overlay.Run{Text: line, Size: overlay.Body, Weight: overlay.Regular, Colour: overlay.Mist})
	}
	p.Y += c.Px(0.05)
	for _, clip := range o.Clips {
		row := overlay.Row{
			{Text: RoleName(clip.Role) + "  ", Size: overlay.Body, Weight: overlay.Bold, Colour: overlay.Chalk},
			{Text: clip.Text, Size: overlay.Body, Weight: overlay.Regular, Colour: overlay.Mist},
		}
		indent := c.Px(0.08)
		c.DrawSign(p.Add(0, c.Height(row)/2), clip.Role.Sign())
		p = column(c, p.Add(indent, 0), b.W()-indent, row).Add(-indent, c.Px(0.012))
	}
	o.putt(c, b)
}

// putt is the page's ornament: a ground line, a ball, and the way a putter head
// swings through it.
func (o *Opening) putt(c *overlay.Canvas, b overlay.Box) {
	y := b.Y1 - c.Px(0.07)
	if c.Tall() {
		y = b.Y0 + 0.78*b.H()
	}
	rule(c, b.X0, b.X1, y)
	ball := overlay.Point{X: b.X0 + 0.62*b.W(), Y: y - c.Px(0.020)}
	line := overlay.Line{Width: 0.004, Colour: overlay.Rule, Opacity: 1}
	var arc []overlay.Point
	for k := -24; k <= 36; k++ {
		d := float64(k) / 36
		x := ball.X + d*0.34*b.W()
		arc = append(arc, overlay.Point{X: x, Y: ball.Y - c.Px(0.11)*d*d})
	}
	c.Stroke(line, arc...)
	for k := 1; k < 10; k++ {
		x := b.X0 + b.W()*float64(k)/10
		h := c.Px(0.008) * (1 + math.Mod(float64(k), 2))
		c.Stroke(overlay.Line{Width: 0.002, Colour: overlay.Rule, Opacity: 1}, overlay.Point{X: x, Y: y}, overlay.Point{X: x, Y: y + h})
	}
	c.Mark(ball, overlay.Disc, 0.020, overlay.Line{Colour: overlay.Chalk, Opacity: 1})
}
