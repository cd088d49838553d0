package phase

import (
	"fmt"
	"math"

	"strokereel/track"
)

// findStart finds the address mean and the moment the putter left it, in turn:
// each needs the other.
func (tm *timing) findStart() {
	s := &tm.stroke
	if !tm.c.settled {
		s.refuse(track.Start, "the putter was not seen still before the stroke")
		return
	}
	last := tm.series[tm.c.address.to].t
	if !tm.meanUpTo(last-tm.o.OnsetTime/2, tm.c.x, tm.c.y) {
		s.refuse(track.Start, "the putter was not seen at address")
		return
	}
	for range 3 {
		level := s.Address.X - mm(tm.o.StartDistance)
		nodes, whole := tm.grid.stretch(s.Address.T1, tm.series[tm.c.top].t)
		if !whole && !tm.staysBack(nodes) {
			s.refuse(track.Start, "the putter was hidden at the start of the stroke")
			return
		}
		u := 0.0
		if t, _, ok := cross(nodes, alongX, level, 0, false, true); ok {
			u = tm.grid.at(index(t)).u
		}
		d := tm.line(u, s.Address.U)
		t, ut, ok := cross(nodes, alongX, level, d.u(), false, true)
		if !ok {
			s.refuse(track.Start, "the start of the stroke was not found")
			return
		}
		s.tell(track.Event{Name: track.Start, T: t, U: ut, Status: track.Measured, Terms: d.terms("mean position at address", s.Address.X, level, ut)})
		if !tm.meanUpTo(t-tm.o.OnsetTime, s.Address.X, s.Address.Y) {
			break
		}
	}
	start := s.Event(track.Start).T
	if still := start - s.Address.StillFrom; still < tm.o.FullStillTime && !s.Address.FromStart {
		s.warn(WarnShortStill, fmt.Sprintf("the putter was still for only %.1f s before the stroke", still))
	} else if still < tm.o.FullStillTime {
		s.warn(WarnShortStill, fmt.Sprintf("the clip shows the putter for only %.1f s before the stroke", still))
	}
}

// comesAndGoes is the fastest that a putter comes back to its address and goes again
// before a stroke, m/s: 60 mm to and fro in an eighth of a second.
const comesAndGoes = 1

// staysBack reports whether the start lies among the nodes though they end in a hole
// before the top: the putter is then too far back on either side of each hole to have
// come to its address and gone again meanwhile.
func (tm *timing) staysBack(nodes []node) bool {
	if len(nodes) == 0 {
		return false
	}
	back := func(n node) float64 { return tm.stroke.Address.X - n.x - mm(tm.o.StartDistance) }
	last := nodes[len(nodes)-1]
	for _, n := range tm.series[:tm.c.top+1] {
		if n.t <= last.t {
			continue
		}
		if math.Min(back(last), back(n)) <= comesAndGoes*(n.t-last.t)/2 {
			return false
		}
		last = n
	}
	return true
}

// meanUpTo takes the address mean over the rest that ends at t1, given a first
// idea of where that is; false when nothing can be taken.
func (tm *timing) meanUpTo(t1, x, y float64) bool {
	ser := tm.series
	i := len(ser) - 1
	for i >= 0 && ser[i].t > t1 {
		i--
	}
	j := tm.closeSince(i, x, y, 3)
	if i-j < 3 {
		return false
	}
	still := tm.closeSince(i, x, y, 1)
	a := Address{T0: ser[j+1].t, T1: ser[i].t, StillFrom: ser[min(still+1, i)].t, FromStart: still < 0}
	a.UStill = (a.StillFrom - a.T0) / math.Sqrt(3)
	a.Place = meanPlace(tm.in.Putter, a.T0, a.T1)
	tm.stroke.Address = a
	return a.Known
}

// closeSince is the index before the frames up to the i-th that show the putter within
// StillDistance of a place, or beyond by no more than so many standard uncertainties.
func (tm *timing) closeSince(i int, x, y, doubt float64) int {
	ser := tm.series
	j := i
	for j >= 0 && math.Hypot(ser[j].x-x, ser[j].y-y) <= mm(tm.o.StillDistance)+doubt*ser[j].u {
		if j < i && ser[j+1].t-ser[j].t > tm.in.Smoothing.MaxGap {
			break
		}
		j--
	}
	return j
}

// meanPlace is the mean of the raw samples. Tremor makes neighbouring samples
// alike, so that no more than one in a tenth of a second counts as new.
func meanPlace(p track.Path, t0, t1 float64) Place {
	const fresh = 0.1 // s
	var n, x, y, xx, noise float64
	for _, q := range p.Points {
		if q.Seen && q.T >= t0 && q.T <= t1 {
			n, x, y, xx, noise = n+1, x+q.X, y+q.Y, xx+q.X*q.X, noise+q.U*q.U
		}
	}
	if n < 2 {
		return Place{}
	}
	m := x / n
	scatter := math.Max(xx/n-m*m, noise/n)
	motion := math.Max(scatter-noise/n, 0)
	u := math.Sqrt(scatter/n + motion*math.Min(1, fresh/(t1-t0+fresh)))
	return Place{X: m, Y: y / n, U: u, Known: true}
}
