package body

import "math"

// What a row may say of a shaft, as places in its products.
const (
	shifted  = iota // lies farther right, px
	lit             // has more light on it, as a share
	smearing        // goes farther during the exposure: the square of its streak beside the sticker, px^2
	rowParams
)

// rowFit is what one row says of a shaft whose place and light are nearly known.
type rowFit struct {
	up   float64 // px above the sticker
	off  float64 // px, by how far the row would have it farther right
	rest float64 // levels, by how much the row scatters about it
	// products of what a little of each would do, and of that with what is left
	n    [rowParams][rowParams]float64
	left [rowParams]float64
}

const (
	// stripeBeside is how much of what is beside a stripe its fit looks at, px a side.
	stripeBeside = 3
	// leastRest is the least a row is believed to scatter about a stripe, levels.
	leastRest = 2
	// mostRow is the longest piece of a row that is looked at, px.
	mostRow = 96
)

// u is how well the row tells the shaft's place, px.
func (r rowFit) u() float64 { return math.Max(r.rest, leastRest) / math.Sqrt(r.n[shifted][shifted]) }

// fitRow compares a row of samples with a stripe that crosses it at x, the light on which is
// a share of that it was learnt in. Across is how much nearer to the middle of a leaning
// shaft a sample lies than along the row. What is behind it, which may fall off evenly, is
// fitted.
func fitRow(row []uint8, x, across, light float64, s shown) (r rowFit, ok bool) {
	half := int(math.Ceil(s.reach/across)) + stripeBeside
	mid := int(math.Round(x))
	n := 2*half + 1
	if n > mostRow || mid < half || mid+half >= len(row) {
		return r, false
	}
	var samples [mostRow]sampled
	var space [3 + rowParams][mostRow]float64
	y, open, fall := space[0][:n], space[1][:n], space[2][:n]
	var aa, ab, bb, ay, by float64
	for i := range y {
		k := mid - half + i
		samples[i] = s.at((float64(k) - x) * across)
		open[i], fall[i] = 1-samples[i].hides, (1-samples[i].hides)*float64(i-half)
		y[i] = float64(row[k]) - light*samples[i].shows
		aa, ab, bb, ay, by = aa+open[i]*open[i], ab+open[i]*fall[i], bb+fall[i]*fall[i], ay+open[i]*y[i], by+fall[i]*y[i]
	}
	det := aa*bb - ab*ab
	if !(det > 0) {
		return r, false
	}
	even, slope := (bb*ay-ab*by)/det, (aa*by-ab*ay)/det
	var does [rowParams][]float64
	for p := range does {
		does[p] = space[3+p][:n]
	}
	for i := range y {
		behind := even + slope*float64(i-half)
		does[shifted][i] = across * (behind*samples[i].hidesFarther - light*samples[i].showsFarther)
		does[lit][i] = samples[i].shows
		does[smearing][i] = s.share * (light*samples[i].showsSmeared - behind*samples[i].hidesSmeared)
		y[i] -= even*open[i] + slope*fall[i]
	}
	for _, v := range does {
		var av, bv float64
		for i, e := range v {
			av, bv = av+open[i]*e, bv+fall[i]*e
		}
		p, q := (bb*av-ab*bv)/det, (aa*bv-ab*av)/det
		for i := range v {
			v[i] -= p*open[i] + q*fall[i]
		}
	}
	var rr float64
	for i, e := range y {
		rr += e * e
		for p := range does {
			for q := range p + 1 {
				r.n[p][q] += does[p][i] * does[q][i]
			}
			r.left[p] += does[p][i] * e
		}
	}
	for p := range does {
		for q := range p {
			r.n[q][p] = r.n[p][q]
		}
	}
	if !(r.n[shifted][shifted] > 0) {
		return r, false
	}
	r.off = r.left[shifted] / r.n[shifted][shifted]
	r.rest = math.Sqrt(math.Max(0, rr-r.left[shifted]*r.off) / float64(n-4))
	return r, true
}
