package demo

import (
	"math"
	"math/rand/v2"
)

// The way from linear light to coded picture: exposure, transfer curve, phone
// sharpening, Y'CbCr with chroma at half size, noise.
//
// Noise belongs to the light on the sensor. To draw it fast it is carried
// through the curve and the sharpening to first order: every coded sample has
// its clean value and its standard deviation, and a tile of unit noise (already
// sharpened for luma) is laid over the picture at a new place in every frame.

const (
	lightSteps = 1 << 14
	fixed      = 64  // coded levels are kept in 1/64
	noiseUnit  = 512 // unit noise in a tile
	sigmaUnit  = 32  // standard deviations are kept in 1/32 level
	tileRows   = 128
	tileCols   = 4096
	midGrey    = 0.18
	readShare  = 0.2 // of the noise variance at mid grey that does not depend on light
)

// sensor holds the tables of one clip.
type sensor struct {
	video    Video
	code     [lightSteps + 1]float32 // transfer curve, 0-1
	sigma    [lightSteps + 1]float32 // standard deviation of one coded channel
	luma     []int16                 // sharpened unit noise
	chroma   []int16
	lumaGain float32
}

// transfer is the curve of ITU-R BT.709 (item 1.2, from memory).
func transfer(l float64) float64 {
	if l < 0.018 {
		return 4.5 * l
	}
	return 1.099*math.Pow(l, 0.45) - 0.099
}

func transferSlope(l float64) float64 {
	if l < 0.018 {
		return 4.5
	}
	return 1.099 * 0.45 * math.Pow(l, -0.55)
}

func newSensor(v Video, seed uint64) *sensor {
	s := &sensor{video: v}
	atGrey := v.Noise / transferSlope(midGrey)
	read := atGrey * atGrey * readShare
	shot := atGrey * atGrey * (1 - readShare) / midGrey
	for i := range s.code {
		l := float64(i) / lightSteps
		s.code[i] = float32(transfer(l))
		s.sigma[i] = float32(math.Sqrt(read+shot*l) * transferSlope(l))
	}
	rng := rand.New(rand.NewPCG(seed, 0x5e))
	white := make([]float64, tileRows*tileCols)
	for i := range white {
		white[i] = rng.NormFloat64()
	}
	s.chroma = quantised(white, 1)
	for i := range white {
		white[i] = rng.NormFloat64()
	}
	sharp := make([]float64, len(white))
	var power float64
	for y := range tileRows {
		for x := range tileCols {
			v := sharpened(white, tileCols, tileRows, x, y, s.video.Sharpen)
			sharp[y*tileCols+x] = v
			power += v * v
		}
	}
	gain := math.Sqrt(power / float64(len(white)))
	s.luma, s.lumaGain = quantised(sharp, 1/gain), float32(gain)
	return s
}

func quantised(v []float64, k float64) []int16 {
	out := make([]int16, len(v))
	for i := range v {
		out[i] = int16(math.Round(clamp(v[i]*k, -5, 5) * noiseUnit))
	}
	return out
}

// binomial is the blur of the unsharp mask, 1 4 6 4 1.
var binomial = [5]float64{1.0 / 16, 4.0 / 16, 6.0 / 16, 4.0 / 16, 1.0 / 16}

func sharpened(v []float64, w, h, x, y int, k float64) float64 {
	var blur float64
	for j := -2; j <= 2; j++ {
		row := ((y + j + h) % h) * w
		for i := -2; i <= 2; i++ {
			blur += binomial[i+2] * binomial[j+2] * v[row+(x+i+w)%w]
		}
	}
	c := v[y*w+x]
	return c + k*(c-blur)
}

// coded is a rectangle of clean coded samples with their noise. Chroma is at
// half size.
type coded struct {
	x0, y0, w, h           int
	y, cb, cr              []uint16 // 1/64 level
	sigmaY, sigmaB, sigmaR []uint16 // 1/32 level
	bright, row            []float32
	r, g, b                []float32
}

func (c *coded) resize(x0, y0, w, h int) {
	c.x0, c.y0, c.w, c.h = x0, y0, w, h
	n := w * h
	if cap(c.y) < n {
		c.y, c.sigmaY = make([]uint16, n), make([]uint16, n)
		c.cb, c.cr = make([]uint16, n/4), make([]uint16, n/4)
		c.sigmaB, c.sigmaR = make([]uint16, n/4), make([]uint16, n/4)
		c.bright, c.row = make([]float32, n), make([]float32, n)
		c.r, c.g, c.b = make([]float32, n), make([]float32, n), make([]float32, n)
	}
	c.y, c.sigmaY, c.bright, c.row = c.y[:n], c.sigmaY[:n], c.bright[:n], c.row[:n]
	c.cb, c.cr, c.sigmaB, c.sigmaR = c.cb[:n/4], c.cr[:n/4], c.sigmaB[:n/4], c.sigmaR[:n/4]
	c.r, c.g, c.b = c.r[:n], c.g[:n], c.b[:n]
}

