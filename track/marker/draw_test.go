package marker

import (
	"math"
	"math/rand/v2"

	"strokereel/track"
)

// rgb is a colour, 0-255.
type rgb [3]float64

// painting is a scene in RGB, painted by area sampling and turned into 4:2:0
// planes here, without any of the package's formulas.
type painting struct {
	w, h int
	px   []rgb
}

func paint(w, h int, floor rgb) *painting {
	p := &painting{w: w, h: h, px: make([]rgb, w*h)}
	for i := range p.px {
		p.px[i] = floor
	}
	return p
}

func (p *painting) rect(x0, y0, x1, y1 float64, c rgb) {
	overlap := func(i int, lo, hi float64) float64 {
		return math.Max(0, math.Min(hi, float64(i)+0.5)-math.Max(lo, float64(i)-0.5))
	}
	for j := max(0, int(y0)-1); j <= min(p.h-1, int(y1)+1); j++ {
		for i := max(0, int(x0)-1); i <= min(p.w-1, int(x1)+1); i++ {
			p.blend(i, j, overlap(i, x0, x1)*overlap(j, y0, y1), c)
		}
	}
}

func (p *painting) blend(i, j int, share float64, c rgb) {
	for d := range c {
		p.px[j*p.w+i][d] += share * (c[d] - p.px[j*p.w+i][d])
	}
}

// disc paints a disc whose centre moves by (mx, my) during the exposure.
func (p *painting) disc(cx, cy, r, mx, my float64, c rgb) {
	p.shape(cx-r-math.Abs(mx)/2, cy-r-math.Abs(my)/2, cx+r+math.Abs(mx)/2, cy+r+math.Abs(my)/2, c, func(x, y float64) float64 {
		const steps = 24
		n := 0.0
		for k := 0; k < steps; k++ {
			t := (float64(k)+0.5)/steps - 0.5
			if dx, dy := x-cx-mx*t, y-cy-my*t; dx*dx+dy*dy < r*r {
				n++
			}
		}
		return n / steps
	})
}

// shape blends a colour in by area; in tells how much of the exposure covers a
// point.
func (p *painting) shape(x0, y0, x1, y1 float64, c rgb, in func(x, y float64) float64) {
	const sub = 8
	for j := max(0, int(y0)-1); j <= min(p.h-1, int(y1)+2); j++ {
		for i := max(0, int(x0)-1); i <= min(p.w-1, int(x1)+2); i++ {
			k := 0.0
			for b := 0; b < sub; b++ {
				for a := 0; a < sub; a++ {
					// The centre of a pixel is its integer coordinate.
					k += in(float64(i)+(float64(a)+0.5)/sub-0.5, float64(j)+(float64(b)+0.5)/sub-0.5)
				}
			}
			p.blend(i, j, k/sub/sub, c)
		}
	}
}

// frame turns the painting into planes; left puts chroma samples on the left
// pixel (weights 1 2 1), else between the two.
func (p *painting) frame(index int, t float64, left bool, noise float64, rng *rand.Rand) *track.Frame {
	cw, ch := (p.w+1)/2, (p.h+1)/2
	f := &track.Frame{Index: index, T: t, Width: p.w, Height: p.h, Y: make([]byte, p.w*p.h), U: make([]byte, cw*ch), V: make([]byte, cw*ch)}
	grain := func() float64 { return noise * rng.NormFloat64() }
	ycc := func(c rgb) (y, u, v float64) {
		// ITU-R BT.709-6, item 3.2 and 3.4, limited range.
		l := 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2]
		return 16 + 219*l/255, 128 + 224*(c[2]-l)/1.8556/255, 128 + 224*(c[0]-l)/1.5748/255
	}
	for i, c := range p.px {
		y, _, _ := ycc(c)
		f.Y[i] = level(y + grain())
	}
	for j := 0; j < ch; j++ {
		for i := 0; i < cw; i++ {
			var su, sv, n float64
			for b := 0; b < 2; b++ {
				for a := -1; a < 2; a++ {
					weight := 1.0
					if left && a == 0 {
						weight = 2
					} else if !left && a < 0 {
						continue
					}
					x, y := 2*i+a, 2*j+b
					if x < 0 || x >= p.w || y >= p.h {
						continue
					}
					_, u, v := ycc(p.px[y*p.w+x])
					su, sv, n = su+weight*u, sv+weight*v, n+weight
				}
			}
			f.U[j*cw+i], f.V[j*cw+i] = level(su/n+grain()/2), level(sv/n+grain()/2)
		}
	}
	return f
}

func level(v float64) byte { return byte(math.Max(0, math.Min(255, math.Round(v)))) }

var (
	floorGreen = rgb{52, 104, 48}
	headGrey   = rgb{70, 68, 72}
)
