package body

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// lesson gathers what rows show of a shaft that hardly moves, to learn its stripe: what
// its edges are like and how it is lit. What is learnt is by how much hides and shows, one
// table after the other, differ from what was believed: no more than samples of known
// noise tell, and smoothly, since a shaft that stands upright shows itself at the same
// parts of a pixel in all rows.
type lesson struct {
	from   *stripe
	normal *mat.SymDense
	right  *mat.VecDense
	frames int
}

const (
	// lessonFrames are enough.
	lessonFrames = 12
	// lessonNoise is how much samples scatter, levels.
	lessonNoise = 10
	// hidesU and showsU are how far the tables may lie off what was believed, levels for
	// shows, standard uncertainties; bendShare is how far an entry may then lie off its
	// neighbours' mean, as a share of that.
	hidesU, showsU, bendShare = 0.2, 40, 0.01
)

func newLesson(from *stripe) *lesson {
	n := len(from.hides)
	l := &lesson{from: from, normal: mat.NewSymDense(2*n, nil), right: mat.NewVecDense(2*n, nil)}
	for table, u := range [2]float64{hidesU, showsU} {
		for i := range n {
			at := table*n + i
			l.normal.SetSym(at, at, l.normal.At(at, at)+1/(u*u))
			if i == 0 || i == n-1 {
				continue
			}
			l.add(at-1, [3]float64{-0.5, 1, -0.5}, u*bendShare)
		}
	}
	return l
}

// add notes that the sum of entries from the first on, each times its factor, is 0 to u.
func (l *lesson) add(first int, factors [3]float64, u float64) {
	for i, a := range factors {
		for j := range i + 1 {
			l.normal.SetSym(first+i, first+j, l.normal.At(first+i, first+j)+a*factors[j]/(u*u))
		}
	}
}

// study takes a row with a shaft at x, as fitRow does.
func (l *lesson) study(row []uint8, x, across, light float64) {
	half := int(math.Ceil(l.from.reach/across)) + stripeBeside
	mid := int(math.Round(x))
	if mid < half || mid+half >= len(row) {
		return
	}
	mean, tilt, scatter := behind(row, mid, half, x, (l.from.reach-stripeBeyond+1)/across)
	if scatter > 2*leastRest {
		return
	}
	n := len(l.from.hides)
	for k := -half; k <= half; k++ {
		z := ((float64(mid+k)-x)*across + l.from.reach) * stripeFine
		i := int(z)
		if z < 0 || i+1 >= n {
			continue
		}
		z -= float64(i)
		b := (mean + tilt*float64(k)) / light
		hides, shows := l.from.hides[i]+z*(l.from.hides[i+1]-l.from.hides[i]), l.from.shows[i]+z*(l.from.shows[i+1]-l.from.shows[i])
		off := float64(row[mid+k])/light - b*(1-hides) - shows
		at := [4]int{i, i + 1, n + i, n + i + 1}
		factors := [4]float64{-b * (1 - z), -b * z, 1 - z, z}
		for p, f := range factors {
			for q := range p + 1 {
				l.normal.SetSym(at[p], at[q], l.normal.At(at[p], at[q])+f*factors[q]/(lessonNoise*lessonNoise))
			}
			l.right.SetVec(at[p], l.right.AtVec(at[p])+f*off/(lessonNoise*lessonNoise))
		}
	}
}

// behind is the even light behind a shaft, told from its sides: farther than clear from x.
func behind(row []uint8, mid, half int, x, clear float64) (mean, tilt, scatter float64) {
	var n, t, tt, y, ty, yy float64
	for k := -half; k <= half; k++ {
		if math.Abs(float64(mid+k)-x) < clear {
			continue
		}
		v, at := float64(row[mid+k]), float64(k)
		n, t, tt, y, ty, yy = n+1, t+at, tt+at*at, y+v, ty+at*v, yy+v*v
	}
	det := n*tt - t*t
	if !(det > 0) || n < 4 {
		return 0, 0, math.Inf(1)
	}
	mean, tilt = (tt*y-t*ty)/det, (n*ty-t*y)/det
	return mean, tilt, math.Sqrt(math.Max(0, yy-mean*y-tilt*ty) / (n - 2))
}

// learnt is the stripe as it was seen.
func (l *lesson) learnt() *stripe {
	var chol mat.Cholesky
	var off mat.VecDense
	if !chol.Factorize(l.normal) || chol.SolveVecTo(&off, l.right) != nil {
		return l.from
	}
	n := len(l.from.hides)
	s := &stripe{reach: l.from.reach, hides: make([]float64, n), shows: make([]float64, n)}
	for i := range n {
		s.hides[i], s.shows[i] = l.from.hides[i]+off.AtVec(i), l.from.shows[i]+off.AtVec(n+i)
	}
	return s
}
