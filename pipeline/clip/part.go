package clip

import "image"

// Part is what is wanted of a clip's upright pictures; by default all of them,
// as they are.
type Part struct {
	Mirror bool            // left to right, before the area is cut out
	Area   image.Rectangle // px, with even corners; empty is the whole
}

// of is the part of a clip's pictures.
func (p Part) of(i Info) Part {
	if p.Area.Empty() {
		p.Area = i.whole()
	}
	return p
}

// Siting is where the chroma samples of the part lie.
func (p Part) Siting(i Info) Siting {
	if s := SitingOf(i); s != SitedLeft || !p.Mirror {
		return s
	}
	return SitedRight
}

// whole is all of a clip's picture.
func (i Info) whole() image.Rectangle { return image.Rect(0, 0, i.Width, i.Height) }
