package demo

import (
	"encoding/binary"
	"math/rand/v2"
)

// frameBytes is the size of one 4:2:0 picture.
func frameBytes(w, h int) int { return w * h * 3 / 2 }

// grains is where in the noise tiles one frame takes its noise: a quad and a row
// for each plane.
type grains struct{ y, b, r [2]int }

func newGrains(seed uint64, frame int, width int) grains {
	rng := rand.New(rand.NewPCG(seed, uint64(frame)+1))
	place := func() [2]int { return [2]int{rng.IntN(tileQuads - width/4), rng.IntN(tileRows)} }
	return grains{place(), place(), place()}
}

// develop writes the samples of c inside the runs, which are whole blocks of
// blockWide x 2, with fresh noise into a whole 4:2:0 picture.
func (s *sensor) develop(c *coded, in *spans, out []byte, g grains) {
	b := out[c.w*c.h:]
	r := b[c.w*c.h/4:]
	for y := in.top; y < in.bottom; y++ {
		lo, hi := in.row(y)
		if hi <= lo {
			continue
		}
		c.luma.lay(s.luma, out, y, lo/4, hi/4, g.y)
		if y%2 == 0 {
			c.cb.lay(s.chroma, b, y/2, lo/8, hi/8, g.b)
			c.cr.lay(s.chroma, r, y/2, lo/8, hi/8, g.r)
		}
	}
}

// plane is the clean samples of one plane, four to a word as in a noise tile,
// and the standard deviation that each four share.
type plane struct {
	quads int // a row
	clean []uint64
	dev   []uint16
}

func newPlane(w, h int) plane {
	return plane{w / 4, make([]uint64, w/4*h), make([]uint16, w/4*h)}
}

// mayClip in a deviation says that noise may carry one of the four beyond the
// range of codes.
const mayClip = 1 << 15

// set stores four clean levels (in units of cleanUnit) and their deviation in
// levels. Deviations are dithered over neighbours, so that their mean is kept.
func (p *plane) set(i int, v [4]float32, sigma float32) {
	const half = cleanUnit / 2
	var word uint64
	low, high := v[0], v[0]
	for k, l := range v {
		word |= uint64(l+half+0.5) << (16 * k)
		low, high = min(low, l), max(high, l)
	}
	dev := uint16(min(sigma*sigmaUnit+0.125+0.25*float32(i&3), 255))
	if reach := float32(dev) * mostNoise * noiseUnit; low-reach < leastCode*cleanUnit || high+reach > mostCode*cleanUnit {
		dev |= mayClip
	}
	p.clean[i], p.dev[i] = word, dev
}

// lay adds noise to the quads lo to hi of row y. Four samples share a
// multiplication: each lane of 16 bits ends as a positive number, so what one
// borrows from the next while noise is negative is given back in the sum.
func (p *plane) lay(tile []uint64, out []byte, y, lo, hi int, at [2]int) {
	from := ((y+at[1])%tileRows)*tileQuads + at[0] + lo
	clean := p.clean[y*p.quads+lo : y*p.quads+hi]
	dev, noise := p.dev[y*p.quads+lo:][:len(clean)], tile[from:][:len(clean)]
	dst := out[(y*p.quads+lo)*4:]
	for i, c := range clean {
		d := dev[i]
		var four uint32
		if d&mayClip == 0 {
			v := (c + uint64(d)*noise[i]) >> 8 & 0x00ff00ff00ff00ff
			v |= v >> 8
			four = uint32(v&0xffff | v>>16&0xffff0000)
		} else {
			four = layClipped(c, int(d&^mayClip), noise[i])
		}
		binary.LittleEndian.PutUint32(dst[:4], four)
		dst = dst[4:]
	}
}

func layClipped(clean uint64, dev int, noise uint64) uint32 {
	var four uint32
	for k := range 4 {
		n := int(int16(noise))
		v := (int(clean&0xffff) + dev*n) >> 8
		four |= uint32(min(max(v, leastCode), mostCode)) << (8 * k)
		// The next lane was lent one when this one is negative.
		clean, noise = clean>>16, uint64(int64(noise)-int64(n))>>16
	}
	return four
}

// packNoise puts four signed numbers into the lanes of a word, as a sum.
func packNoise(n [4]int64) uint64 {
	return uint64(n[0] + n[1]<<16 + n[2]<<32 + n[3]<<48)
}
