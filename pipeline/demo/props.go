package demo

// Kinds of props.
const (
	propBall  = "ball"  // a sphere that lies on the floor
	propBar   = "bar"   // a tapered bar with round ends: an arm, a shaft, a shoe
	propRing  = "ring"  // a coloured band round a bar
	propDisc  = "disc"  // a flat disc
	propSheet = "sheet" // a flat polygon
)

// Place is a point or a direction in the room, metres: x along the putt line, y
// up, z toward the camera.
type Place [3]float64

func (p Place) vec() vec { return vec{p[0], p[1], p[2]} }

// Prop is a thing that belongs neither to the room nor to the player. Those in
// front are nearer to the camera than player, club and ball and may hide them;
// the others stand still behind them.
type Prop struct {
	Kind   string    `json:"kind"`
	Points []Place   `json:"points_m"`          // centre, both ends or corners
	Radii  []float64 `json:"radii_m,omitempty"` // of ball, disc or both ends
	Normal Place     `json:"normal,omitzero"`   // of a disc or sheet
	RGB    rgb       `json:"rgb"`
	Front  bool      `json:"in_front,omitempty"`
	Path   []PropKey `json:"path,omitempty"` // moved from its points, none for one that stands still
}

// PropKey is where a prop has been moved to at a moment. It moves smoothly from
// key to key.
type PropKey struct {
	At    float64 `json:"t_s"`
	Shift Place   `json:"shift_m"`
}

// shift is how far the prop has been moved at t.
func (o Prop) shift(t float64) vec {
	n := len(o.Path)
	if n == 0 {
		return vec{}
	}
	for i := 1; i < n; i++ {
		if a, b := o.Path[i-1], o.Path[i]; t < b.At {
			return a.Shift.vec().toward(b.Shift.vec(), smooth(t, a.At, b.At))
		}
	}
	return o.Path[n-1].Shift.vec()
}

func (o Prop) point(i int, t float64) vec { return o.Points[i].vec().add(o.shift(t)) }

// outline is the prop's silhouette in stored pixels.
func (o Prop) outline(v view, t float64) []point {
	switch o.Kind {
	case propBall:
		return v.outline(o.point(0, t), o.Radii[0], 48)
	case propBar, propRing:
		return hull(append(v.outline(o.point(0, t), o.Radii[0], 24), v.outline(o.point(1, t), o.Radii[1], 24)...))
	case propDisc:
		n := o.Normal.vec().unit()
		a := n.cross(vec{0.6, 0, 0.8}).unit()
		return v.circle(o.point(0, t), a.mul(o.Radii[0]), n.cross(a).mul(o.Radii[0]), 48)
	}
	var poly []point
	for i := range o.Points {
		poly = append(poly, v.project(o.point(i, t)))
	}
	return poly
}

func (o Prop) paint(p *painter, t float64) {
	switch o.Kind {
	case propBall:
		c := o.point(0, t)
		p.shadow(c.add(vec{0.012, 0, -0.012}), 0.034, 0.024, 0.5)
		p.ball(c, o.Radii[0], vec{0.3, 0.5, -0.8}.unit(), sphereSkin{o.RGB, o.RGB, vec{}})
	case propBar:
		p.limb(limb{o.point(0, t), o.point(1, t), o.Radii[0], o.Radii[1], o.RGB, 0})
	case propRing:
		a, b := o.point(0, t), o.point(1, t)
		p.cuff(a.toward(b, 0.5), b.sub(a), b.sub(a).length(), o.Radii[0], o.RGB)
	default:
		p.flat(o.outline(p.view, t), o.RGB, o.Normal.vec())
	}
}

// paintProps draws one side's props in the order in which they are listed.
func (sc *scene) paintProps(p *painter, t float64, front bool) {
	for _, o := range sc.spec.Props {
		if o.Front == front {
			o.paint(p, t)
		}
	}
}

func (sc *scene) hasFront() bool {
	for _, o := range sc.spec.Props {
		if o.Front {
			return true
		}
	}
	return false
}

// propBlur is how far the fastest prop in front moves during the exposure, px.
func (sc *scene) propBlur(t float64) float64 {
	half := sc.spec.Video.Shutter / 2
	v, far := sc.viewAt(t), 0.0
	for _, o := range sc.spec.Props {
		if len(o.Path) > 0 {
			far = max(far, v.project(o.point(0, t-half)).distance(v.project(o.point(0, t+half))))
		}
	}
	return far
}

// The sticker's visible share is counted over a grid of its places and a few
// instants of the exposure.
const (
	visibleRings    = 6
	visibleInstants = 5
)

// visible is the share of the sticker, over the exposure around t, that no prop
// in front hides.
func (sc *scene) visible(t float64) float64 {
	free, all := 0.0, 0.0
	for k := range visibleInstants {
		at := t + sc.spec.Video.Shutter*((float64(k)+0.5)/visibleInstants-0.5)
		v, club := sc.viewAt(at), sc.clubAt(at)
		var hiding [][]point
		for _, o := range sc.spec.Props {
			if o.Front {
				hiding = append(hiding, o.outline(v, at))
			}
		}
		for _, p := range discGrid(sc.spec.Putter.StickerSize / 2) {
			q := v.project(club.place(vec{p.x, p.y, 0}))
			all++
			if !insideAny(hiding, q) {
				free++
			}
		}
	}
	return free / all
}

// discGrid is places spread evenly over a disc.
func discGrid(radius float64) []point {
	var out []point
	const n = 2 * visibleRings
	for i := range n {
		for j := range n {
			p := point{radius * (float64(2*i+1)/n - 1), radius * (float64(2*j+1)/n - 1)}
			if p.distance(point{}) <= radius {
				out = append(out, p)
			}
		}
	}
	return out
}

func insideAny(polys [][]point, p point) bool {
	for _, poly := range polys {
		if encloses(poly, p) {
			return true
		}
	}
	return false
}

// encloses counts how often a ray to the right crosses the polygon.
func encloses(poly []point, p point) bool {
	in := false
	for i, a := range poly {
		b := poly[(i+1)%len(poly)]
		if (a.y > p.y) != (b.y > p.y) && p.x < a.x+(p.y-a.y)/(b.y-a.y)*(b.x-a.x) {
			in = !in
		}
	}
	return in
}
