package demo

// Rod is a metre rod on the floor along the putt line, through the ball's place,
// with three coloured bands at known distances. It is taken away before the ball
// is put down.
type Rod struct {
	Bands  [3]float64 `json:"bands_x_m"` // middles along the putt line
	Width  float64    `json:"band_width_m"`
	Radius float64    `json:"radius_m"`
	RGB    rgb        `json:"rgb"`
	Marks  rgb        `json:"bands_rgb"`
	Until  float64    `json:"lies_until_s"`
}

// RodTruth says where the bands are seen while the rod lies there.
type RodTruth struct {
	Bands     [3][2]float64 `json:"bands_px"`         // middles of the bands' axes, in the first frame
	Distances [2]float64    `json:"band_distances_m"` // first to second, second to third; what the sheet says
	Height    float64       `json:"axis_height_m"`    // above the floor
	Until     float64       `json:"lies_until_s"`
}

func (sc *scene) rodTruth() *RodTruth {
	r := sc.spec.Rod
	t := &RodTruth{Height: r.Radius, Until: r.Until, Distances: [2]float64{r.Bands[1] - r.Bands[0], r.Bands[2] - r.Bands[1]}}
	for i, x := range r.Bands {
		t.Bands[i] = pair(sc.view.see(vec{x, r.Radius, 0}))
	}
	return t
}

const rodHalf = 0.5 // m

// props are the rod and its bands as things before the player, moved along a
// path.
func (r Rod) props(path []PropKey) []Prop {
	part := func(kind string, from, to float64, c rgb) Prop {
		return Prop{Kind: kind, Points: []Place{{from, r.Radius, 0}, {to, r.Radius, 0}}, Radii: []float64{r.Radius, r.Radius}, RGB: c, Front: true, Path: path}
	}
	out := []Prop{part(propBar, -rodHalf, rodHalf, r.RGB)}
	for _, x := range r.Bands {
		out = append(out, part(propRing, x-r.Width/2, x+r.Width/2, r.Marks))
	}
	return out
}
