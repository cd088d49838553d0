package ball

import (
	"math"
	"math/rand/v2"

	"strokereel/track"
)

// dot is a dark mark on a ball: its middle and radius as shares of the ball's
// half axes. A radius of 0 is none.
type dot struct{ x, y, r float64 }

// picture is a grey scene in linear light, 0-1, painted by area sampling and
// coded here, without any of the package's formulas.
type picture struct {
	w, h  int
	light []float64
}

// floor is a mat that is a little brighter on the right.
func floor(w, h int, level float64) *picture {
	p := &picture{w: w, h: h, light: make([]float64, w*h)}
	for i := range p.light {
		p.light[i] = level * (1 + 0.1*float64(i%w)/float64(w))
	}
	return p
}

// paint blends in what at tells of every point: its light and how much of the
// exposure it covers.
func (p *picture) paint(x0, y0, x1, y1 float64, at func(x, y float64) (light, share float64)) {
	const sub = 6
	for j := max(0, int(y0)-1); j <= min(p.h-1, int(y1)+2); j++ {
		for i := max(0, int(x0)-1); i <= min(p.w-1, int(x1)+2); i++ {
			under, sum := p.light[j*p.w+i], 0.0
			for b := range sub {
				for a := range sub {
					// The centre of a pixel is its integer coordinate.
					light, share := at(float64(i)+(float64(a)+0.5)/sub-0.5, float64(j)+(float64(b)+0.5)/sub-0.5)
					sum += share*light + (1-share)*under
				}
			}
			p.light[j*p.w+i] = sum / sub / sub
		}
	}
}

// globe is a matt ball (Lambert) under a bright ceiling and a lamp beside the
// camera; under an even sky a surface gets light as 1 + cos of its slope.
type globe struct {
	x, y, a, b float64 // centre and half axes, px; a little taller than wide from above
	moved      float64 // px along x during the exposure
	mark       dot
	albedo     float64 // of the channel painted, 0 is white
}

func (p *picture) globe(g globe) {
	shade := func(nx, ny float64) float64 {
		nz := math.Sqrt(math.Max(0, 1-nx*nx-ny*ny))
		albedo := g.albedo
		if albedo == 0 {
			albedo = 1
		}
		if math.Hypot(nx-g.mark.x, ny-g.mark.y) < g.mark.r {
			return 0.06
		}
		return albedo * (0.2 + 0.2*(1-ny) + 0.25*math.Max(0, 0.28*nx-0.45*ny+0.85*nz))
	}
	steps := 1
	if g.moved != 0 {
		steps = 12
	}
	p.paint(g.x-g.a-math.Abs(g.moved), g.y-g.b, g.x+g.a+math.Abs(g.moved), g.y+g.b, func(x, y float64) (light, share float64) {
		n := 0.0
		for k := range steps {
			nx := (x - g.x - g.moved*((float64(k)+0.5)/float64(steps)-0.5)) / g.a
			if ny := (y - g.y) / g.b; nx*nx+ny*ny < 1 {
				light += shade(nx, ny)
				n++
			}
		}
		return light / math.Max(1, n), n / float64(steps)
	})
}

// shadow darkens the floor under a ball, most at the contact.
func (p *picture) shadow(x, y, r float64) {
	p.paint(x-1.6*r, y-0.6*r, x+1.6*r, y+0.6*r, func(px, py float64) (light, share float64) {
		d := math.Hypot((px-x)/1.3, (py-y)/0.4) / r
		return 0.02, 0.7 * math.Exp(-2*d*d)
	})
}

func (p *picture) rect(x0, y0, x1, y1, light float64) {
	p.paint(x0, y0, x1, y1, func(x, y float64) (float64, float64) {
		if x > x0 && x < x1 && y > y0 && y < y1 {
			return light, 1
		}
		return 0, 0
	})
}

// phone is how a scene is turned into a picture.
type phone struct {
	soft    float64 // blur of the lens, standard deviation in px
	gamma   float64 // the code is light to the power of 1/gamma
	sharpen float64 // strength of an unsharp mask on the code
	scaled  float64 // blur of the code, as scaling and codecs leave it, px
	noise   float64 // levels
}

// frame codes the scene as limited-range luma.
func (p *picture) frame(index int, t float64, c phone, rng *rand.Rand) *track.Frame {
	return grainy(p.code(c), p.w, p.h, index, t, c.noise, rng)
}

func (p *picture) code(c phone) []float64 {
	y := blurred(p.light, p.w, p.h, c.soft)
	for i, v := range y {
		y[i] = 16 + 219*math.Pow(math.Min(1, v), 1/c.gamma)
	}
	for i, wide := range blurred(y, p.w, p.h, 1.2) {
		y[i] += c.sharpen * (y[i] - wide)
	}
	if c.scaled > 0 {
		y = blurred(y, p.w, p.h, c.scaled)
	}
	return y
}

// coloured codes a scene painted in red, green and blue as 4:2:0 (BT.709).
func coloured(rgb [3]*picture, c phone, rng *rand.Rand) *track.Frame {
	w, h := rgb[0].w, rgb[0].h
	r, g, b := rgb[0].code(c), rgb[1].code(c), rgb[2].code(c)
	y := make([]float64, w*h)
	for i := range y {
		y[i] = 0.2126*r[i] + 0.7152*g[i] + 0.0722*b[i]
	}
	f := grainy(y, w, h, 0, 0, c.noise, rng)
	for j := 0; j < h; j += 2 {
		for i := 0; i < w; i += 2 {
			var cr, cb float64
			for _, at := range [...]int{j*w + i, j*w + i + 1, (j+1)*w + i, (j+1)*w + i + 1} {
				cr += (r[at] - y[at]) / 1.5748 * 224 / 219 / 4
				cb += (b[at] - y[at]) / 1.8556 * 224 / 219 / 4
			}
			f.U = append(f.U, byte(math.Round(128+cb+0.5*c.noise*rng.NormFloat64())))
			f.V = append(f.V, byte(math.Round(128+cr+0.5*c.noise*rng.NormFloat64())))
		}
	}
	return f
}

func grainy(y []float64, w, h, index int, t, noise float64, rng *rand.Rand) *track.Frame {
	f := &track.Frame{Index: index, T: t, Width: w, Height: h, Y: make([]byte, w*h)}
	for i, v := range y {
		f.Y[i] = byte(math.Max(0, math.Min(255, math.Round(v+noise*rng.NormFloat64()))))
	}
	return f
}

// blurred is the picture under a Gaussian, its edges repeated outward.
func blurred(in []float64, w, h int, sigma float64) []float64 {
	const reach = 3
	var k [2*reach + 1]float64
	sum := 0.0
	for i := range k {
		k[i] = math.Exp(-float64((i-reach)*(i-reach)) / 2 / sigma / sigma)
		sum += k[i]
	}
	pass := func(in []float64, dx, dy int) []float64 {
		out := make([]float64, len(in))
		for y := range h {
			for x := range w {
				for i, weight := range k {
					at := min(max(y+dy*(i-reach), 0), h-1)*w + min(max(x+dx*(i-reach), 0), w-1)
					out[y*w+x] += weight / sum * in[at]
				}
			}
		}
		return out
	}
	return pass(pass(in, 1, 0), 0, 1)
}
