package scene

import (
	"math"
	"slices"

	"strokereel/overlay"
	"strokereel/track"
)

// Names of the objects the Y is drawn from, beside the putter.
const (
	LeadShoulder  = track.LeadShoulder
	TrailShoulder = track.TrailShoulder
	LeadElbow     = track.LeadElbow
	TrailElbow    = track.TrailElbow
	LeadWrist     = track.LeadWrist
	TrailWrist    = track.TrailWrist
	Hands         = track.LeadHand
)

// Wye is the Y of arms and shaft: the one at address stays as a faint line, the
// one of the moment is drawn over it while its joints are seen. Lines fade as
// the doubt about their ends grows and are gone at Doubt.
type Wye struct {
	Now, Then overlay.Line
	Doubt     overlay.Share // standard uncertainty of a joint at which its lines are gone
	Joint     overlay.Share // half-width of the rings at the elbows

	address []overlay.Object
}

// NewWye keeps the joints seen at address, px of the clip's upright picture;
// without any there is no faint line.
func NewWye(address []overlay.Object) *Wye {
	then := overlay.DefaultLine()
	then.Width, then.Casing, then.Opacity, then.Colour = 0.0035, 0.0025, 0.7, overlay.Mist
	now := overlay.DefaultLine()
	now.Width = 0.006
	held := slices.ContainsFunc(address, func(o overlay.Object) bool { return slices.Contains(holding, o.Name) })
	address = slices.DeleteFunc(slices.Clone(address), func(o overlay.Object) bool {
		// Without a hand the faint shaft would be a line from nowhere.
		return !held && (o.Name == track.ShaftTop || o.Name == track.ShaftFoot)
	})
	return &Wye{Now: now, Then: then, Doubt: 0.03, Joint: 0.010, address: address}
}

// holding are the places between which and the ground the shaft is.
var holding = []string{Hands, LeadWrist, TrailWrist}

// Draw draws the faint Y and the one of the moment.
func (w *Wye) Draw(c *overlay.Canvas, m overlay.Moment) {
	then := m
	then.Objects = w.address
	w.limbs(c, then, w.Then)
	w.limbs(c, m, w.Now)
	for _, name := range []string{LeadElbow, TrailElbow} {
		if o, ok := m.Find(name); ok {
			c.Mark(m.At(o), overlay.Ring, w.Joint, w.Now.At(w.sure(c, m, o)))
		}
	}
}

// limbs draws what can be drawn of two arms and a shaft. A forearm ends at the
// wrist, or at the hands when no wrist is seen; an arm without its elbow is not
// drawn, since it would look straight. The shaft is the line found in the
// picture; without one it runs from the hands to the marker.
func (w *Wye) limbs(c *overlay.Canvas, m overlay.Moment, l overlay.Line) {
	for _, arm := range [2][3]string{{LeadShoulder, LeadElbow, LeadWrist}, {TrailShoulder, TrailElbow, TrailWrist}} {
		w.limb(c, m, l, arm[0], arm[1])
		if _, ok := m.Find(arm[2]); ok {
			w.limb(c, m, l, arm[1], arm[2])
		} else {
			w.limb(c, m, l, arm[1], Hands)
		}
	}
	if _, ok := m.Find(track.ShaftFoot); !ok {
		w.limb(c, m, l, Hands, track.Putter)
		return
	}
	w.shaft(c, m, l)
}

// mostShaft is how much longer than the piece of the shaft that was found the
// whole of it may be drawn.
const mostShaft = 2.5

// shaft draws the line of the shaft up to where the hands hold it: as far as the
// highest hand or wrist, or no further than it was found.
func (w *Wye) shaft(c *overlay.Canvas, m overlay.Moment, l overlay.Line) {
	foot, ok := m.Find(track.ShaftFoot)
	top, also := m.Find(track.ShaftTop)
	if !ok || !also {
		return
	}
	p, q := m.At(foot), m.At(top)
	dx, dy := q.X-p.X, q.Y-p.Y
	reach := 1.0
	for _, name := range holding {
		if o, ok := m.Find(name); ok {
			h := m.At(o)
			reach = math.Max(reach, ((h.X-p.X)*dx+(h.Y-p.Y)*dy)/(dx*dx+dy*dy))
		}
	}
	reach = math.Min(reach, mostShaft)
	sure := math.Min(w.sure(c, m, foot), w.sure(c, m, top))
	c.Stroke(l.At(l.Opacity*sure), p, p.Add(reach*dx, reach*dy))
}

func (w *Wye) limb(c *overlay.Canvas, m overlay.Moment, l overlay.Line, from, to string) {
	p, ok := m.Find(from)
	q, also := m.Find(to)
	if ok && also {
		sure := math.Min(w.sure(c, m, p), w.sure(c, m, q))
		c.Stroke(l.At(l.Opacity*sure), m.At(p), m.At(q))
	}
}

// sure is 1 for a joint that is well known and 0 for one that is not.
func (w *Wye) sure(c *overlay.Canvas, m overlay.Moment, o overlay.Object) float64 {
	k := o.U * m.View.Scale / c.Px(w.Doubt)
	if !(k >= 0) {
		return 0
	}
	return math.Max(0, math.Min(1, 1.5*(1-k))) // whole up to a third of the doubt
}
