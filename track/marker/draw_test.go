package marker

import (
	"image"
	"math"
	"math/rand/v2"
	"slices"

	"strokereel/track"
)

// rgb is a colour, 0-255.
type rgb [3]float64

// painting is a scene in RGB, painted by area sampling and turned into 4:2:0
// planes here, without any of the package's formulas.
type painting struct {
	w, h    int
	px      []rgb
	y, u, v []float64       // the planes before noise, up to date outside changed
	changed image.Rectangle // pixels painted since
	left    bool            // siting of u and v
	light   bool            // px is linear light, 0-255
}

func paint(w, h int, floor rgb) *painting {
	cw, ch := (w+1)/2, (h+1)/2
	p := &painting{w: w, h: h, px: make([]rgb, w*h), y: make([]float64, w*h), u: make([]float64, cw*ch), v: make([]float64, cw*ch)}
	for i := range p.px {
		p.px[i] = floor
	}
	p.changed = image.Rect(0, 0, w, h)
	return p
}

// copy is a painting to go on from: what is still is painted once.
func (p *painting) copy() *painting {
	q := *p
	q.px, q.y, q.u, q.v = slices.Clone(p.px), slices.Clone(p.y), slices.Clone(p.u), slices.Clone(p.v)
	return &q
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
	p.changed = p.changed.Union(image.Rect(i, j, i+1, j+1))
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

// ycc codes a colour (ITU-R BT.709-6, item 3.2 and 3.4, limited range).
func ycc(c rgb) (y, u, v float64) {
	l := 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2]
	return 16 + 219*l/255, 128 + 224*(c[2]-l)/1.8556/255, 128 + 224*(c[0]-l)/1.5748/255
}

// ycc codes a pixel.
func (p *painting) ycc(c rgb) (y, u, v float64) {
	if p.light {
		// ITU-R BT.709-6, item 1.2.
		for i, l := range c {
			if l /= 255; l < 0.018 {
				c[i] = 255 * 4.5 * l
			} else {
				c[i] = 255 * (1.099*math.Pow(l, 0.45) - 0.099)
			}
		}
	}
	return ycc(c)
}

// code brings the planes up to date; left puts chroma samples on the left pixel
// (weights 1 2 1), else between the two.
func (p *painting) code(left bool) {
	if left != p.left {
		p.left, p.changed = left, image.Rect(0, 0, p.w, p.h)
	}
	r := p.changed
	p.changed = image.Rectangle{}
	for j := r.Min.Y; j < r.Max.Y; j++ {
		for i := r.Min.X; i < r.Max.X; i++ {
			p.y[j*p.w+i], _, _ = p.ycc(p.px[j*p.w+i])
		}
	}
	cw, ch := (p.w+1)/2, (p.h+1)/2
	for j := r.Min.Y / 2; j < min(ch, r.Max.Y/2+1); j++ {
		for i := r.Min.X / 2; i < min(cw, r.Max.X/2+1); i++ {
			p.u[j*cw+i], p.v[j*cw+i] = p.chroma(i, j)
		}
	}
}

func (p *painting) chroma(i, j int) (u, v float64) {
	var su, sv, n float64
	for b := 0; b < 2; b++ {
		for a := -1; a < 2; a++ {
			weight := 1.0
			if p.left && a == 0 {
				weight = 2
			} else if !p.left && a < 0 {
				continue
			}
			x, y := 2*i+a, 2*j+b
			if x < 0 || x >= p.w || y >= p.h {
				continue
			}
			_, u, v := p.ycc(p.px[y*p.w+x])
			su, sv, n = su+weight*u, sv+weight*v, n+weight
		}
	}
	return su / n, sv / n
}

// frame turns the painting into planes with noise.
func (p *painting) frame(index int, t float64, left bool, noise float64, rng *rand.Rand) *track.Frame {
	p.code(left)
	return &track.Frame{Index: index, T: t, Width: p.w, Height: p.h,
		Y: grainy(p.y, noise, rng), U: grainy(p.u, noise/2, rng), V: grainy(p.v, noise/2, rng)}
}

// grain is normal noise; every plane takes a stretch of it that begins anywhere.
var grain = func() []float64 {
	rng := rand.New(rand.NewPCG(21, 22))
	out := make([]float64, 1<<20-3)
	for i := range out {
		out[i] = rng.NormFloat64()
	}
	return out
}()

func grainy(plane []float64, noise float64, rng *rand.Rand) []byte {
	out := make([]byte, len(plane))
	k := rng.IntN(len(grain))
	for i, v := range plane {
		if k++; k >= len(grain) {
			k = 0
		}
		out[i] = level(v + noise*grain[k])
	}
	return out
}

func level(v float64) byte { return byte(math.Max(0, math.Min(255, math.Round(v)))) }

var (
	floorGreen = rgb{52, 104, 48}
	headGrey   = rgb{70, 68, 72}
)
