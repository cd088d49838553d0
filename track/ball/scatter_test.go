package ball

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The sum of n independent residuals scatters by the root of n; where a codec repeats
// each over 2 x 2 samples it scatters by twice that.
func TestScatterOfSharedResiduals(t *testing.T) {
	const side, times = 24, 400
	rng := rand.New(rand.NewPCG(21, 22))
	for _, c := range []struct {
		name       string
		block      int
		least, top float64 // share of the true scatter that may be told
	}{{"each its own", 1, 0.9, 1.1}, {"2 x 2 alike", 2, 0.75, 1.1}} {
		told := 0.0
		for range times {
			residuals := make([]float64, side*side)
			for i := range residuals {
				if x, y := i%side, i/side; x%c.block == 0 && y%c.block == 0 {
					residuals[i] = rng.NormFloat64()
				} else {
					residuals[i] = residuals[(y-y%c.block)*side+x-x%c.block]
				}
			}
			told += math.Pow(scatter(residuals, side), 2) / times
		}
		if share := math.Sqrt(told) / float64(side*c.block); share < c.least || share > c.top {
			t.Errorf("%s: %.2f of the scatter is told, want %.2f to %.2f", c.name, share, c.least, c.top)
		}
	}
}
