package demo

import (
	"cmp"
	"math"
	"slices"
)

// patch is a rectangle of the stored picture in linear light.
type patch struct {
	x0, y0, w, h int
	pix          []rgb
}

func newPatch(x0, y0, x1, y1 int) *patch {
	w, h := x1-x0, y1-y0
	return &patch{x0, y0, w, h, make([]rgb, w*h)}
}

// raster fills polygons with their exact area in every pixel. It keeps its
// buffer between fills.
type raster struct{ cover []float32 }

// brush gives the colour of a pixel of a filled shape and how much of it covers
// what lies behind.
type brush func(x, y float64) (c rgb, opacity float32)

// fill paints a closed polygon over dst. Every edge adds its signed area to the
// pixels it crosses; a running sum along the row then gives the share of each
// pixel that lies inside (the accumulation way of drawing glyph outlines).
func (r *raster) fill(dst *patch, poly []point, paint brush) {
	x0, y0, x1, y1 := bounds(poly)
	if x1 <= dst.x0 || y1 <= dst.y0 || x0 >= dst.x0+dst.w || y0 >= dst.y0+dst.h || x1-x0 > 8000 || y1-y0 > 8000 {
		return
	}
	w, h := x1-x0+2, y1-y0+1
	if len(r.cover) < w*h {
		r.cover = make([]float32, w*h)
	}
	cover := r.cover[:w*h]
	clear(cover)
	for i, p := range poly {
		q := poly[(i+1)%len(poly)]
		edge(cover, w, p.x+0.5-float64(x0), p.y+0.5-float64(y0), q.x+0.5-float64(x0), q.y+0.5-float64(y0))
	}
	for y := max(y0, dst.y0); y < min(y1+1, dst.y0+dst.h); y++ {
		row := cover[(y-y0)*w : (y-y0+1)*w]
		out := dst.pix[(y-dst.y0)*dst.w : (y-dst.y0+1)*dst.w]
		var sum float32
		left := x0 - dst.x0
		last := min(len(row), dst.w-left)
		for i := range last {
			if row[i] != 0 {
				sum += row[i]
			}
			x := left + i
			a := max(sum, -sum)
			if a < 1e-4 || x < 0 {
				continue
			}
			a = min(a, 1)
			c, opacity := paint(float64(x0+i), float64(y))
			a *= opacity
			d := &out[x]
			d[0] += (c[0] - d[0]) * a
			d[1] += (c[1] - d[1]) * a
			d[2] += (c[2] - d[2]) * a
		}
	}
}

// bounds gives the pixels a polygon can touch: x0 <= x <= x1.
func bounds(poly []point) (x0, y0, x1, y1 int) {
	lx, ly, hx, hy := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range poly {
		lx, ly = math.Min(lx, p.x), math.Min(ly, p.y)
		hx, hy = math.Max(hx, p.x), math.Max(hy, p.y)
	}
	return int(math.Floor(lx + 0.5)), int(math.Floor(ly + 0.5)), int(math.Floor(hx+0.5)) + 1, int(math.Floor(hy+0.5)) + 1
}

// edge adds one directed edge; coordinates with pixel corners at whole numbers.
func edge(cover []float32, w int, xa, ya, xb, yb float64) {
	if ya == yb {
		return
	}
	dir := 1.0
	if ya > yb {
		xa, ya, xb, yb, dir = xb, yb, xa, ya, -1
	}
	slope := (xb - xa) / (yb - ya)
	for y := int(ya); y < int(math.Ceil(yb)); y++ {
		top, bottom := math.Max(ya, float64(y)), math.Min(yb, float64(y+1))
		l, r := xa+(top-ya)*slope, xa+(bottom-ya)*slope
		if l > r {
			l, r = r, l
		}
		span(cover[y*w:(y+1)*w], l, r, (bottom-top)*dir)
	}
}

// span spreads an edge piece that crosses one row from l to r, with signed
// height d, so that the running sum is the area right of it.
func span(row []float32, l, r, d float64) {
	i, j := int(l), int(math.Ceil(r))
	if j <= i+1 {
		right := (l+r)/2 - float64(i)
		row[i] += float32(d * (1 - right))
		row[i+1] += float32(d * right)
		return
	}
	k := d / (r - l)
	var before float64 // area so far, as if summed
	for x := i; x < j; x++ {
		a, b := math.Max(l, float64(x)), math.Min(r, float64(x+1))
		full := k * (a - l)                           // height already passed
		area := full + k*(b-a)*(float64(x+1)-(a+b)/2) // of this pixel
		row[x] += float32(area - before)
		before = area
	}
	row[j] += float32(d - before)
}

// hull is the convex hull (monotone chain).
func hull(p []point) []point {
	pts := append([]point(nil), p...)
	sortPoints(pts)
	var out []point
	for pass := range 2 {
		base := len(out)
		for i := range pts {
			q := pts[i]
			if pass == 1 {
				q = pts[len(pts)-1-i]
			}
			for len(out) >= base+2 && turnOf(out[len(out)-2], out[len(out)-1], q) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, q)
		}
		out = out[:len(out)-1]
	}
	return out
}

func turnOf(a, b, c point) float64 {
	return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x)
}

func sortPoints(p []point) {
	slices.SortFunc(p, func(a, b point) int {
		return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y))
	})
}
