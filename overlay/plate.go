package overlay

import (
	"image/color"
	"math"
)

const plateRadius Share = 0.011

// blend lays one colour at one opacity over pictures, level by level from a
// table: plates are the largest things drawn on a frame. Levels count opacity in,
// as in image.RGBA, so that a picture may be clear.
type blend struct {
	colour     color.RGBA
	opacity    float64
	r, g, b, a [256]uint8
}

func newBlend(colour color.RGBA, opacity float64) *blend {
	t := &blend{colour: colour, opacity: opacity}
	for v := range 256 {
		o := Over(colour, opacity, color.RGBA{uint8(v), uint8(v), uint8(v), 255})
		t.r[v], t.g[v], t.b[v], t.a[v] = o.R, o.G, o.B, opaque(opacity, uint8(v))
	}
	return t
}

// whole lays the colour over pixels, four bytes each.
func (t *blend) whole(pix []uint8) {
	for i := 0; i+3 < len(pix); i += 4 {
		p := pix[i : i+4 : i+4]
		p[0], p[1], p[2], p[3] = t.r[p[0]], t.g[p[1]], t.b[p[2]], t.a[p[3]]
	}
}

// part lays the colour over a pixel of which only a share is covered.
func (t *blend) part(p []uint8, share float64) {
	o := Over(t.colour, t.opacity*share, color.RGBA{p[0], p[1], p[2], 255})
	p[0], p[1], p[2], p[3] = o.R, o.G, o.B, opaque(t.opacity*share, p[3])
}

// opaque is how opaque a pixel is once something was laid over it.
func opaque(opacity float64, under uint8) uint8 {
	return uint8(math.Round(255*opacity + float64(under)*(1-opacity)))
}

// Plate draws the plate text stands on, with rounded corners. It covers whole
// pixels within b.
func (c *Canvas) Plate(b Box) {
	x0, y0 := int(math.Ceil(b.X0)), int(math.Ceil(b.Y0))
	x1, y1 := int(math.Floor(b.X1)), int(math.Floor(b.Y1))
	radius := min(c.Px(plateRadius), float64(min(x1-x0, y1-y0))/2)
	round := int(math.Ceil(radius))
	for y := max(y0, 0); y < min(y1, c.h); y++ {
		row := c.img.Pix[y*c.img.Stride : y*c.img.Stride+4*c.w]
		inset := 0
		if y < y0+round || y >= y1-round {
			inset = round
		}
		if from, to := max(x0+inset, 0), min(x1-inset, c.w); from < to {
			c.plate.whole(row[4*from : 4*to])
		}
		for i := range inset {
			share := corner(float64(i), math.Min(float64(y-y0), float64(y1-1-y)), radius)
			for _, x := range [2]int{x0 + i, x1 - 1 - i} {
				if x >= 0 && x < c.w {
					c.plate.part(row[4*x:4*x+4], share)
				}
			}
		}
	}
}

// corner is how much of the pixel (x, y) from the corner of a plate lies within
// its rounding, taken as the distance of its centre to the arc.
func corner(x, y, radius float64) float64 {
	d := math.Hypot(math.Max(radius-x-0.5, 0), math.Max(radius-y-0.5, 0))
	return math.Max(0, math.Min(1, radius-d+0.5))
}
