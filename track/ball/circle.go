package ball

import (
	"math"
	"slices"
)

// circle is a round bright thing: centre and radius in px, and how clearly it
// stands out, in levels.
type circle struct{ x, y, r, score float64 }

const rays = 24

var rayX, rayY = func() (x, y [rays]float64) {
	for k := range x {
		x[k], y[k] = math.Cos(2*math.Pi*float64(k)/rays), math.Sin(2*math.Pi*float64(k)/rays)
	}
	return
}()

// window bounds a search, px.
type window struct{ x0, y0, x1, y1 float64 }

// find returns the clearest circle in a window with a radius between r0 and
// r1. The score of a circle is the mean rise of brightness across its edge,
// counted as zero unless at least three quarters of the edge rise by least:
// the ball may touch the head on one side.
func find(p plane, w window, r0, r1, least float64) (circle, bool) {
	best := circle{}
	step := math.Max(1, r0/4)
	for r := r0; r <= r1+1e-9; r += math.Max(0.5, (r1-r0)/6) {
		for y := w.y0; y <= w.y1; y += step {
			for x := w.x0; x <= w.x1; x += step {
				if s := edgeScore(p, x, y, r, least); s > best.score {
					best = circle{x, y, r, s}
				}
			}
		}
		if r1-r0 < 0.5 {
			break
		}
	}
	if best.score == 0 {
		return best, false
	}
	for d := step / 2; d > 0.2; d /= 2 {
		for again := true; again; {
			again = false
			for _, c := range [...]circle{{best.x + d, best.y, best.r, 0}, {best.x - d, best.y, best.r, 0},
				{best.x, best.y + d, best.r, 0}, {best.x, best.y - d, best.r, 0},
				{best.x, best.y, best.r + d/2, 0}, {best.x, best.y, best.r - d/2, 0}} {
				if c.r < r0 || c.r > r1 {
					continue
				}
				if c.score = edgeScore(p, c.x, c.y, c.r, least); c.score > best.score+1e-9 {
					best, again = c, true
				}
			}
		}
	}
	return best, true
}

// edgeScore returns the mean rise of brightness across a circle's edge, or 0.
func edgeScore(p plane, x, y, r, least float64) float64 {
	const cap = 60 // levels; one glaring stretch of edge must not carry the rest
	in, out := r-math.Max(1.2, 0.14*r), r+math.Max(1.2, 0.14*r)
	if x-out < 0 || y-out < 0 || x+out >= float64(p.w-1) || y+out >= float64(p.h-1) {
		return 0
	}
	good, sum := 0, 0.0
	for k := 0; k < rays; k++ {
		a := float64(p.pix[int(y+in*rayY[k]+0.5)*p.w+int(x+in*rayX[k]+0.5)])
		b := float64(p.pix[int(y+out*rayY[k]+0.5)*p.w+int(x+out*rayX[k]+0.5)])
		d := a - b
		if d > least {
			good++
		}
		if k == rays/3 && good < 3 {
			return 0
		}
		sum += math.Min(d, cap)
	}
	if good < rays*3/4 {
		return 0
	}
	return sum / rays
}

// centroid returns the middle of what is brighter than the surroundings within
// reach of (x, y): the ball's centre but for a shading that stays the same as
// it rolls. share is the bright area as a share of the ball's.
func centroid(p plane, x, y, r, reachX float64, floor, level float64) (cx, cy, share float64) {
	cx, cy = x, y
	for pass := 0; pass < 3; pass++ {
		var m, mx, my float64
		x0, x1 := int(math.Ceil(cx-reachX)), int(math.Floor(cx+reachX))
		y0, y1 := int(math.Ceil(cy-r-1.5)), int(math.Floor(cy+r+1.5))
		for j := max(0, y0); j <= min(p.h-1, y1); j++ {
			for i := max(0, x0); i <= min(p.w-1, x1); i++ {
				p := (float64(p.pix[j*p.w+i]) - floor) / (level - floor)
				if p < 0.25 {
					continue
				}
				p = math.Min(p, 1)
				m += p
				mx += p * float64(i)
				my += p * float64(j)
			}
		}
		if m == 0 {
			return x, y, 0
		}
		cx, cy, share = mx/m, my/m, m/(math.Pi*r*r)
	}
	return cx, cy, share
}

// middle returns the x of the ball's centre as its edge on one side (+1 right,
// -1 left) tells it: in each row through its middle the place where brightness
// falls to half, less half the chord there; of all rows the median. A streak of
// motion is symmetric about that place, a mark that turns with the ball lies
// inside, and the head that follows is on the other side. It reports false when
// no row shows the edge.
func middle(p plane, x, y, r, side, floor, level float64) (float64, bool) {
	half := (floor + level) / 2
	var found []float64
	for j := int(math.Ceil(y - r/2)); j <= int(math.Floor(y+r/2)); j++ {
		if j < 0 || j >= p.h {
			continue
		}
		dy := float64(j) - y
		chord := math.Sqrt(r*r - dy*dy)
		start := int(math.Round(x + side*(r+5)))
		for k := 0; k < int(r)+5; k++ {
			at := start - int(side)*k
			if at < 1 || at >= p.w-1 {
				continue
			}
			outer, inner := float64(p.pix[j*p.w+at+int(side)]), float64(p.pix[j*p.w+at])
			if outer < half && inner >= half {
				found = append(found, float64(at)+side*(inner-half)/(inner-outer)-side*chord)
				break
			}
		}
	}
	if len(found) < 3 {
		return 0, false
	}
	slices.Sort(found)
	return found[len(found)/2], true
}
