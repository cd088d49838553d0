package scene

import "strokereel/overlay"

// pageMargin is the quiet border of a page.
const pageMargin overlay.Share = 0.065

// page paints an empty page and returns the box for its text.
func page(c *overlay.Canvas) overlay.Box {
	c.Fill(c.Frame(), overlay.Slate)
	return c.Frame().Grow(-c.Px(pageMargin))
}

// rule draws a thin line across a page.
func rule(c *overlay.Canvas, x0, x1, y float64) {
	c.Stroke(overlay.Line{Width: 0.002, Colour: overlay.Rule, Opacity: 1}, overlay.Point{X: x0, Y: y}, overlay.Point{X: x1, Y: y})
}

// smallest is the size below which shrunken text is no longer read.
const smallest overlay.Share = 0.029

// fit returns a row that is no wider than width px, in smaller type if need be.
func fit(c *overlay.Canvas, r overlay.Row, width float64) overlay.Row {
	return shrink(r, width/c.Width(r))
}

// shrink returns a row in type k times as large, never larger than it was.
func shrink(r overlay.Row, k float64) overlay.Row {
	if k >= 1 {
		return r
	}
	out := append(overlay.Row(nil), r...)
	for i := range out {
		out[i].Size = max(smallest, out[i].Size*overlay.Share(k))
	}
	return out
}

// column writes rows below one another and returns where the next would go.
func column(c *overlay.Canvas, p overlay.Point, width float64, rows ...overlay.Row) overlay.Point {
	for _, r := range rows {
		r = fit(c, r, width)
		c.Write(p, r)
		p.Y += c.Height(r)
	}
	return p
}

// paragraph writes a text broken to a width, or in slightly smaller type on one
// line when its last word alone would be on the next.
func paragraph(c *overlay.Canvas, p overlay.Point, width float64, run overlay.Run) overlay.Point {
	if row := (overlay.Row{run}); c.Width(row) <= width/leastShrunk {
		return column(c, p, width, row)
	}
	return column(c, p, width, c.Wrap(run, width)...)
}

// leastShrunk is the least share of its size in which a paragraph is set to save
// a line.
const leastShrunk = 0.82

// title is the heading of a page.
func title(text string) overlay.Run {
	return overlay.Run{Text: text, Size: overlay.Title, Weight: overlay.Bold, Colour: overlay.Chalk}
}

// note is text that stands back on a page.
func note(text string) overlay.Run {
	return overlay.Run{Text: text, Size: overlay.Small, Weight: overlay.Regular, Colour: overlay.Mist}
}
