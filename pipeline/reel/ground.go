package reel

import (
	"fmt"
	"math"

	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// ballRadius is half the least diameter of a ball, m (Rules of Golf, part 4 of
// the equipment rules: 42.67 mm).
const ballRadius = 0.04267 / 2

// footBelow is how far below the centre of the ball the ground of the marker's
// plane appears, in ball radii: the sticker stands a little nearer to the
// camera than the ball, so its foot is seen a little lower.
const footBelow = 1.24

// ground finds the putt line in the picture from the path that is known in px
// and in metres.
func ground(f lesson.Findings, s lesson.Stroke) (Ground, error) {
	o := lesson.Of(f.Observed, track.Putter)
	dir, ok := along(o)
	if !ok || f.Report.Camera.Ruler == nil {
		return Ground{}, fmt.Errorf("planning the reel: the tracks of %q do not give the putt line: measure the clip again", f.Report.Clip.File)
	}
	k := f.Report.Camera.Ruler.PxPerM
	x, y, ok := address(o.Track, s.Event(track.Start).T)
	if !ok {
		return Ground{}, fmt.Errorf("planning the reel: the putter was not seen at address in %q", f.Report.Clip.File)
	}
	g := Ground{X: x, Y: y + ballRadius*k, DX: k * real(dir), DY: k * imag(dir)}
	for _, b := range lesson.Of(f.Observed, track.Ball).Track.Samples {
		if b.Seen {
			g.Y = max(g.Y, b.Y+footBelow*ballRadius*k)
			break
		}
	}
	return g, nil
}

// along is the unit vector of the putt line in the picture: the turn that takes
// the path in metres best to the path in px. Up in metres may be either way
// around from the line, as for a left-hander, so both are tried.
func along(o lesson.Observed) (dir complex128, ok bool) {
	px := map[int]complex128{}
	for _, s := range o.Track.Samples {
		if s.Seen {
			px[s.Frame] = complex(s.X, s.Y)
		}
	}
	var n, meanM, meanPx complex128
	for _, p := range o.Path.Points {
		if q, seen := px[p.Frame]; seen {
			n, meanM, meanPx = n+1, meanM+complex(p.X, p.Y), meanPx+q
		}
	}
	if real(n) < 2 {
		return 0, false
	}
	meanM, meanPx = meanM/n, meanPx/n
	var same, turned complex128
	for _, p := range o.Path.Points {
		if q, seen := px[p.Frame]; seen {
			m := complex(p.X, p.Y) - meanM
			same += complex(real(m), -imag(m)) * (q - meanPx)
			turned += m * (q - meanPx)
		}
	}
	if abs(turned) > abs(same) {
		same = turned
	}
	if abs(same) == 0 {
		return 0, false
	}
	return same / complex(abs(same), 0), true
}

func abs(z complex128) float64 { return math.Hypot(real(z), imag(z)) }

// settled is how long before the start the putter is taken to be at address, s.
const settled = 0.3

// address is the mean position of the marker just before the start.
func address(tr track.Track, start float64) (x, y float64, ok bool) {
	n := 0.0
	for _, s := range tr.Samples {
		if s.Seen && s.T <= start && s.T >= start-settled {
			x, y, n = x+s.X, y+s.Y, n+1
		}
	}
	return x / max(n, 1), y / max(n, 1), n > 0
}
