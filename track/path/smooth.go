package path

import (
	"math"
	"slices"

	"strokereel/track"
)

// Smooth returns the path with every position replaced by the motion found at its
// time; the speed may jump at a break (s). Unseen points are filled when they
// lie in a hole no longer than the stated limit; all others stay unseen. U is
// that of the motion found.
func Smooth(p track.Path, breaks []float64, o Options) (track.Path, error) {
	c, err := NewCurve(WithoutStrays(p, o), breaks, 0, o)
	if err != nil {
		return track.Path{}, err
	}
	out := track.Path{Object: p.Object, Points: make([]track.Point, len(p.Points))}
	for i, q := range p.Points {
		out.Points[i] = track.Point{Frame: q.Frame, T: q.T}
		first, last, _ := c.Span(q.T)
		f, err := c.At(q.T)
		if err != nil || (!q.Seen && (q.T < first || q.T > last)) {
			continue // nothing to stand on: the point stays unseen
		}
		out.Points[i].X, out.Points[i].Y, out.Points[i].U, out.Points[i].Seen = f.X, f.Y, f.U(0), true
	}
	return out, nil
}

// WithoutStrays returns the path with samples that lie far from what their
// neighbours say marked as unseen. What the neighbours say is the cubic through
// the two seen samples on either side. A stray spoils its neighbours' verdict as
// well, so only the worst of five goes, and the rest is judged again. What a person
// gave stays.
func WithoutStrays(p track.Path, o Options) track.Path {
	return track.Path{Object: p.Object, Points: o.withoutStrays(p.Points)}
}

func (o Options) withoutStrays(points []track.Point) []track.Point {
	out := append([]track.Point(nil), points...)
	for {
		var seen []int
		for i, q := range out {
			if q.Seen {
				seen = append(seen, i)
			}
		}
		excess := make([]float64, len(seen))
		for k := 2; k+2 < len(seen); k++ {
			excess[k] = o.excess(out, seen[k-2:k+3])
		}
		found := false
		for k, e := range excess {
			if e > 1 && e == slices.Max(excess[max(0, k-2):min(len(excess), k+3)]) {
				q := out[seen[k]]
				out[seen[k]] = track.Point{Frame: q.Frame, T: q.T}
				found = true
			}
		}
		if !found {
			return out
		}
	}
}

// excess returns how far the middle one of five samples lies from the others'
// word, in units of what is allowed. The allowance grows with the distance the
// object covers there.
func (o Options) excess(points []track.Point, five []int) float64 {
	n := [4]track.Point{points[five[0]], points[five[1]], points[five[3]], points[five[4]]}
	q := points[five[2]]
	if q.Given || n[3].T-n[0].T > 2*o.MaxGap {
		return 0
	}
	x, y, gain := between(n, q.T)
	covered := math.Hypot(n[2].X-n[1].X, n[2].Y-n[1].Y)
	usual := math.Hypot(n[3].X-n[0].X, n[3].Y-n[0].Y) / 2 // a stray neighbour must not widen its own limit
	limit := math.Max(o.OutlierDistance+0.2*math.Min(covered, usual), o.OutlierFactor*q.U*(1+gain))
	return math.Hypot(q.X-x, q.Y-y) / limit
}

// between interpolates the cubic through four points at t and returns how much
// noise it passes on.
func between(n [4]track.Point, t float64) (x, y, gain float64) {
	for i := range n {
		w := 1.0
		for j := range n {
			if j != i {
				w *= (t - n[j].T) / (n[i].T - n[j].T)
			}
		}
		x += w * n[i].X
		y += w * n[i].Y
		gain += w * w
	}
	return x, y, math.Sqrt(gain)
}
