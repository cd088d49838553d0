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

// Wye is the Y of arms and shaft: the one at address stays as a faint line, if
// all of it is known, since a part of it would look like a stray line; the one of
// the moment is drawn over it as far as its joints are seen. Lines fade as the
// doubt about their ends grows and are gone at Doubt.
type Wye struct {
	Now, Then overlay.Line
	Doubt     overlay.Share // standard uncertainty of a joint at which its lines are gone
	Joint     overlay.Share // half-width of the rings at the elbows

	address []overlay.Object
	doubted float64 // px of the clip, of the joint of them that is known worst
}

// NewWye keeps the joints seen at address, px of the clip's upright picture;
// without any there is no faint line.
func NewWye(address []overlay.Object) *Wye {
	then := overlay.DefaultLine()
	then.Width, then.Casing, then.Opacity, then.Colour = 0.0035, 0.0025, 0.7, overlay.Mist
	now := overlay.DefaultLine()
	now.Width = 0.006
	w := &Wye{Now: now, Then: then, Doubt: 0.03, Joint: 0.010}
	if whole(address) {
		for _, o := range address {
			if slices.Contains(wyeJoints, o.Name) {
				w.doubted = math.Max(w.doubted, o.U)
				o.U = 0 // the faint Y fades as a whole
				w.address = append(w.address, o)
			}
		}
	}
	return w
}

// wyeJoints are all that a Y may be drawn from.
var wyeJoints = append(slices.Concat(arms[0][:], arms[1][:]), Hands, track.ShaftFoot, track.ShaftTop, track.Putter)

// whole reports whether both arms and the shaft up to the hands are among the
// joints.
func whole(joints []overlay.Object) bool {
	m := overlay.Moment{View: overlay.FullView(), Objects: joints}
	has := func(names ...string) bool {
		return slices.ContainsFunc(names, func(n string) bool { _, ok := m.Find(n); return ok })
	}
	for _, arm := range arms {
		if !has(arm[0]) || !has(arm[1]) || !has(arm[2], Hands) {
			return false
		}
	}
	if p, dx, dy, ok := grip(m); ok {
		return reach(m, p, dx, dy) <= mostShaft
	}
	return has(Hands) && has(track.Putter)
}

// arms are the joints of the lead and the trail arm.
var arms = [2][3]string{{LeadShoulder, LeadElbow, LeadWrist}, {TrailShoulder, TrailElbow, TrailWrist}}

// holding are the places between which and the ground the shaft is.
var holding = []string{Hands, LeadWrist, TrailWrist}

// Draw draws the faint Y and the one of the moment.
func (w *Wye) Draw(c *overlay.Canvas, m overlay.Moment) {
	then := m
	then.Objects = w.address
	sure := w.sure(c, m, overlay.Object{U: w.doubted})
	w.limbs(c, then, w.Then.At(w.Then.Opacity*sure))
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
	for _, arm := range arms {
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

// grip is the piece of the shaft that was found: its foot, and from there to its
// upper end.
func grip(m overlay.Moment) (foot overlay.Point, dx, dy float64, ok bool) {
	p, found := m.Find(track.ShaftFoot)
	q, also := m.Find(track.ShaftTop)
	foot = m.At(p)
	return foot, m.At(q).X - foot.X, m.At(q).Y - foot.Y, found && also
}

// reach is how many times the piece that was found it is from the foot to the
// highest hand or wrist; at least once.
func reach(m overlay.Moment, foot overlay.Point, dx, dy float64) float64 {
	far := 1.0
	for _, name := range holding {
		if o, ok := m.Find(name); ok {
			h := m.At(o)
			far = math.Max(far, ((h.X-foot.X)*dx+(h.Y-foot.Y)*dy)/(dx*dx+dy*dy))
		}
	}
	return far
}

// shaft draws the line of the shaft up to where the hands hold it: as far as the
// highest hand or wrist, or no further than it was found.
func (w *Wye) shaft(c *overlay.Canvas, m overlay.Moment, l overlay.Line) {
	p, dx, dy, ok := grip(m)
	if !ok {
		return
	}
	far := math.Min(reach(m, p, dx, dy), mostShaft)
	foot, _ := m.Find(track.ShaftFoot)
	top, _ := m.Find(track.ShaftTop)
	sure := math.Min(w.sure(c, m, foot), w.sure(c, m, top))
	c.Stroke(l.At(l.Opacity*sure), p, p.Add(far*dx, far*dy))
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
