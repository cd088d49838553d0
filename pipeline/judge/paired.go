package judge

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Difference is the mean of paired differences with its 95 % interval.
type Difference struct {
	N    int
	Mean float64
	Half float64 // half width of the interval; +Inf of fewer than two pairs
	P    float64 // how often chance alone would give as much
}

// Paired finds the mean of differences between pairs that are independent of
// each other, by Student's distribution.
func Paired(d []float64) Difference {
	out := Difference{N: len(d), Half: math.Inf(1), P: 1}
	if len(d) == 0 {
		return out
	}
	mean, sd := stat.MeanStdDev(d, nil)
	out.Mean = mean
	if len(d) < 2 {
		return out
	}
	se := sd / math.Sqrt(float64(len(d)))
	if se == 0 {
		out.Half = 0
		if mean != 0 {
			out.P = 0
		}
		return out
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(len(d) - 1)}
	out.Half = t.Quantile(0.975) * se
	out.P = 2 * t.Survival(math.Abs(mean)/se)
	return out
}

// level is that of a 95 % interval.
const level = 0.05

// standOut reports which of several differences are more than noise, each one
// corrected for the others. What did not change at all was not put to the test.
func standOut(all []Difference) []bool {
	var order []int
	for i, d := range all {
		if d.N > 1 && (d.Mean != 0 || d.Half != 0) {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(all[i].P, all[j].P) })
	out := make([]bool, len(all))
	for rank, i := range order {
		if all[i].P > level/float64(len(order)-rank) {
			break
		}
		out[i] = true
	}
	return out
}

func sorted[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }
