package reel

import "math"

// lanes are four samples, 16 bits each, lowest first. Sums of products of
// samples with weights are taken on all four at once; as long as each sum lies
// in 0 to 65535 at its end, what the lanes borrow from one another on the way
// cancels. Weights are in 1/unit, so that samples of 8 bits leave room for what
// Keys' kernel goes beyond them: an eighth, below and above.
type lanes uint64

const (
	weightBits = 7
	unit       = 1 << weightBits

	ones  lanes = 0x0001_0001_0001_0001
	under lanes = 64 // sums begin this many samples above zero
	// begin is the sum of nothing, with half a sample for rounding.
	begin = ones * (under*unit + unit/2)
)

// settle ends a sum: rounded to samples of 0 to 255.
func (l lanes) settle() lanes {
	l = l >> weightBits & (ones * 0x1ff)
	const top = ones << 9
	if below, above := ^(l + ones*(512-under)), l+ones*(256-under); (below|above)&top == 0 {
		return l - ones*under
	}
	var out lanes
	for k := 0; k < 64; k += 16 {
		out |= lanes(clamp(int32(l>>k&0x1ff)-int32(under))) << k
	}
	return out
}

// taps are the weights of the samples around a place between two of them: n of
// them for each phase, that is 1/phases of the way.
type taps struct {
	n      int
	weight []lanes // of one lane
	sum    []lanes // of the rows that four rows of the frame are made of
}

const (
	phaseBits = 6
	phases    = 1 << phaseBits
)

// newTaps makes the weights for a picture that is scaled.
func newTaps(scale float64) taps {
	stretch := max(1, 1/scale)
	half := int(math.Ceil(2 * stretch))
	t := taps{n: 2 * half, sum: make([]lanes, 2*half+3*int(math.Ceil(1/scale))+8)}
	w := make([]float64, t.n)
	for p := range phases {
		sum := 0.0
		for k := range w {
			w[k] = kernel((float64(k-half+1) - float64(p)/phases) / stretch)
			sum += w[k]
		}
		// Rounded such that they still sum to one.
		whole, last := 0.0, 0.0
		for k := range w {
			whole += w[k] / sum * unit
			next := math.Round(whole)
			t.weight = append(t.weight, lanes(int64(next-last)))
			last = next
		}
	}
	return t
}

// kernel is Keys' cubic convolution.
func kernel(x float64) float64 {
	x = math.Abs(x)
	switch {
	case x < 1:
		return (1.5*x-2.5)*x*x + 1
	case x < 2:
		return ((-0.5*x+2.5)*x-4)*x + 2
	}
	return 0
}

// at returns the first sample for a place and the weights from it on.
func (t taps) at(x float64) (first int, w []lanes) {
	q := int(math.Floor(x*phases + 0.5))
	return q>>phaseBits - t.n/2 + 1, t.weight[q&(phases-1)*t.n:][:t.n]
}

// columns computes columns of the picture from column x on, each lane at its own
// height y.
func (t taps) columns(mid []lanes, src []byte, sw, x int, y [4]float64) {
	clear(t.sum)
	first, _ := t.at(y[0]) // the highest: y grows with the rows
	last := first
	for k, v := range y {
		s, w := t.at(v)
		for i, v := range w {
			t.sum[s-first+i] += v << (16 * k)
		}
		last = s + len(w)
	}
	h := len(src) / sw
	for k := range mid {
		mid[k] = begin
	}
	for s := first; s < last; s += 4 {
		w := t.sum[s-first:][:4]
		var row [4][]byte
		for k := range row {
			row[k] = src[clampTo(s+k, h)*sw+x:][:len(mid)]
		}
		w0, w1, w2, w3 := w[0], w[1], w[2], w[3]
		r0, r1, r2, r3 := row[0], row[1], row[2], row[3]
		for k := range mid {
			mid[k] += w0*lanes(r0[k]) + w1*lanes(r1[k]) + w2*lanes(r2[k]) + w3*lanes(r3[k])
		}
	}
	for k := range mid {
		mid[k] = mid[k].settle()
	}
}

// rows computes four rows from columns, the first sample at x and each next one
// step further.
func (t taps) rows(rows [4][]byte, mid []lanes, x, step float64) {
	const bits = 32
	at, by := int64(math.Round(x*(1<<bits)))+1<<(bits-phaseBits-1), int64(math.Round(step*(1<<bits)))
	r0 := rows[0]
	r1, r2, r3 := rows[1][:len(r0)], rows[2][:len(r0)], rows[3][:len(r0)]
	for i := range r0 {
		q := int(at >> (bits - phaseBits))
		m, w := mid[q>>phaseBits-t.n/2+1:][:t.n], t.weight[q&(phases-1)*t.n:][:t.n]
		sum := begin
		if len(m) == 4 && len(w) == 4 { // a picture that is not made smaller
			sum += w[0]*m[0] + w[1]*m[1] + w[2]*m[2] + w[3]*m[3]
		} else {
			for k, v := range m {
				sum += w[k] * v
			}
		}
		v := sum.settle()
		r0[i], r1[i], r2[i], r3[i] = byte(v), byte(v>>16), byte(v>>32), byte(v>>48)
		at += by
	}
}
