package demo

import (
	"cmp"
	"math"
	"slices"
)

// patch is a whole stored picture in linear light, and the pixels painted since
// its spans were last cleared.
type patch struct {
	w, h    int
	pix     []rgb
	painted spans
}

func newPatch(w, h int) *patch {
	return &patch{w: w, h: h, pix: make([]rgb, w*h), painted: newSpans(h)}
}

// raster fills polygons with their exact area in every pixel. It keeps its
// buffer between fills, all zero.
type raster struct {
	cover []float32
	edges spans // columns that the edges touch
}

// brush gives the colour of a pixel of a filled shape and how much of it covers
// what lies behind.
type brush func(x, y float64) (c rgb, opacity float32)

// fill paints a closed polygon over dst. Every edge adds its signed area to the
// pixels it crosses; a running sum along the row then gives the share of each
// pixel that lies inside (the accumulation way of drawing glyph outlines).
func (r *raster) fill(dst *patch, poly []point, paint brush) {
	x0, y0, x1, y1 := bounds(poly)
	if x1 <= 0 || y1 <= 0 || x0 >= dst.w || y0 >= dst.h || x1-x0 > 8000 || y1-y0 > 8000 {
		return
	}
	w, h := x1-x0+2, y1-y0+1
	r.ready(w, h)
	for i, p := range poly {
		q := poly[(i+1)%len(poly)]
		r.edge(w, p.x+0.5-float64(x0), p.y+0.5-float64(y0), q.x+0.5-float64(x0), q.y+0.5-float64(y0))
	}
	for y := range h {
		lo, hi := r.edges.row(y)
		if lo >= hi {
			continue
		}
		row := r.cover[y*w+lo : y*w+hi]
		if y0+y >= 0 && y0+y < dst.h {
			dst.paintRow(row, x0+lo, y0+y, paint)
		}
		clear(row)
	}
	r.edges.clear()
}

func (r *raster) ready(w, h int) {
	if len(r.cover) < w*h {
		r.cover = make([]float32, w*h)
	}
	if len(r.edges.lo) < h {
		r.edges = newSpans(h)
	}
}

// paintRow sums the cover of one row and paints where there is any.
func (p *patch) paintRow(cover []float32, left, y int, paint brush) {
	out := p.pix[y*p.w : (y+1)*p.w]
	var sum float32
	for i, c := range cover[:max(0, min(len(cover), p.w-left))] {
		sum += c
		a := max(sum, -sum)
		if a < 1e-4 || left+i < 0 {
			continue
		}
		c, opacity := paint(float64(left+i), float64(y))
		a = min(a, 1) * opacity
		d := &out[left+i]
		d[0] += (c[0] - d[0]) * a
		d[1] += (c[1] - d[1]) * a
		d[2] += (c[2] - d[2]) * a
	}
	p.painted.add(y, max(0, left), min(p.w, left+len(cover)))
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
func (r *raster) edge(w int, xa, ya, xb, yb float64) {
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
		from, to := xa+(top-ya)*slope, xa+(bottom-ya)*slope
		if from > to {
			from, to = to, from
		}
		span(r.cover[y*w:(y+1)*w], from, to, (bottom-top)*dir)
		r.edges.add(y, int(from), max(int(from)+2, int(math.Ceil(to))+1))
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
