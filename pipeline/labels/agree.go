package labels

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"strokereel/track"
)

// Agreement is how well two persons agree on one thing.
type Agreement struct {
	Name  string // of the object or event
	Unit  string // px or s
	N     int    // marked by both
	Only  int    // marked by one of them
	Bias  [2]float64
	SD    float64 // standard deviation of one person's marks, along one axis
	Worst float64 // largest difference
	Where string  // and where it is
}

// Agree compares what two persons marked: objects first, then events. The
// standard deviation of one mark is the root of half the mean square of the
// differences (J. M. Bland and D. G. Altman, 1996, BMJ 313, 744), which counts a
// bias between the two as well.
func Agree(a, b Set) []Agreement {
	found := map[string]*Agreement{}
	var names []string
	of := func(name, unit string) *Agreement {
		if found[name] == nil {
			found[name] = &Agreement{Name: name, Unit: unit}
			names = append(names, name)
		}
		return found[name]
	}
	for _, p := range union(a.Points, b.Points, byPlace) {
		g := of(p.Object, "px")
		q, okA := a.Points[p]
		r, okB := b.Points[p]
		if !okA || !okB {
			g.Only++
			continue
		}
		dx, dy := r.X-q.X, r.Y-q.Y
		g.add([2]float64{dx, dy}, (dx*dx+dy*dy)/2, math.Hypot(dx, dy), imageName(p.Clip, p.Frame))
	}
	for _, m := range union(a.Moments, b.Moments, byMoment) {
		g := of(m.Event, "s")
		s, okA := a.Moments[m]
		t, okB := b.Moments[m]
		if !okA || !okB {
			g.Only++
			continue
		}
		g.add([2]float64{t - s}, (t-s)*(t-s), math.Abs(t-s), m.Clip)
	}
	slices.SortFunc(names, func(x, y string) int { return cmp.Or(cmp.Compare(rank(x), rank(y)), strings.Compare(x, y)) })
	var out []Agreement
	for _, n := range names {
		g := *found[n]
		if g.N > 0 {
			g.Bias[0], g.Bias[1] = g.Bias[0]/float64(g.N), g.Bias[1]/float64(g.N)
			g.SD = math.Sqrt(g.SD / float64(g.N) / 2)
		}
		out = append(out, g)
	}
	return out
}

func (g *Agreement) add(d [2]float64, square, size float64, where string) {
	g.N++
	g.Bias[0], g.Bias[1] = g.Bias[0]+d[0], g.Bias[1]+d[1]
	g.SD += square
	if size > g.Worst || g.Where == "" {
		g.Worst, g.Where = size, where
	}
}

// rank orders objects as files do, then events as they happen.
func rank(name string) int {
	if i := slices.Index(objects, name); i >= 0 {
		return i
	}
	if i := slices.Index(track.EventNames, name); i >= 0 {
		return 1000 + i
	}
	return 500
}

// union lists the keys of both in order.
func union[K comparable, V any](a, b map[K]V, order func(K, K) int) []K {
	var out []K
	for k := range a {
		out = append(out, k)
	}
	for k := range b {
		if _, both := a[k]; !both {
			out = append(out, k)
		}
	}
	slices.SortFunc(out, order)
	return out
}
