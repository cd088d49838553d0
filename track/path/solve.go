package path

import "math"

// invert returns the inverse of a symmetric positive definite matrix, given its
// lower half, by Cholesky factorisation; ok is false when the matrix is not definite.
func invert(a [][]float64) (inv [][]float64, ok bool) {
	n := len(a)
	l := square(n)
	for i := 0; i < n; i++ {
		for j := 0; j <= i; j++ {
			s := a[i][j]
			for k := 0; k < j; k++ {
				s -= l[i][k] * l[j][k]
			}
			if i != j {
				l[i][j] = s / l[j][j]
				continue
			}
			if !(s > 1e-13*a[i][i]) {
				return nil, false
			}
			l[i][i] = math.Sqrt(s)
		}
	}
	inv = square(n)
	col := make([]float64, n)
	for c := 0; c < n; c++ {
		for i := 0; i < n; i++ {
			s := 0.0
			if i == c {
				s = 1
			}
			for k := 0; k < i; k++ {
				s -= l[i][k] * col[k]
			}
			col[i] = s / l[i][i]
		}
		for i := n - 1; i >= 0; i-- {
			s := col[i]
			for k := i + 1; k < n; k++ {
				s -= l[k][i] * col[k]
			}
			col[i] = s / l[i][i]
			inv[i][c] = col[i]
		}
	}
	return inv, true
}

func square(n int) [][]float64 {
	cells := make([]float64, n*n)
	m := make([][]float64, n)
	for i := range m {
		m[i] = cells[i*n : (i+1)*n]
	}
	return m
}
