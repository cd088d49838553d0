package marker

import "math"

// Colour is a point of the Cb-Cr plane relative to grey.
type Colour struct{ U, V float64 }

func (c Colour) sub(d Colour) Colour { return Colour{c.U - d.U, c.V - d.V} }
func (c Colour) norm() float64       { return math.Hypot(c.U, c.V) }

// share is how colourful d is along the hue of c, c itself being 1.
func (c Colour) share(d Colour) float64 { return (c.U*d.U + c.V*d.V) / (c.U*c.U + c.V*c.V) }

const (
	// palest is how much of its colour a highlight may leave a sticker, and fullest
	// how much more of it light may bring out.
	palest, fullest = 0.2, 1.6
	// otherHue and otherLevels are how far off its hue it may look, as a share of
	// its colour and in levels: 17 degrees, and the noise of pale ones.
	otherHue, otherLevels = 0.3, 6
)

// unlike tells how badly d fits a thing of colour c under another light: light
// changes how colourful it is much more than its hue. Above 1 it does not fit.
func (c Colour) unlike(d Colour) float64 {
	share, n := c.share(d), c.norm()
	across := math.Abs(c.U*d.V-c.V*d.U) / n / (otherHue*n + otherLevels)
	if share > 1 {
		return math.Max(across, (share-1)/(fullest-1))
	}
	return math.Max(across, (1-share)/(1-palest))
}

// Hue returns the angle in the Cb-Cr plane in degrees, 0-360.
func (c Colour) Hue() float64 {
	h := math.Atan2(c.V, c.U) * 180 / math.Pi
	if h < 0 {
		h += 360
	}
	return h
}

// named lists the colours a sheet may give, as sRGB values of common matt
// stickers; only their hue is used.
var named = []struct {
	name    string
	r, g, b float64
}{
	{"red", 215, 30, 35},
	{"orange", 245, 125, 20},
	{"yellow", 245, 220, 30},
	{"lime", 178, 224, 60},
	{"green", 40, 170, 60},
	{"cyan", 20, 175, 190},
	{"blue", 25, 70, 200},
	{"violet", 120, 50, 180},
	{"magenta", 225, 20, 140},
}

// ColourNames lists the colour names a setting or sheet may use.
func ColourNames() []string {
	names := make([]string, len(named))
	for i, n := range named {
		names[i] = n.name
	}
	return names
}

// Hue returns the hue of a named colour in the Cb-Cr plane (ITU-R BT.709,
// section 3: Cb = (B'-Y')/1.8556, Cr = (R'-Y')/1.5748).
func Hue(name string) (float64, bool) {
	for _, n := range named {
		if n.name == name {
			y := 0.2126*n.r + 0.7152*n.g + 0.0722*n.b
			return Colour{(n.b - y) / 1.8556, (n.r - y) / 1.5748}.Hue(), true
		}
	}
	return 0, false
}

// HueDistance returns the smaller angle between two hues, in degrees.
func HueDistance(a, b float64) float64 {
	d := math.Abs(math.Mod(a-b+540, 360) - 180)
	return d
}
