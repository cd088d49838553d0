package reel

import (
	"math"

	"strokereel/overlay"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// turn makes the pictures of a camera that did not stand upright level: they are
// turned about their middle, and what then lacks a corner is cut off.
type turn struct {
	w, h     float64 // of what is left
	sin, cos float64
	mid, cut [2]float64 // middle of the picture, and what is taken off at the left and at the top
}

// newTurn turns pictures of w x h px clockwise.
func newTurn(w, h int, deg float64) turn {
	t := turn{w: float64(w), h: float64(h)}
	t.mid = [2]float64{t.w / 2, t.h / 2}
	t.sin, t.cos = math.Sincos(deg * math.Pi / 180)
	// The largest picture of the same shape within the turned one.
	s := math.Abs(t.sin)
	k := min(t.w/(t.w*t.cos+t.h*s), t.h/(t.w*s+t.h*t.cos))
	t.cut = [2]float64{t.w * (1 - k) / 2, t.h * (1 - k) / 2}
	t.w, t.h = k*t.w, k*t.h
	return t
}

// at is where a place of the picture lies in what is left, both counted from the
// corner of the first pixel.
func (t turn) at(x, y float64) (float64, float64) {
	x, y = x-t.mid[0], y-t.mid[1]
	return t.mid[0] - t.cut[0] + t.cos*x - t.sin*y, t.mid[1] - t.cut[1] + t.sin*x + t.cos*y
}

// back is the inverse of at.
func (t turn) back(x, y float64) (float64, float64) {
	x, y = x+t.cut[0]-t.mid[0], y+t.cut[1]-t.mid[1]
	return t.mid[0] + t.cos*x + t.sin*y, t.mid[1] - t.sin*x + t.cos*y
}

// point is at for px, which count from the centre of the first pixel.
func (t turn) point(x, y float64) (float64, float64) {
	x, y = t.at(x+0.5, y+0.5)
	return x - 0.5, y - 0.5
}

// lean is how far the pictures of a camera are to be turned clockwise, degrees:
// its roll where that is known better than that it is none.
func lean(c lesson.Camera) float64 {
	r := c.RollDeg
	if r.Source != "measured" || r.Value == nil || r.U95 == nil || math.Abs(*r.Value) < *r.U95/lesson.Coverage {
		return 0
	}
	return *r.Value
}

// turned is a source as its pictures show it when they are turned.
func (s Source) turned(deg float64) Source {
	t := newTurn(s.Width, s.Height, deg)
	s.size = [2]float64{t.w, t.h}
	if s.Ground != nil {
		g := *s.Ground
		g.X, g.Y = t.point(g.X, g.Y)
		g.DX, g.DY = t.cos*g.DX-t.sin*g.DY, t.sin*g.DX+t.cos*g.DY
		s.Ground = &g
	}
	return s
}

// mirrored is a source as its pictures show it from left to right.
func (s Source) mirrored() Source {
	if s.Ground != nil {
		g := *s.Ground
		g.X, g.DX = float64(s.Width-1)-g.X, -g.DX
		s.Ground = &g
	}
	return s
}

// shown is a source as the pane shows its pictures.
func (p Pane) shown(s Source) Source {
	if p.Mirror {
		s = s.mirrored()
	}
	return s.turned(p.Turn)
}

// point is where a place of the upright picture of a source, px, lies in what
// the pane shows.
func (p Pane) point(s Source, x, y float64) (float64, float64) {
	if p.Mirror {
		x = float64(s.Width-1) - x
	}
	return newTurn(s.Width, s.Height, p.Turn).point(x, y)
}

// tracks are observations of a source as the pane shows them.
func (p Pane) tracks(s Source, all []lesson.Observed) []lesson.Observed {
	if !p.Mirror && p.Turn == 0 {
		return all
	}
	out := make([]lesson.Observed, len(all))
	for i, o := range all {
		o.Track.Samples = append([]track.Sample(nil), o.Track.Samples...)
		for k := range o.Track.Samples {
			q := &o.Track.Samples[k]
			q.X, q.Y = p.point(s, q.X, q.Y)
		}
		out[i] = o
	}
	return out
}

// Place is where a place of the upright picture of a source, px, lies in the
// pane's box.
func (p Pane) Place(s Source, x, y float64) (float64, float64) {
	x, y = p.point(s, x, y)
	at := overlay.View{Scale: p.View.Scale, X: p.View.X, Y: p.View.Y}.At(x, y)
	return at.X, at.Y
}
