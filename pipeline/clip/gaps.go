package clip

import (
	"fmt"
	"slices"
)

// intervals collects the times between frames and finds the holes.
type intervals struct {
	factor float64 // of the typical interval that makes a hole
	first  int     // frame of the first interval
	d      []float64
}

func (g *intervals) add(frame int, d float64) {
	if len(g.d) == 0 {
		g.first = frame
	}
	g.d = append(g.d, d)
}

// typical is the median interval, 0 for fewer than two frames.
func (g *intervals) typical() float64 {
	if len(g.d) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(g.d))
	return sorted[len(sorted)/2]
}

// warnings names every hole. A hole spoils what is measured across it.
func (g *intervals) warnings() []Warning {
	var found []Warning
	limit := g.factor * g.typical()
	for k, d := range g.d {
		if d > limit {
			found = append(found, Warning{Code: TimeGap, Frame: g.first + k, Spoils: true,
				Text: fmt.Sprintf("no picture for %.0f ms before picture %d (usually one every %.1f ms)", d*1e3, g.first+k, g.typical()*1e3)})
		}
	}
	return found
}
