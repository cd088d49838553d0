package measure

import "math"

// StudentFactor returns t for which Student's distribution with nu degrees of
// freedom holds the share p between -t and t.
func StudentFactor(p, nu float64) float64 {
	if nu > 1e4 {
		nu = 1e4 // the normal distribution to five digits
	}
	lo, hi := 0.0, 1.0
	for between(hi, nu) < p {
		hi *= 2
	}
	for range 60 {
		if m := (lo + hi) / 2; between(m, nu) < p {
			lo = m
		} else {
			hi = m
		}
	}
	return (lo + hi) / 2
}

// between is the share of Student's distribution between -t and t. With
// t = sqrt(nu) tan(a) its density becomes a power of a cosine.
func between(t, nu float64) float64 {
	const n = 400 // Simpson's rule, even
	a := math.Atan(t / math.Sqrt(nu))
	sum := 0.0
	for i := 0; i <= n; i++ {
		w := 2.0
		switch {
		case i == 0 || i == n:
			w = 1
		case i%2 == 1:
			w = 4
		}
		sum += w * math.Pow(math.Cos(a*float64(i)/n), nu-1)
	}
	g1, _ := math.Lgamma((nu + 1) / 2)
	g2, _ := math.Lgamma(nu / 2)
	return 2 * math.Exp(g1-g2) / math.Sqrt(math.Pi) * sum * a / (3 * n)
}

// EffectiveDOF is the formula of Welch and Satterthwaite (JCGM 100:2008, G.2b):
// the degrees of freedom of a sum of terms u_i with nu_i each.
func EffectiveDOF(u, nu []float64) float64 {
	var variance, sum float64
	for i := range u {
		variance += u[i] * u[i]
		if !math.IsInf(nu[i], 1) {
			sum += math.Pow(u[i], 4) / nu[i]
		}
	}
	if sum == 0 {
		return math.Inf(1)
	}
	return variance * variance / sum
}
