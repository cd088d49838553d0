package reel

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

// weights are the weights of sample s of the picture in four samples of the
// frame from i on; after the last, that one stands again.
func (a axis) weights(s, i int) lanes {
	var w lanes
	for k := range 4 {
		to := min(i+k, len(a.start)-1)
		if at := s - int(a.start[to]); at >= 0 && at < a.n {
			w += lanes(int64(a.weight[to*a.n+at])) << (16 * k)
		}
	}
	return w
}

// down computes four rows of the frame from row i on, for the columns of the
// picture from lo on; beyond its edges the picture goes on as it ends.
func (a axis) down(mid []lanes, lo int, src []byte, sw, i int) {
	first, last := a.span(i, min(i+4, len(a.start)))
	from, to := max(lo, 0), min(lo+len(mid), sw)
	inner := mid[from-lo : to-lo]
	for k := range inner {
		inner[k] = begin
	}
	for s := first; s < last; s += 4 {
		var row [4][]byte
		for k := range row {
			y := clampTo(int32(s+k), a.size)
			row[k] = src[y*sw+from:][:len(inner)]
		}
		w0, w1, w2, w3 := a.weights(s, i), a.weights(s+1, i), a.weights(s+2, i), a.weights(s+3, i)
		r0, r1, r2, r3 := row[0], row[1][:len(row[0])], row[2][:len(row[0])], row[3][:len(row[0])]
		for k, v := range r0 {
			inner[k] += w0*lanes(v) + w1*lanes(r1[k]) + w2*lanes(r2[k]) + w3*lanes(r3[k])
		}
	}
	for k := range inner {
		inner[k] = inner[k].settle()
	}
	for k := range from - lo {
		mid[k] = inner[0]
	}
	for k := to - lo; k < len(mid); k++ {
		mid[k] = inner[len(inner)-1]
	}
}

// across computes the samples of four rows from the columns, which begin with
// column lo.
func (a axis) across(rows [4][]byte, mid []lanes, lo int) {
	r0 := rows[0]
	r1, r2, r3 := rows[1][:len(r0)], rows[2][:len(r0)], rows[3][:len(r0)]
	for i := range r0 {
		m, w := mid[int(a.start[i])-lo:][:a.n], a.weight[i*a.n:][:a.n]
		sum := begin
		if len(m) == 4 && len(w) == 4 { // a picture that is not made smaller
			sum += lanes(int64(w[0]))*m[0] + lanes(int64(w[1]))*m[1] + lanes(int64(w[2]))*m[2] + lanes(int64(w[3]))*m[3]
		} else {
			for k, v := range m {
				sum += lanes(int64(w[k])) * v
			}
		}
		q := sum.settle()
		r0[i], r1[i], r2[i], r3[i] = byte(q), byte(q>>16), byte(q>>32), byte(q>>48)
	}
}
