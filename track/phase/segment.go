package phase

import (
	"math"

	"strokereel/track"
	"strokereel/track/path"
)

// series is the motion at the frames in which it can be told, for telling
// strokes apart; events are timed on a grid.
type series []node

func newSeries(p track.Path, c *path.Curve) series {
	var s series
	for _, q := range p.Points {
		if !q.Seen {
			continue
		}
		if f, err := c.At(q.T); err == nil {
			s = append(s, node{t: q.T, x: f.X, y: f.Y, vx: f.VX, u: f.U(0), ok: true})
		}
	}
	return s
}

// rest is a stretch of a series in which the putter is still.
type rest struct{ from, to int }

// rests returns the stretches of at least StillTime in which the putter keeps
// within StillDistance of a place, drifting slowly at most.
func (s series) rests(o Options) []rest {
	var found []rest
	from := 0
	for to := range s {
		for s[to].t-s[from].t > o.StillTime*1.5 {
			from++
		}
		i := to // the shortest tail that is long enough
		for i > from && s[to].t-s[i].t < o.StillTime-1e-9 {
			i--
		}
		if s[to].t-s[i].t < o.StillTime-1e-9 || !s.still(i, to, o) {
			continue
		}
		if n := len(found); n > 0 && found[n-1].to >= i {
			found[n-1].to = to
		} else {
			found = append(found, rest{i, to})
		}
	}
	return found
}

func (s series) still(i, j int, o Options) bool {
	minX, maxX, minY, maxY, u := s[i].x, s[i].x, s[i].y, s[i].y, 0.0
	for _, n := range s[i : j+1] {
		minX, maxX = math.Min(minX, n.x), math.Max(maxX, n.x)
		minY, maxY = math.Min(minY, n.y), math.Max(maxY, n.y)
		u = math.Max(u, n.u)
	}
	reach := 2*mm(o.StillDistance) + 3*u
	gaps := s[j].t-s[i].t < 1.5*o.StillTime
	return gaps && maxX-minX <= reach && maxY-minY <= reach
}

// mean of the last StillTime of a rest.
func (s series) mean(r rest, o Options) (x, y float64) {
	n := 0.0
	for i := r.to; i >= r.from && s[r.to].t-s[i].t <= o.StillTime; i-- {
		x, y, n = x+s[i].x, y+s[i].y, n+1
	}
	return x / n, y / n
}

// turn is an extreme of x from which the putter came back by the hysteresis.
type turn struct {
	i       int
	forward bool // a largest x
}

// turns returns the alternating extremes of x.
func (s series) turns(hysteresis float64) []turn {
	var out []turn
	if len(s) == 0 {
		return nil
	}
	lo, hi, dir := 0, 0, 0
	for i := range s {
		if s[i].x < s[lo].x {
			lo = i
		}
		if s[i].x > s[hi].x {
			hi = i
		}
		if dir >= 0 && s[hi].x-s[i].x > hysteresis {
			out = append(out, turn{hi, true})
			dir, lo = -1, i
			hi = i
		}
		if dir <= 0 && s[i].x-s[lo].x > hysteresis {
			out = append(out, turn{lo, false})
			dir, hi = 1, i
			lo = i
		}
	}
	if dir > 0 {
		out = append(out, turn{hi, true}) // still on its way forward at the end
	} else if dir < 0 {
		out = append(out, turn{lo, false})
	}
	return out
}

// swing is a forward swing and the address it came from.
type swing struct {
	address rest
	settled bool    // it came from a still address
	x, y    float64 // m, mean position at address
	top     int
	pass    float64 // s, when it passed the address, or was quickest
	far     int
	back    float64 // m
}

// swings returns the swings that came from a still address and went through it.
func (s series) swings(o Options) []swing {
	rests := s.rests(o)
	turns := s.turns(mm(o.MinBack))
	var out []swing
	for k, b := range turns {
		if b.forward || k+1 >= len(turns) {
			continue
		}
		if w, ok := s.swing(b.i, turns[k+1].i, rests, o); ok {
			out = append(out, w)
		}
	}
	return out
}

func (s series) swing(top, far int, rests []rest, o Options) (swing, bool) {
	for k := len(rests) - 1; k >= 0; k-- {
		r := rests[k]
		if r.to >= top || s[top].t-s[r.to].t > o.MaxBackTime {
			if r.to >= top {
				continue
			}
			break
		}
		x, y := s.mean(r, o)
		if x-s[top].x < mm(o.MinBack) {
			continue // a pause on the way, or at the top
		}
		w := swing{address: r, settled: true, x: x, y: y, top: top, far: far, back: x - s[top].x}
		return w, s.goesThrough(&w, o)
	}
	return swing{}, false
}

// goesThrough reports whether the way from the address to the farthest forward
// point is that of a stroke, and notes when it passed the address.
func (s series) goesThrough(w *swing, o Options) bool {
	if s[w.far].x-w.x < mm(o.MinThrough) {
		return false
	}
	for i := w.address.to; i <= w.top; i++ {
		if s[i].x < s[w.top].x || s[i].x > w.x+math.Max(mm(o.MinThrough), w.back/2) {
			return false
		}
	}
	passed := false
	for i := w.address.to; i <= w.far; i++ {
		if math.Abs(s[i].y-w.y) > mm(o.ArcFloor)+o.ArcSlope*math.Abs(s[i].x-w.x) {
			return false
		}
		if i > w.top && !passed && s[i].x >= w.x {
			a, b := s[i-1], s[i]
			w.pass = a.t + (b.t-a.t)*(w.x-a.x)/(b.x-a.x)
			speed := (b.x - a.x) / (b.t - a.t)
			if speed < o.MinSpeed || w.pass-s[w.top].t > o.MaxDownTime {
				return false
			}
			passed = true
		}
	}
	return passed
}

// loose returns the swing that was under way at the launch of a ball, when no
// still address led to it.
func (s series) loose(launch float64, o Options) (swing, bool) {
	turns := s.turns(mm(o.MinBack))
	for k := range turns {
		last := k+1 >= len(turns)
		if turns[k].forward || last || s[turns[k].i].t > launch || s[turns[k+1].i].t < launch {
			continue
		}
		if b := turns[k].i; launch-s[b].t <= o.MaxDownTime {
			return swing{top: b, far: turns[k+1].i, pass: launch}, true
		}
	}
	return swing{}, false
}
