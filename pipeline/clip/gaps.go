package clip

import (
	"fmt"
	"slices"
)

// intervals collects the times between frames and finds the holes.
type intervals struct {
	factor float64 // of the typical interval that makes a hole
	ramp   float64 // how much another pace differs
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
	return median(g.d)
}

// steady is how many intervals in a row make a pace: a tenth of a second of slow
// motion stored at 30 frames/s.
const steady = 4

// warnings names every hole and every change of pace. A hole spoils what is
// measured across it; across a change of pace the file's clock is not the
// world's.
func (g *intervals) warnings() []Warning {
	var found []Warning
	limit, typical := g.factor*g.typical(), g.typical()
	pace, at := 0.0, 0.0 // of the run so far, time of the frame before interval k
	for k := 0; k < len(g.d); {
		n := g.run(k)
		d := median(g.d[k : k+n])
		switch {
		case n < steady && g.d[k] > limit:
			found = append(found, Warning{Code: TimeGap, Frame: g.first + k, T: at + g.d[k], Spoils: true,
				Text: fmt.Sprintf("no picture for %.0f ms before picture %d (usually one every %.1f ms)", g.d[k]*1e3, g.first+k, typical*1e3)})
			n = 1
		case n < steady:
			n = 1
		case pace > 0 && max(d/pace, pace/d) > g.ramp:
			found = append(found, Warning{Code: RateChanges, Frame: g.first + k, T: at, Spoils: true,
				Text: fmt.Sprintf("from picture %d on pictures come every %.1f ms instead of every %.1f ms: slow motion in a part of the clip, across which times are not real", g.first+k, d*1e3, pace*1e3)})
			pace = d
		default:
			pace = d
		}
		for ; n > 0; n-- {
			at += g.d[k]
			k++
		}
	}
	return found
}

// run is how many intervals from k on are alike, within the factor that makes a
// hole.
func (g *intervals) run(k int) int {
	n, low, high := 0, g.d[k], g.d[k]
	for _, d := range g.d[k:] {
		low, high = min(low, d), max(high, d)
		if high > g.factor*low {
			break
		}
		n++
	}
	return n
}

func median(d []float64) float64 {
	sorted := slices.Sorted(slices.Values(d))
	return sorted[len(sorted)/2]
}
