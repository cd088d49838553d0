package reel

import (
	"fmt"
	"math"

	"strokereel/pipeline/lesson"
	"strokereel/track"
	"strokereel/track/sound"
)

// Clip is a clip that a reel can show: what was measured of it, and what else
// is known of its impact.
type Clip struct {
	lesson.Findings
	Mark  *float64 // s, set by a person; it always wins
	Click *float64 // s, loudest sharp sound
}

// How a source was lined up.
const (
	byImpact = "impact"
	byMark   = "mark"
	byBall   = "ball"
	byClick  = "click"
)

// What is shown of a clip around its impact when no stroke was measured, s:
// longer than any putting stroke takes from its start, and time to see the hold.
const (
	blindLead = 2.5
	blindTail = 3.0
)

// source decides what is shown of a clip.
func source(role string, clips []Clip, chosen lesson.Typical, o Options) (Source, error) {
	c := clips[chosen.Index]
	r := c.Report
	s := Source{Role: role, File: r.Clip.File, SHA256: r.Clip.SHA256, Stroke: chosen.Stroke,
		width: r.Clip.Width, height: r.Clip.Height, slot: chosen.Index}
	if s.width < 1 || s.height < 1 {
		return Source{}, fmt.Errorf("planning the reel: the report of %q gives no size", r.Clip.File)
	}
	if r.Camera.Ruler != nil {
		s.PxPerM, s.U95 = r.Camera.Ruler.PxPerM, r.Camera.Ruler.U95
	}
	s.Notice = noNumbers(c, chosen.Stroke)
	if s.Notice != "" {
		s.Stroke = -1
	}
	if err := s.lineUp(c); err != nil {
		return Source{}, err
	}
	s.FromS, s.ToS = s.ImpactS-blindLead, s.ImpactS+blindTail
	if s.Stroke >= 0 {
		stroke := r.Strokes[s.Stroke]
		s.FromS, s.ToS = shown(stroke, o)
		g, err := ground(c.Findings, stroke)
		if err != nil {
			return Source{}, err
		}
		s.Ground = &g
	}
	s.FromS, s.ToS = max(s.FromS, 0), min(s.ToS, r.Clip.DurationS)
	if !(s.ToS > s.FromS) || s.ImpactS < s.FromS || s.ImpactS > s.ToS {
		return Source{}, fmt.Errorf("planning the reel: the impact at %.2f s does not lie in %q", s.ImpactS, r.Clip.File)
	}
	return s, nil
}

// noNumbers says in a sentence why a clip is shown without numbers, empty when
// it has some.
func noNumbers(c Clip, stroke int) string {
	r := c.Report
	if r.Clip.View != "face-on" {
		return "No numbers: the clip was not filmed from the front."
	}
	if stroke >= 0 && r.Camera.Ruler != nil {
		e := r.Strokes[stroke]
		if e.Event(track.Start).Known() && e.Event(track.Impact).Known() {
			return ""
		}
	}
	for _, w := range r.Warnings {
		switch w.Code {
		case "no_sticker":
			return "No numbers: no sticker was found on the putter."
		case "no_ball":
			return "No numbers: no ball was found beside the putter."
		case "no_stroke", "nothing_moves":
			return "No numbers: no stroke was found by the sticker."
		}
	}
	return "No numbers: no putt could be measured in this clip."
}

// lineUp finds the moment of impact by the best witness there is.
func (s *Source) lineUp(c Clip) error {
	switch {
	case c.Mark != nil:
		s.ImpactS, s.LinedUpBy = *c.Mark, byMark
		return nil
	case s.Stroke >= 0:
		s.ImpactS, s.LinedUpBy = c.Report.Strokes[s.Stroke].Event(track.Impact).T, byImpact
		return nil
	}
	if t, ok := firstMotion(lesson.Of(c.Observed, track.Ball).Track); ok {
		s.ImpactS, s.LinedUpBy = t, byBall
		return nil
	}
	if c.Click != nil {
		s.ImpactS, s.LinedUpBy = *c.Click-onTheWay(c.Report.Camera), byClick
		return nil
	}
	return fmt.Errorf("planning the reel: nothing shows when the ball is struck in %q: mark the moment by hand", c.Report.Clip.File)
}

// hall is the temperature of the air, degC, a sound is taken to travel in: 15
// degrees off are a fortieth of a frame at three metres.
const hall = 20

// onTheWay is how long the sound of the impact took to the phone.
func onTheWay(c lesson.Camera) float64 {
	if c.DistanceM.Value == nil {
		return 0
	}
	return sound.Travel(*c.DistanceM.Value, hall)
}

// leftRest is how far, in standard uncertainties of a ball's position, it must
// have gone to have moved.
const leftRest = 8

// firstMotion is when a ball left the place where it was seen first: between
// the last frame at rest and the first away from it.
func firstMotion(tr track.Track) (t float64, ok bool) {
	var home, last track.Sample
	for _, s := range tr.Samples {
		if !s.Seen {
			continue
		}
		if !home.Seen {
			home, last = s, s
			continue
		}
		if math.Hypot(s.X-home.X, s.Y-home.Y) > leftRest*max(s.U, home.U) {
			return (last.T + s.T) / 2, true
		}
		last = s
	}
	return 0, false
}

// shown is the stretch of a clip around a measured stroke.
func shown(s lesson.Stroke, o Options) (from, to float64) {
	from = s.Event(track.Start).T - o.Lead
	stop, impact := s.Event(track.Stop), s.Event(track.Impact)
	if !stop.Known() {
		return from, impact.T + blindTail
	}
	to = stop.T
	for _, name := range []string{track.HoldEnd, track.LookUp} {
		if e := s.Event(name); e.Known() {
			to = max(to, e.T)
		}
	}
	return from, min(to+o.Tail, stop.T+o.MostTail)
}

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
