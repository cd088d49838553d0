package demo

import "math"

// named is a colour with its name. Values are reflected light in linear light.
type named struct {
	name string
	rgb  rgb
}

var stickerColours = []named{
	{"magenta", rgb{0.80, 0.02, 0.34}},
	{"orange", rgb{0.88, 0.20, 0.01}},
	{"blue", rgb{0.01, 0.10, 0.72}},
	{"yellow", rgb{0.84, 0.66, 0.02}},
	{"cyan", rgb{0.02, 0.52, 0.66}},
	{"red", rgb{0.74, 0.015, 0.02}},
	{"violet", rgb{0.30, 0.04, 0.62}},
}

// bandColours are tried in turn; those near the sticker's hue are left out.
var bandColours = []rgb{
	{0.80, 0.62, 0.02}, {0.01, 0.10, 0.75}, {0.85, 0.21, 0.01}, {0.32, 0.04, 0.60},
	{0.02, 0.50, 0.52}, {0.72, 0.02, 0.03}, {0.78, 0.03, 0.36}, {0.45, 0.75, 0.05},
}

var (
	floorColours    = []rgb{{0.035, 0.075, 0.040}, {0.11, 0.115, 0.12}, {0.075, 0.085, 0.10}, {0.16, 0.13, 0.10}}
	matColours      = []rgb{{0.030, 0.115, 0.035}, {0.045, 0.150, 0.050}, {0.025, 0.085, 0.045}}
	wallColours     = []rgb{{0.52, 0.47, 0.39}, {0.56, 0.56, 0.54}, {0.42, 0.47, 0.50}, {0.60, 0.55, 0.46}}
	skinColours     = []rgb{{0.58, 0.33, 0.22}, {0.46, 0.25, 0.15}, {0.30, 0.155, 0.09}, {0.14, 0.070, 0.042}, {0.65, 0.42, 0.31}}
	hairColours     = []rgb{{0.03, 0.02, 0.015}, {0.10, 0.055, 0.03}, {0.28, 0.18, 0.09}, {0.30, 0.30, 0.30}}
	shirtColours    = []rgb{{0.17, 0.27, 0.19}, {0.55, 0.56, 0.58}, {0.06, 0.08, 0.14}, {0.30, 0.32, 0.36}, {0.33, 0.24, 0.18}, {0.10, 0.16, 0.24}}
	trouserColours  = []rgb{{0.16, 0.15, 0.16}, {0.05, 0.055, 0.075}, {0.32, 0.27, 0.20}, {0.09, 0.085, 0.08}}
	shoeColours     = []rgb{{0.62, 0.62, 0.60}, {0.05, 0.05, 0.05}, {0.10, 0.12, 0.17}}
	capColours      = []rgb{{0.70, 0.70, 0.68}, {0.04, 0.05, 0.08}, {0.25, 0.26, 0.28}}
	puttHeadColours = []rgb{{0.035, 0.036, 0.040}, {0.30, 0.31, 0.32}, {0.10, 0.105, 0.11}, {0.45, 0.46, 0.47}}
	gripColours     = []rgb{{0.02, 0.02, 0.02}, {0.09, 0.09, 0.10}}
)

// hue is the angle of a colour on the colour circle, degrees.
func hue(c rgb) float64 {
	r, g, b := float64(c[0]), float64(c[1]), float64(c[2])
	h := math.Atan2(math.Sqrt(3)*(g-b), 2*r-g-b) / degree
	return math.Mod(h+360, 360)
}

// apart is the distance of two hues, degrees.
func apart(a, b rgb) float64 {
	d := math.Abs(hue(a) - hue(b))
	return math.Min(d, 360-d)
}
