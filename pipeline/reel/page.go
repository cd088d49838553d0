package reel

import (
	"image"

	"strokereel/overlay"
	"strokereel/overlay/scene"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// element is the drawn form of a page.
func (p *Page) element() (overlay.Element, error) {
	if p.Clips != nil {
		o := &scene.Opening{Title: p.Title, Lines: p.Lines}
		for _, c := range p.Clips {
			o.Clips = append(o.Clips, scene.OpeningClip{Role: roleOf(c.Role), Text: c.Text})
		}
		return o, nil
	}
	var rows []scene.ChangeRow
	for _, d := range p.Rows {
		r := scene.ChangeRow{ID: d.ID, Before: shownAs(d.Before, d.ID), After: shownAs(d.After, d.ID), Change: shownAs(d.Change, d.ID)}
		r.Word = scene.ChangeWord(d.ID, r.Change, d.Comparable)
		rows = append(rows, r)
	}
	return scene.NewClosing(p.Title, rows, p.Notes...)
}

// drawPage draws a page on an image of the whole frame.
func drawPage(img *image.RGBA, p *Page) error {
	e, err := p.element()
	if err != nil {
		return err
	}
	c, err := overlay.NewCanvas(img.Rect.Dx(), img.Rect.Dy())
	if err != nil {
		return err
	}
	if err := c.Begin(img); err != nil {
		return err
	}
	overlay.Draw(c, overlay.Moment{View: overlay.FullView()}, e)
	return c.Err()
}

// shownAs is a measure as a page shows it: a length per ball speed as the length
// at 1 m/s, which is the same number.
func shownAs(m lesson.Measure, id string) track.Measure {
	out := m.Computed(id)
	if out.Unit == "m/(m/s)" {
		out.Unit = "m"
	}
	return out
}
