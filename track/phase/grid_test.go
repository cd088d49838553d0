package phase

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The largest of places that all err alike is no larger for being the largest of
// many; of ten that err each for itself it is, by 1.54 of their standard
// uncertainties in the mean (Harter 1961, Biometrika 48, 151-165, from memory), of
// which a part is taken off.
func TestLargest(t *testing.T) {
	const u, held, runs = 0.0005, 0.3, 400
	for _, c := range []struct {
		name      string
		own       float64 // share of the error that is each node's own
		low, high float64 // of the mean error, in u
		covered   float64 // share within twice the uncertainty
	}{
		{"own", 1, 0, 1.54 - 0.2, 0.7},
		{"half", 0.5, 0, 0.77 - 0.1, 0.9},
		{"shared", 0, -0.2, 0.2, 0.93},
	} {
		t.Run(c.name, func(t *testing.T) {
			dice := rand.New(rand.NewPCG(5, 7))
			var sum float64
			var covered int
			for range runs {
				alike := math.Sqrt(1-c.own*c.own) * u * dice.NormFloat64()
				var nodes []node
				for k := range 90 { // 10 places, each as long as errors last
					own := 0.0
					if k%9 > 0 {
						own = nodes[k-1].x - held - alike
					} else {
						own = c.own * u * dice.NormFloat64()
					}
					nodes = append(nodes, node{t: float64(k) * step, x: held + alike + own, u: u, ok: true})
				}
				_, far, uf := largest(nodes, alongX, 9*step)
				sum += far - held
				if math.Abs(far-held) <= 2*uf {
					covered++
				}
			}
			if mean := sum / runs / u; mean < c.low || mean > c.high {
				t.Errorf("it is %.2f u off in the mean", mean)
			}
			if share := float64(covered) / runs; share < c.covered {
				t.Errorf("within its uncertainty in %.0f %%", 100*share)
			}
		})
	}
}

// A place that is known worse than the farthest one makes what the farthest is less
// certain, but by no more than it is uncertain itself.
func TestLargestAmongWorseKnown(t *testing.T) {
	nodes := make([]node, 10)
	for i := range nodes {
		nodes[i] = node{t: float64(i) * step, x: 0.3, u: 0.0002, ok: true}
	}
	nodes[0].x, nodes[9].x, nodes[9].u = 0.42, 0.4195, 0.003
	_, far, u := largest(nodes, alongX, 9*step)
	if math.Abs(far-0.42) > 0.001 || u > 0.003 {
		t.Errorf("the farthest of 0.42 +- 0.0002 and 0.4195 +- 0.003 m is %.4f +- %.4f", far, u)
	}
}
