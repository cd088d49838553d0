package demo

import (
	"math"
	"math/rand/v2"
)

// The way from linear light to coded picture: exposure, transfer curve, phone
// sharpening, Y'CbCr with chroma at half size, noise.
//
// Noise belongs to the light on the sensor. To draw it fast it is carried
// through the curve and the sharpening to first order: coded samples have their
// clean value and, four by four, a standard deviation, and a tile of unit noise
// (already sharpened for luma) is laid over the picture at a new place in every
// frame.

const (
	lightSteps = 1 << 14
	sigmaSteps = 1 << 10
	cleanUnit  = 256 // clean levels are kept in 1/256
	noiseUnit  = 16  // unit noise in a tile; times sigmaUnit it is cleanUnit
	sigmaUnit  = 16  // standard deviations are kept in 1/16 level
	mostNoise  = 5   // unit noise is cut there
	leastCode  = 1
	mostCode   = 254
	tileRows   = 128
	tileCols   = 4096
	tileQuads  = tileCols / 4
	midGrey    = 0.18
	readShare  = 0.2 // of the noise variance at mid grey that does not depend on light

	// Equal independent noise in three channels, carried into luma and into the
	// colour differences.
	lumaNoise = 0.7497
	blueNoise = 0.64
	redNoise  = 0.68

	// blockWide is the columns of a block that is coded as one: four chroma
	// samples. Pictures are whole blocks wide.
	blockWide = 8
)

