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
	// rimWithin is how far inside the outline, px, a hidden rim may lie.
	rimWithin = 2.5
)

// uncover takes the rim out of the rows that show floor at one side only. A shadow
// under the ball lies on both.
func uncover(weights []float64, side int, p []float64) {
	for y := range side {
		dy := (float64(y) - p[1]) / p[3]
		if math.Abs(dy) > rulerRows {
			continue
		}
		half := p[2] * math.Sqrt(1-dy*dy)
		row := weights[y*side : (y+1)*side]
		left, right := floorWeight(row, p[0], -1, half), floorWeight(row, p[0], 1, half)
		if (left < strange) == (right < strange) {
			continue
		}
		hidden := 1.0
		if left < strange {
			hidden = -1
		}
		for x := range row {
			if hidden*(float64(x)-p[0]) > half-rimWithin {
				row[x] = 0
			}
		}
	}
}

// floorWeight is the mean weight of a row's samples beside the ball, 1 when the row
// ends before.
func floorWeight(row []float64, x, way, half float64) float64 {
	var sum, n float64
	for i, w := range row {
		if out := way*(float64(i)-x) - half; out > besideFrom && out < besideTo {
			sum, n = sum+w, n+1
		}
	}
	if n == 0 {
		return 1
	}
	return sum / n
}
