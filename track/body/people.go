package body

import (
	"math"
	"slices"
)

func logistic(v float64) float64 { return 1 / (1 + math.Exp(-v)) }

// anchors are the places the detector's answers are counted from, 0-1.
func anchors() [][2]float64 {
	var out [][2]float64
	for _, grid := range []struct{ n, each int }{{28, 2}, {14, 2}, {7, 6}} {
		for y := range grid.n {
			for x := range grid.n {
				for range grid.each {
					out = append(out, [2]float64{(float64(x) + 0.5) / float64(grid.n), (float64(y) + 0.5) / float64(grid.n)})
				}
			}
		}
	}
	return out
}

// mostOverlap is how much two boxes may share, of what they cover together, and
// still be two people.
const mostOverlap = 0.3

// mostPeople bounds how many are looked at closely.
const mostPeople = 4

// found is one answer of the detector.
type found struct {
	box    [4]float64 // left, top, right, bottom
	points [4]float64 // hips, point on the circle
	score  float64
}

// persons gathers the detector's answers: those that overlap are one person, at
// the mean weighted by their scores.
func persons(values, scores []float32, whole region) []person {
	var all []found
	for i, a := range anchors() {
		if i >= len(scores) || 12*(i+1) > len(values) {
			break
		}
		score := logistic(float64(scores[i]))
		if !(score >= leastScore) {
			continue
		}
		v := values[12*i : 12*i+12]
		at := func(k, axis int) float64 { return float64(v[k])/detectorSide + a[axis] }
		w, h := float64(v[2])/detectorSide, float64(v[3])/detectorSide
		all = append(all, found{score: score, points: [4]float64{at(4, 0), at(5, 1), at(6, 0), at(7, 1)},
			box: [4]float64{at(0, 0) - w/2, at(1, 1) - h/2, at(0, 0) + w/2, at(1, 1) + h/2}})
	}
	slices.SortFunc(all, func(a, b found) int {
		if a.score > b.score {
			return -1
		}
		return 1
	})
	var out []person
	for len(all) > 0 && len(out) < mostPeople {
		best := all[0]
		var sum float64
		var p [4]float64
		all = slices.DeleteFunc(all, func(o found) bool {
			if overlap(best.box, o.box) <= mostOverlap {
				return false
			}
			sum += o.score
			for i := range p {
				p[i] += o.score * o.points[i]
			}
			return true
		})
		if sum == 0 {
			all = all[1:]
			continue
		}
		x0, y0 := whole.at(p[0]/sum, p[1]/sum)
		x1, y1 := whole.at(p[2]/sum, p[3]/sum)
		out = append(out, person{around(x0, y0, x1, y1), best.score})
	}
	return out
}

func overlap(a, b [4]float64) float64 {
	w, h := math.Min(a[2], b[2])-math.Max(a[0], b[0]), math.Min(a[3], b[3])-math.Max(a[1], b[1])
	if w <= 0 || h <= 0 {
		return 0
	}
	area := func(c [4]float64) float64 { return (c[2] - c[0]) * (c[3] - c[1]) }
	return w * h / (area(a) + area(b) - w*h)
}

const (
	// heatReach is how far around a joint its heat map is looked at, samples.
	heatReach = 3
	// leastHeat is what the map must reach there to be believed.
	leastHeat = 0.5
)

// refined moves a joint (0-1) to the middle of what its heat map shows around it,
// and says how hot the map is there. It is cold where the network, in two minds
// about left and right, answers with the middle.
func refined(heat []float32, x, y float64) (rx, ry, most float64) {
	cx, cy := int(x*heatSide), int(y*heatSide)
	var sum, sx, sy float64
	for j := max(0, cy-heatReach); j <= min(heatSide-1, cy+heatReach); j++ {
		for i := max(0, cx-heatReach); i <= min(heatSide-1, cx+heatReach); i++ {
			w := logistic(float64(heat[j*heatSide+i]))
			sum, sx, sy, most = sum+w, sx+w*float64(i), sy+w*float64(j), math.Max(most, w)
		}
	}
	if most < leastHeat {
		return x, y, most
	}
	return sx / sum / heatSide, sy / sum / heatSide, most
}
