package demo

import "math/rand/v2"

// frameBytes is the size of one 4:2:0 picture.
func frameBytes(w, h int) int { return w * h * 3 / 2 }

// grains is where in the noise tiles one frame takes its noise.
type grains struct{ y, b, r [2]int }

func newGrains(seed uint64, frame int, width int) grains {
	rng := rand.New(rand.NewPCG(seed, uint64(frame)+1))
	place := func() [2]int { return [2]int{rng.IntN(tileCols - width), rng.IntN(tileRows)} }
	return grains{place(), place(), place()}
}

// develop writes the samples of c with fresh noise into a whole 4:2:0 picture.
func (s *sensor) develop(c *coded, out []byte, width, height int, g grains) {
	lay(c.y, c.sigmaY, s.luma, out, c.x0, c.y0, c.w, c.h, width, g.y)
	b := out[width*height:]
	r := b[width*height/4:]
	lay(c.cb, c.sigmaB, s.chroma, b, c.x0/2, c.y0/2, c.w/2, c.h/2, width/2, g.b)
	lay(c.cr, c.sigmaR, s.chroma, r, c.x0/2, c.y0/2, c.w/2, c.h/2, width/2, g.r)
}

// unitShift is log2(sigmaUnit*noiseUnit), the scale of the sum below.
const unitShift = 14

func lay(clean, sigma []uint16, tile []int16, out []byte, x0, y0, w, h, stride int, at [2]int) {
	const level = 1 << unitShift / fixed
	for y := range h {
		row := ((y0+y+at[1])%tileRows)*tileCols + at[0] + x0
		dst := out[(y0+y)*stride+x0:][:w]
		in, dev, n := clean[y*w:][:len(dst)], sigma[y*w:][:len(dst)], tile[row:][:len(dst)]
		for x := range dst {
			v := (int32(in[x])*level + int32(dev[x])*int32(n[x]) + 1<<(unitShift-1)) >> unitShift
			dst[x] = byte(min(max(v, 1), 254))
		}
	}
}