// sensor holds the tables of one clip.
type sensor struct {
	video    Video
	code     [lightSteps + 1]float32 // transfer curve, 0-1
	sigma    [sigmaSteps + 1]float32 // standard deviation of one coded channel by its code
	luma     []uint64                // sharpened unit noise, four to a word
	chroma   []uint64
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

// lightOf is the opposite of transfer.
func lightOf(code float64) float64 {
	if code < 4.5*0.018 {
		return code / 4.5
	}
	return math.Pow((code+0.099)/1.099, 1/0.45)
}

func newSensor(v Video, seed uint64) *sensor {
	s := &sensor{video: v}
	for i := range s.code {
		s.code[i] = float32(transfer(float64(i) / lightSteps))
	}
	atGrey := v.Noise / transferSlope(midGrey)
	read := atGrey * atGrey * readShare
	shot := atGrey * atGrey * (1 - readShare) / midGrey
	for i := range s.sigma {
		l := lightOf(float64(i) / sigmaSteps)
		s.sigma[i] = float32(math.Sqrt(read+shot*l) * transferSlope(l))
	}
	s.makeTiles(rand.New(rand.NewPCG(seed, 0x5e)))
	return s
}

func (s *sensor) makeTiles(rng *rand.Rand) {
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
}

func quantised(v []float64, k float64) []uint64 {
	out := make([]uint64, len(v)/4)
	for i := range out {
		var n [4]int64
		for j := range n {
			n[j] = int64(math.Round(clamp(v[4*i+j]*k, -mostNoise, mostNoise) * noiseUnit))
		}
		out[i] = packNoise(n)
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

// coded is a picture of clean coded samples with their noise.
type coded struct {
	w, h         int
	luma, cb, cr plane
}

func newCoded(w, h int) *coded {
	return &coded{w, h, newPlane(w, h), newPlane(w/2, h/2), newPlane(w/2, h/2)}
}

// darkroom is where light becomes codes: whole pictures that keep nothing from
// one use to the next.
type darkroom struct {
	code         []rgb // coded channels
	bright, blur []float32
	shade        []float32 // of one row
	lit          spans     // what must be coded to know the runs asked for
}

func newDarkroom(w, h int) *darkroom {
	return &darkroom{make([]rgb, w*h), make([]float32, w*h), make([]float32, w*h), make([]float32, w), newSpans(h)}
}

// reach is how far, px, light at one pixel changes samples: the unsharp mask and
// the sharing of chroma.
const reach = 3

// expose codes the runs of p, in a frame's light, into c. The runs are whole
// blocks.
func (s *sensor) expose(p *patch, in *spans, l lighting, c *coded, d *darkroom) {
	in.grown(&d.lit, reach, 1, 1, p.w)
	for y := d.lit.top; y < d.lit.bottom; y++ {
		if lo, hi := d.lit.row(y); lo < hi {
			var shade []float32
			if l.shadow != nil {
				shade = d.shade[:hi-lo]
				l.shade(shade, lo, y, p.h)
			}
			s.codeRow(p.pix[y*p.w+lo:y*p.w+hi], l.gain, shade, d.code[y*p.w+lo:], d.bright[y*p.w+lo:])
			blurRow(d.bright[y*p.w:(y+1)*p.w], d.blur[y*p.w:(y+1)*p.w], lo, hi)
		}
	}
	for y := in.top; y < in.bottom; y++ {
		lo, hi := in.row(y)
		if lo >= hi {
			continue
		}
		s.sharpenRow(c, d, y, lo, hi)
		if y%2 == 0 {
			s.subsampleRow(c, d, y, lo, hi)
		}
	}
}

// codeRow carries light through the curve. Shade, if any, is the share of it that
// reaches each pixel.
func (s *sensor) codeRow(light []rgb, gain float32, shade []float32, code []rgb, bright []float32) {
	even := gain * float32(s.video.Gain) * lightSteps
	code, bright = code[:len(light)], bright[:len(light)]
	for i, l := range light {
		gain := even
		if shade != nil {
			gain *= shade[i]
		}
		r, g, b := s.code[lightIndex(l[0]*gain)], s.code[lightIndex(l[1]*gain)], s.code[lightIndex(l[2]*gain)]
		code[i] = rgb{r, g, b}
		bright[i] = 0.2126*r + 0.7152*g + 0.0722*b
	}
}

func lightIndex(v float32) int {
	return min(lightSteps, max(0, int(v+0.5)))
}

// blurRow blurs the columns lo to hi as far as their neighbours are known;
// beyond the picture's rim its last pixel is repeated.
func blurRow(in, out []float32, lo, hi int) {
	w := len(in)
	at := func(x int) float32 { return in[min(max(x, 0), w-1)] }
	edge := func(x int) { out[x] = (at(x-2) + at(x+2) + 4*(at(x-1)+at(x+1)) + 6*at(x)) / 16 }
	for x := lo; x < min(hi, 2); x++ {
		edge(x)
	}
	for x := max(lo, w-2); x < hi; x++ {
		edge(x)
	}
	lo, hi = max(2, lo+2), min(w-2, hi-2)
	if lo >= hi {
		return
	}
	src, dst := in[lo-2:hi+2], out[lo:hi]
	for x := range dst {
		n := src[x : x+5 : x+5]
		dst[x] = (n[0] + n[4] + 4*(n[1]+n[3]) + 6*n[2]) * (1.0 / 16)
	}
}

// sharpenRow adds the unsharp mask to luma and stores it with its noise.
func (s *sensor) sharpenRow(c *coded, d *darkroom, y, lo, hi int) {
	row := func(y int) []float32 { y = min(max(y, 0), c.h-1); return d.blur[y*c.w+lo : y*c.w+hi] }
	a, b, m, e, f := row(y-2), row(y-1), row(y), row(y+1), row(y+2)
	in := d.bright[y*c.w+lo : y*c.w+hi]
	k := float32(s.video.Sharpen)
	noise := lumaNoise * 219 * s.lumaGain
	first := (y*c.w + lo) / 4
	for x := 0; x+4 <= len(in); x += 4 {
		var v [4]float32
		var mean float32
		for j := range v {
			i := x + j
			blur := (a[i] + f[i] + 4*(b[i]+e[i]) + 6*m[i]) * (1.0 / 16)
			v[j] = min(max(16+219*(in[i]+k*(in[i]-blur)), leastCode), mostCode) * cleanUnit
			mean += in[i]
		}
		c.luma.set(first+x/4, v, s.sigma[int(mean*(sigmaSteps/4.0))]*noise)
	}
}

// subsampleRow averages colour differences of two rows to half size. Centred
// chroma is the mean of its four pixels; left-sited chroma sits on the even
// column and takes a quarter from each neighbour column.
func (s *sensor) subsampleRow(c *coded, d *darkroom, y, lo, hi int) {
	upper, lower := d.code[y*c.w:(y+1)*c.w], d.code[(y+1)*c.w:(y+2)*c.w]
	bright := d.bright[y*c.w : (y+1)*c.w]
	first := (y/2)*c.cb.quads + lo/blockWide
	for x := lo; x < hi; x += blockWide {
		var blue, red [4]float32
		var mean float32
		for j := range blue {
			i := x + 2*j
			u, v, n := &upper[i], &lower[i], i+1
			a, b := upper[n], lower[n]
			var m rgb
			if s.video.ChromaLeft {
				l := max(0, i-1)
				for ch := range m {
					m[ch] = (u[ch]+v[ch])/4 + (a[ch]+b[ch]+upper[l][ch]+lower[l][ch])/8
				}
			} else {
				for ch := range m {
					m[ch] = (u[ch] + v[ch] + a[ch] + b[ch]) / 4
				}
			}
			luma := 0.2126*m[0] + 0.7152*m[1] + 0.0722*m[2]
			blue[j] = min(max(128+224*(m[2]-luma)/1.8556, leastCode), mostCode) * cleanUnit
			red[j] = min(max(128+224*(m[0]-luma)/1.5748, leastCode), mostCode) * cleanUnit
			mean += bright[i]
		}
		// Four pixels are averaged: half the deviation.
		noise := s.sigma[int(mean*(sigmaSteps/4.0))] * 224 / 2
		c.cb.set(first, blue, blueNoise*noise)
		c.cr.set(first, red, redNoise*noise)
		first++
	}
}
