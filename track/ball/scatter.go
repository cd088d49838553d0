package ball

import "math"

// sharedOver is over how many px samples of decoded video err together, less and less:
// codecs code the remainder of a picture in squares of 4 px and larger ones where it
// is plain.
const sharedOver = 4

// scatter is the standard uncertainty of a fitted number, told by how much each
// sample's residual moves it. What no sphere explains (a mark, dimples) sits inside the
// ball and says little about the edge: each sample counts by its own residual, and with
// its neighbours (Conley, Journal of Econometrics 92, 1999, 1-45, from memory).
func scatter(told []float64, side int) float64 {
	var variance float64
	for i, a := range told {
		if a == 0 {
			continue
		}
		x, y := i%side, i/side
		for v := max(0, y-sharedOver+1); v < min(side, y+sharedOver); v++ {
			for u := max(0, x-sharedOver+1); u < min(side, x+sharedOver); u++ {
				variance += a * told[v*side+u] * near(u-x) * near(v-y)
			}
		}
	}
	return math.Sqrt(math.Max(0, variance))
}

// near falls from 1 to 0 over sharedOver px (Bartlett's window, which keeps the
// variance of any residuals above zero).
func near(d int) float64 { return 1 - math.Abs(float64(d))/sharedOver }
