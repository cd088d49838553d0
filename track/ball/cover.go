package ball

import "math"

// A club or a shoe that hides the rim of a ball on one side makes it look narrower,
// and what is seen there is the other thing's edge. It does not look like the floor:
// beside the ball it has left the samples of those rows without weight.

const (
	// besideFrom and besideTo are how far outside the outline, px, a row is looked at
	// on either side.
	besideFrom, besideTo = 1.0, 4.0
	// strange is the mean weight of samples, most of which show no floor.
	strange = 0.4
	// shines is by how much a sample is too bright for a floor, as a share of the ball's
	// light. What is thin lowers few weights.
	shines = 0.2
	// shadeFrom is from where on down, in half heights, what is dark on both sides is
	// the ball's own shadow, which hides no rim.
	shadeFrom = 0.3
	// rimWithin is how far inside the outline, px, a hidden rim may lie.
	rimWithin = 2.5
)

// uncover takes the rim out of the rows beside which something lies that is no floor.
// Over is by how much each sample is brighter than the shading has it, as a share of
// the ball's light.
func uncover(weights, over []float64, side int, p []float64) {
	for y := range side {
		dy := (float64(y) - p[1]) / p[3]
		if math.Abs(dy) > rulerRows {
			continue
		}
		half := p[2] * math.Sqrt(1-dy*dy)
		row := weights[y*side : (y+1)*side]
		var beside [2]besideBall
		for k, way := range []float64{-1, 1} {
			beside[k] = lookBeside(row, over[y*side:], p[0], way, half)
		}
		both := beside[0].strange && beside[1].strange
		for k, way := range []float64{-1, 1} {
			if b := beside[k]; !b.strange || both && b.dark && dy > shadeFrom {
				continue
			}
			for x := range row {
				if way*(float64(x)-p[0]) > half-rimWithin {
					row[x] = 0
				}
			}
		}
	}
}

// besideBall is what a row shows beside the ball: something strange to the floor, and
// whether that is darker than it.
type besideBall struct{ strange, dark bool }

// lookBeside looks at a row's samples beside the ball; a row that ends before shows
// nothing strange.
func lookBeside(row, over []float64, x, way, half float64) besideBall {
	var weight, bright, brightest, n float64
	for i, w := range row {
		if out := way*(float64(i)-x) - half; out > besideFrom && out < besideTo {
			weight, bright, brightest, n = weight+w, bright+over[i], math.Max(brightest, over[i]), n+1
		}
	}
	if n == 0 {
		return besideBall{}
	}
	return besideBall{weight/n < strange || brightest > shines, bright < 0}
}
