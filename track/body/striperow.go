package body

import "math"

// rowFit is what one row says of a shaft whose place and light are nearly known.
type rowFit struct {
	up                 float64 // px above the sticker
	off                float64 // px, by how far the row would have it farther right
	rest               float64 // levels, by how much the row scatters about it
	qq, qo, oo, qr, or float64 // products of what a shift (q) and more light (o) would do, and of the rest (r)
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
func (r rowFit) u() float64 { return math.Max(r.rest, leastRest) / math.Sqrt(r.qq) }

// fitRow compares a row of samples with a stripe that crosses it at x, the light on which is
// a share of that it was learnt in. Across is how much nearer to the middle of a leaning
// shaft a sample lies than along the row. What is behind it, which may fall off evenly, is
// fitted.
func fitRow(row []uint8, x, across, light float64, s *stripe) (r rowFit, ok bool) {
	half := int(math.Ceil(s.reach/across)) + stripeBeside
	mid := int(math.Round(x))
	n := 2*half + 1
	if n > mostRow || mid < half || mid+half >= len(row) {
		return r, false
	}
	var space [5][mostRow]float64
	y, open, fall, shift, shows := space[0][:n], space[1][:n], space[2][:n], space[3][:n], space[4][:n]
	var aa, ab, bb, ay, by float64
	for i := range y {
		k := mid - half + i
		hides, own, _, _ := s.at((float64(k) - x) * across)
		open[i], fall[i], shows[i] = 1-hides, (1-hides)*float64(i-half), own
		y[i] = float64(row[k]) - light*own
		aa, ab, bb, ay, by = aa+open[i]*open[i], ab+open[i]*fall[i], bb+fall[i]*fall[i], ay+open[i]*y[i], by+fall[i]*y[i]
	}
	det := aa*bb - ab*ab
	if !(det > 0) {
		return r, false
	}
	even, slope := (bb*ay-ab*by)/det, (aa*by-ab*ay)/det
	for i := range shift {
		_, _, hidesMore, ownMore := s.at((float64(mid-half+i) - x) * across)
		shift[i] = across * ((even+slope*float64(i-half))*hidesMore - light*ownMore)
		y[i] -= even*open[i] + slope*fall[i]
	}
	free := func(v []float64) {
		var av, bv float64
		for i, e := range v {
			av, bv = av+open[i]*e, bv+fall[i]*e
		}
		p, q := (bb*av-ab*bv)/det, (aa*bv-ab*av)/det
		for i := range v {
			v[i] -= p*open[i] + q*fall[i]
		}
	}
	free(shift)
	free(shows)
	var rr float64
	for i, q := range shift {
		e, o := y[i], shows[i]
		rr += e * e
		r.qq, r.qo, r.oo, r.qr, r.or = r.qq+q*q, r.qo+q*o, r.oo+o*o, r.qr+q*e, r.or+o*e
	}
	if !(r.qq > 0) {
		return r, false
	}
	r.off = r.qr / r.qq
	r.rest = math.Sqrt(math.Max(0, rr-r.qr*r.off) / float64(n-4))
	return r, true
}
