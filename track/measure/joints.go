package measure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"strokereel/track"
	"strokereel/track/path"
)

// Body is where the places of the body were seen: one path each in metres of the
// marker's plane, x toward the target, y up. Angles and ratios need no better
// scale. Whatever was not looked for is missing.
type Body struct {
	Paths map[string]track.Path
	Grip  string // as in the sheet; some make a measure meaningless
	// Guessed are the places that a model told, not a band or sticker.
	Guessed map[string]bool
}

// guessed reports whether a model told one of some joints.
func (b Body) guessed(joints []string) bool {
	return slices.ContainsFunc(joints, func(j string) bool { return b.Guessed[j] })
}

// pose answers where joints are, for one stroke.
type pose struct {
	w      *work
	curves map[string]*path.Curve
}

// newPose makes a curve of every joint's path. Impact stops the club's head
// short, and all that holds it.
func (w *work) newPose() *pose {
	p := &pose{w: w, curves: map[string]*path.Curve{}}
	var breaks []float64
	if e := w.stroke.Event(track.Impact); e.Known() {
		breaks = []float64{e.T}
	}
	for name, q := range w.in.Body.Paths {
		if c, err := path.NewCurve(path.WithoutStrays(w.stroke.Toward(q), w.in.Smoothing), breaks, w.in.FrameExposure(), w.in.Smoothing); err == nil {
			p.curves[name] = c
		}
	}
	return p
}

// place is a joint at one moment, m.
type place struct{ x, y, u float64 }

// addressSpan is the last part of the rest before the start over which address
// is averaged, s: long enough to average noise, short enough for a player who
// settles late.
const addressSpan = 0.35

// at is where a joint is at an event; at the start it is its mean before it. What
// its own place is off by is left out of a need that counts it elsewhere.
func (p *pose) at(n need) (place, string) {
	q, missing := p.seenAt(n.name, n.event)
	if missing == "" && !n.bare {
		q.u = math.Hypot(q.u, p.own(n.name))
	}
	return q, missing
}

func (p *pose) seenAt(name, event string) (place, string) {
	c, ok := p.curves[name]
	if !ok {
		return place{}, fmt.Sprintf("the %s was not seen", plain(name))
	}
	e := p.w.stroke.Event(event)
	if e.Status != track.Measured {
		return place{}, fmt.Sprintf("needs the %s: %s", spoken(event), e.Reason)
	}
	if event == track.Start {
		return p.address(name, e.T)
	}
	m, err := c.At(e.T)
	if err != nil {
		return place{}, fmt.Sprintf("the %s was not seen at the %s", plain(name), spoken(event))
	}
	// What the event's own time leaves open.
	late := math.Hypot(m.VX, m.VY) * e.U
	return place{m.X, m.Y, math.Hypot(m.U(0), late)}, ""
}

func (p *pose) address(name string, start float64) (place, string) {
	var m place
	var n float64
	from := math.Max(p.w.stroke.Address.T0, start-addressSpan)
	for _, q := range p.w.stroke.Toward(p.w.in.Body.Paths[name]).Points {
		if q.Seen && q.T >= from && q.T <= start {
			m.x, m.y, m.u, n = m.x+q.X, m.y+q.Y, m.u+q.U, n+1
		}
	}
	if n < 3 {
		return place{}, fmt.Sprintf("the %s was not seen at address", plain(name))
	}
	// A codec repeats the picture of what stands still, so frames are few.
	m.x, m.y, m.u = m.x/n, m.y/n, m.u/n/math.Sqrt(math.Min(n, independentFrames))
	return m, ""
}

// independentFrames is how many frames of a still picture say something of their
// own.
const independentFrames = 4

// own is what a joint's place is off by beyond noise, m: a band slides and turns
// on the skin, a model has its own idea of a joint. The shaft does not.
func (p *pose) own(name string) float64 {
	if strings.HasPrefix(name, "shaft") || name == track.LeadHand {
		return 0
	}
	if !p.w.in.Body.Guessed[name] {
		return p.w.o.BandSlip / 1000
	}
	switch name {
	case track.LeadWrist, track.TrailWrist:
		return p.w.o.ModelWrist / 1000
	case track.LeadElbow, track.TrailElbow:
		return p.w.o.ModelElbow / 1000
	}
	return p.w.o.ModelJoint / 1000
}

func plain(name string) string {
	switch name {
	case track.ShaftFoot, track.ShaftTop:
		return "shaft"
	case track.Cap:
		return "sticker on the cap"
	}
	return strings.ReplaceAll(name, "_", " ")
}

// need is a joint at an event; of a bare one only what was seen counts, not what
// its place is off by beyond that.
type need struct {
	name, event string
	bare        bool
}

// gather turns joints at events into inputs, x and y after each other, and says
// what is missing.
func (p *pose) gather(needs []need) ([]Input, string) {
	var in []Input
	for _, n := range needs {
		q, missing := p.at(n)
		if missing != "" {
			return nil, missing
		}
		label := plain(n.name) + " at the " + spoken(n.event)
		if n.event == track.Start {
			label = plain(n.name) + " at address"
		}
		in = append(in, Input{Name: label + ", along the line", Unit: "m", Value: q.x, U: q.u}, Input{Name: label + ", upward", Unit: "m", Value: q.y, U: q.u})
	}
	return in, ""
}

// Angles in degrees of the line from one place down to another against the
// vertical, positive when the lower one is nearer to the target.
func hang(x0, y0, x1, y1 float64) float64 { return math.Atan2(x1-x0, y0-y1) * 180 / math.Pi }

// JointAngle is the angle at b between the directions to a and to c, degrees:
// atan2(|u x v|, u . v) with u = a - b and v = c - b (textbook).
func JointAngle(ax, ay, bx, by, cx, cy float64) float64 {
	ux, uy, vx, vy := ax-bx, ay-by, cx-bx, cy-by
	return math.Atan2(math.Abs(ux*vy-uy*vx), ux*vx+uy*vy) * 180 / math.Pi
}
