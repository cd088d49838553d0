package demo

import "math"

// The events of a stroke are found by walking through the motion in steps of a
// tenth of a millisecond and applying the definitions word by word. Nothing here
// knows how the motion was made.

const (
	scanStep    = 1e-4  // s
	startMove   = 2e-3  // m from the address mean
	topShort    = 1e-3  // m short of the largest backward position
	pauseLeast  = 0.150 // s between the two moments for a pause at the top
	pauseBack   = 0.025 // s before the pause's end
	stopShort   = 2e-3  // m short of the largest forward position
	returnLeast = 5e-3  // m back that end the search for it
	holdMove    = 5e-3  // m in the plane from the finish position
	finishSpan  = 0.050 // s of rest that fix the finish position
	finishStill = 1e-3  // m
	recoilSpan  = 0.8   // s after the stop
	lookTurn    = 3.0   // degrees
	lookMove    = 8e-3  // m
)

// sampled is the marker's path from one moment on.
type sampled struct {
	from float64
	p    []point // x along the line from the marker's home, y up, metres
}

func (sc *scene) sample(from, to float64) sampled {
	s := sampled{from: from}
	for i := 0; from+float64(i)*scanStep <= to; i++ {
		m := sc.marker(from + float64(i)*scanStep)
		s.p = append(s.p, point{m.x - sc.home.x, m.y - sc.home.y})
	}
	return s
}

func (s sampled) time(i int) float64 { return s.from + float64(i)*scanStep }
func (s sampled) index(t float64) int {
	return max(0, min(len(s.p)-1, int(math.Round((t-s.from)/scanStep))))
}

func (s sampled) mean(i, j int) point {
	var m point
	for _, p := range s.p[i:j] {
		m.x += p.x
		m.y += p.y
	}
	n := float64(j - i)
	return point{m.x / n, m.y / n}
}

// found holds a stroke's events; a moment that does not exist is NaN.
type found struct {
	start, top, impact, stop, holdEnd, lookUp float64
	pause                                     float64
	address, finish                           point
	back, forward                             float64 // extremes along the line from the address mean
	holdOpen                                  bool    // the clip or the next stroke came first
	recoil                                    float64
	recoilOpen                                bool
}

// findEvents scans stroke k between the rest before it and the end given.
func (sc *scene) findEvents(k int, end float64) found {
	w := sc.motion.swings[k]
	still := sc.stillFrom(k)
	s := sc.sample(still, end)
	f := found{impact: math.NaN(), lookUp: math.NaN()}
	onset := s.index(w.stroke.Onset)
	f.address = s.mean(0, max(1, onset))
	mid := s.index(w.contact)
	if k == sc.putt {
		f.impact = w.contact
	}
	low := lowest(s.p, onset, mid)
	f.back = s.p[low].x - f.address.x
	f.start = s.startBefore(low, f.address.x)
	f.top, f.pause = s.topAround(low, onset, mid)
	far := s.farthest(mid)
	f.forward = s.p[far].x - f.address.x
	stop := mid
	for s.p[stop].x < s.p[far].x-stopShort {
		stop++
	}
	f.stop = s.time(stop)
	f.finish = s.finishAfter(stop, far)
	f.holdEnd, f.holdOpen = s.leaves(stop, f.finish)
	f.recoil, f.recoilOpen = s.recoilAfter(stop)
	f.lookUp = sc.lookUp(still, f.start, end)
	return f
}

func lowest(p []point, i, j int) int {
	low := i
	for ; i <= j; i++ {
		if p[i].x < p[low].x {
			low = i
		}
	}
	return low
}

// startBefore walks back from the top to the last moment within 2 mm of the
// address mean: what came back before (a waggle) is no start.
func (s sampled) startBefore(low int, mean float64) float64 {
	for i := low; i >= 0; i-- {
		if math.Abs(s.p[i].x-mean) <= startMove {
			return s.time(i)
		}
	}
	return s.from
}

func (s sampled) topAround(low, from, to int) (top, pause float64) {
	limit := s.p[low].x + topShort
	i, j := low, low
	for k := from; k <= to; k++ {
		if s.p[k].x <= limit {
			i = min(i, k)
			j = max(j, k)
		}
	}
	a, b := s.time(i), s.time(j)
	if b-a > pauseLeast {
		return b - pauseBack, b - a
	}
	return (a + b) / 2, 0
}

func (s sampled) farthest(from int) int {
	far := from
	for i := from; i < len(s.p); i++ {
		if s.p[i].x > s.p[far].x {
			far = i
		}
		if s.p[far].x-s.p[i].x >= returnLeast {
			break
		}
	}
	return far
}

// finishAfter is the mean over the first 50 ms of rest after the stop and before
// the return, else the largest forward position.
func (s sampled) finishAfter(stop, far int) point {
	n := int(math.Round(finishSpan / scanStep))
	back := far
	for back < len(s.p) && s.p[far].x-s.p[back].x < returnLeast {
		back++
	}
	for i := stop; i+n <= back; i += 5 {
		m := s.mean(i, i+n)
		rests := true
		for _, p := range s.p[i : i+n] {
			if p.distance(m) > finishStill {
				rests = false
				break
			}
		}
		if rests {
			return m
		}
	}
	return s.p[far]
}

func (s sampled) leaves(stop int, finish point) (float64, bool) {
	for i := stop; i < len(s.p); i++ {
		if s.p[i].distance(finish) > holdMove {
			return s.time(i), false
		}
	}
	return s.time(len(s.p) - 1), true
}

func (s sampled) recoilAfter(stop int) (float64, bool) {
	var most float64
	high := s.p[stop].x
	n := int(recoilSpan / scanStep)
	for i := stop; i < len(s.p) && i <= stop+n; i++ {
		high = math.Max(high, s.p[i].x)
		most = math.Max(most, high-s.p[i].x)
	}
	return most, stop+n >= len(s.p)
}

// lookUp is the first moment after the start at which the head has turned 3
// degrees or moved 8 mm in the plane from its address mean, NaN if never.
func (sc *scene) lookUp(still, start, end float64) float64 {
	var x, y float64
	n := 0
	for t := still; t < start; t += 0.01 {
		h := sc.bodyAt(t).head
		x, y, n = x+h.x, y+h.y, n+1
	}
	x, y = x/float64(n), y/float64(n)
	for t := start; t <= end; t += scanStep {
		if sc.headTurn.at(t)/degree >= lookTurn {
			return t
		}
		h := sc.bodyAt(t).head
		if math.Hypot(h.x-x, h.y-y) >= lookMove {
			return t
		}
	}
	return math.NaN()
}

// stillFrom is where the rest before stroke k begins.
func (sc *scene) stillFrom(k int) float64 {
	w := sc.motion.swings[k]
	before := w.stroke.Onset - stillAfterWaggle
	if n := len(sc.spec.Raise); k == 0 && n > 0 {
		return max(before, sc.spec.Raise[n-1].At)
	}
	if k == 0 && len(w.stroke.Waggles) == 0 {
		return min(0, before)
	}
	return before
}
