package overlay

// Element is one drawn thing. An element keeps its own look and draws what the
// moment says, or nothing when nothing is to be shown then.
type Element interface {
	Draw(c *Canvas, m Moment)
}

// Labeller is an element with something to say. Its labels are placed after
// everything has been drawn.
type Labeller interface {
	Labels(c *Canvas, m Moment) []Label
}

// Keeper is an element that labels must not cover, beyond the objects of the
// moment.
type Keeper interface {
	KeepClear(c *Canvas, m Moment) []Box
}

// Avoider is an element that labels do not cover as long as there is room
// elsewhere.
type Avoider interface {
	Avoid(c *Canvas, m Moment) []Box
}

// Draw draws elements in order, then their labels, and returns the keys of the
// labels for which there was no room. Labels of earlier elements choose first.
func Draw(c *Canvas, m Moment, elements ...Element) (left []string) {
	var labels []Label
	clear, avoid := keepClear(c, m), []Box(nil)
	for _, e := range elements {
		e.Draw(c, m)
		if k, ok := e.(Keeper); ok {
			clear = append(clear, k.KeepClear(c, m)...)
		}
		if a, ok := e.(Avoider); ok {
			avoid = append(avoid, a.Avoid(c, m)...)
		}
		if l, ok := e.(Labeller); ok {
			labels = append(labels, l.Labels(c, m)...)
		}
	}
	return c.layOut(labels, clear, avoid)
}

// keepClear returns the boxes of the objects that must stay visible.
func keepClear(c *Canvas, m Moment) []Box {
	var boxes []Box
	for _, o := range m.Objects {
		if p := m.At(o); o.Radius > 0 && p.usable() {
			boxes = append(boxes, Around(p, o.Radius*m.View.Scale))
		}
	}
	return boxes
}