// expose turns a patch of linear light (even place and size) into clean coded
// samples.
func (s *sensor) expose(p *patch, c *coded) {
	c.resize(p.x0, p.y0, p.w, p.h)
	gain := float32(s.video.Gain) * lightSteps
	for i, l := range p.pix {
		r, g, b := lightIndex(l[0]*gain), lightIndex(l[1]*gain), lightIndex(l[2]*gain)
		c.r[i], c.g[i], c.b[i] = s.code[r], s.code[g], s.code[b]
		c.bright[i] = 0.2126*c.r[i] + 0.7152*c.g[i] + 0.0722*c.b[i]
		grey := (13*r + 47*g + 4*b) >> 6
		c.sigmaY[i] = uint16(s.sigma[grey]*(0.7497*219*sigmaUnit)*s.lumaGain + 0.5)
	}
	s.sharpen(c)
	s.subsample(c)
}

func lightIndex(v float32) int {
	return min(lightSteps, max(0, int(v+0.5)))
}

// sharpen adds the unsharp mask to luma. At the patch's rim, which is drawn
// wider than anything that moves, the row and column are repeated.
func (s *sensor) sharpen(c *coded) {
	w, h := c.w, c.h
	k := float32(s.video.Sharpen)
	for y := range h {
		blurRow(c.bright[y*w:(y+1)*w], c.row[y*w:(y+1)*w])
	}
	row := func(y int) []float32 { y = min(max(y, 0), h-1); return c.row[y*w:][:w] }
	for y := range h {
		a, b, m, d, e := row(y-2), row(y-1), row(y), row(y+1), row(y+2)
		in, out := c.bright[y*w:][:w], c.y[y*w:][:w]
		for x := range out {
			blur := (a[x] + e[x] + 4*(b[x]+d[x]) + 6*m[x]) / 16
			v := 16 + 219*(in[x]+k*(in[x]-blur))
			out[x] = uint16(min(max(v, 1), 254)*fixed + 0.5)
		}
	}
}

func blurRow(in, out []float32) {
	w := len(in)
	at := func(x int) float32 { return in[min(max(x, 0), w-1)] }
	for x := 2; x < w-2; x++ {
		out[x] = (in[x-2] + in[x+2] + 4*(in[x-1]+in[x+1]) + 6*in[x]) / 16
	}
	for _, x := range [4]int{0, min(1, w-1), max(0, w-2), w - 1} {
		out[x] = (at(x-2) + at(x+2) + 4*(at(x-1)+at(x+1)) + 6*at(x)) / 16
	}
}

// subsample averages colour differences to half size. Centred chroma is the
// mean of its four pixels; left-sited chroma sits on the even column and takes
// a quarter from each neighbour column.
func (s *sensor) subsample(c *coded) {
	w, half := c.w, c.w/2
	for y := 0; y < c.h; y += 2 {
		for x := 0; x < w; x += 2 {
			var r, g, b float32
			for _, row := range [2]int{y * w, (y + 1) * w} {
				if s.video.ChromaLeft {
					l := row + max(0, x-1)
					r += 0.25*c.r[l] + 0.5*c.r[row+x] + 0.25*c.r[row+x+1]
					g += 0.25*c.g[l] + 0.5*c.g[row+x] + 0.25*c.g[row+x+1]
					b += 0.25*c.b[l] + 0.5*c.b[row+x] + 0.25*c.b[row+x+1]
				} else {
					r += (c.r[row+x] + c.r[row+x+1]) / 2
					g += (c.g[row+x] + c.g[row+x+1]) / 2
					b += (c.b[row+x] + c.b[row+x+1]) / 2
				}
			}
			r, g, b = r/2, g/2, b/2
			luma := 0.2126*r + 0.7152*g + 0.0722*b
			i := (y/2)*half + x/2
			c.cb[i] = uint16(min(max(128+224*(b-luma)/1.8556, 1), 254)*fixed + 0.5)
			c.cr[i] = uint16(min(max(128+224*(r-luma)/1.5748, 1), 254)*fixed + 0.5)
			// Four pixels are averaged: half the deviation. 0.64 and 0.68 carry
			// equal independent channel noise into the colour differences.
			sigma := float32(c.sigmaY[y*w+x]) / (0.7497 * 219 * s.lumaGain) * 224 / 2
			c.sigmaB[i], c.sigmaR[i] = uint16(0.64*sigma+0.5), uint16(0.68*sigma+0.5)
		}
	}
}

// take copies a part into a whole picture.
func (c *coded) take(part *coded) {
	rows := func(dst, src []uint16, x0, y0, w, h, stride int) {
		for y := range h {
			copy(dst[(y0+y)*stride+x0:], src[y*w:(y+1)*w])
		}
	}
	rows(c.y, part.y, part.x0, part.y0, part.w, part.h, c.w)
	rows(c.sigmaY, part.sigmaY, part.x0, part.y0, part.w, part.h, c.w)
	half := func(dst, src []uint16) { rows(dst, src, part.x0/2, part.y0/2, part.w/2, part.h/2, c.w/2) }
	half(c.cb, part.cb)
	half(c.cr, part.cr)
	half(c.sigmaB, part.sigmaB)
	half(c.sigmaR, part.sigmaR)
}
