package tracktest

import "math"

const tick = 1e-4 // s

// Truth is what the definitions give for a stroke.
type Truth struct {
	Start, Top, Impact, Stop, HoldEnd float64 // s
	HoldOpen                          bool    // the clip ended first
	Address, Back, Through            float64 // m, mean place and lengths
	Speed, Recoil                     float64 // m/s just before impact, m
	Pause                             float64 // s between the moments around the top
}

// Truth walks through the stroke.
func (s *Stroke) Truth() Truth {
	n := int(s.Length / tick)
	xs, ys := make([]float64, n+1), make([]float64, n+1)
	for i := range xs {
		xs[i], ys[i] = s.At(float64(i) * tick)
	}
	tr := Truth{Impact: s.Impact}
	from := 0
	if s.Waggled {
		from = int((s.onset - 1) / tick)
	}
	onset, impact := int(s.onset/tick), int(s.Impact/tick)
	for _, x := range xs[from:onset] {
		tr.Address += x / float64(onset-from)
	}
	low := onset
	for i := onset; i <= impact; i++ {
		if xs[i] < xs[low] {
			low = i
		}
	}
	tr.Back = tr.Address - xs[low]
	start := low
	for xs[start] < tr.Address-0.002 {
		start--
	}
	tr.Start = float64(start) * tick
	first, last := low, low
	for i := start; i <= impact; i++ {
		if xs[i] <= xs[low]+0.001 {
			first, last = min(first, i), max(last, i)
		}
	}
	tr.Top = float64(first+last) / 2 * tick
	tr.Pause = float64(last-first) * tick
	if tr.Pause > 0.150 {
		tr.Top = float64(last)*tick - 0.025
	}
	x0, _ := s.At(s.Impact - 2e-6)
	x1, _ := s.At(s.Impact - 1e-6)
	tr.Speed = (x1 - x0) / 1e-6
	s.finish(&tr, xs, ys, impact)
	return tr
}

func (s *Stroke) finish(tr *Truth, xs, ys []float64, impact int) {
	far := impact
	for i := impact; i < len(xs) && xs[far]-xs[i] < 0.005; i++ {
		if xs[i] > xs[far] {
			far = i
		}
	}
	tr.Through = xs[far] - tr.Address
	stop := impact
	for xs[stop] < xs[far]-0.002 {
		stop++
	}
	tr.Stop = float64(stop) * tick
	fx, fy := xs[far], ys[far]
	const span = 500
	for i := stop; i+span < len(xs); i += 10 {
		var mx, my, worst float64
		for k := i; k < i+span; k++ {
			mx, my = mx+xs[k]/span, my+ys[k]/span
		}
		for k := i; k < i+span; k++ {
			worst = math.Max(worst, math.Hypot(xs[k]-mx, ys[k]-my))
		}
		if worst <= 0.001 {
			fx, fy = mx, my
			break
		}
	}
	end := stop
	for end < len(xs) && math.Hypot(xs[end]-fx, ys[end]-fy) <= 0.005 {
		end++
	}
	tr.HoldEnd, tr.HoldOpen = float64(end)*tick, end == len(xs)
	high := xs[stop]
	for i := stop; i < len(xs) && i <= stop+8000; i++ {
		high = math.Max(high, xs[i])
		tr.Recoil = math.Max(tr.Recoil, high-xs[i])
	}
}
