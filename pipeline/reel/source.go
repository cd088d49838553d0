package reel

import (
	"fmt"
	"math"

	"strokereel/overlay"
	"strokereel/overlay/scene"
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

// Roles of clips, in the order in which they are shown.
const (
	roleBefore    = "before"
	roleAfter     = "after"
	roleReference = "reference"
	roleDrill     = "drill"
)

var showOrder = []string{roleBefore, roleAfter, roleReference, roleDrill}

// roleOf is a role as package overlay knows it.
func roleOf(name string) overlay.Role {
	switch name {
	case roleBefore:
		return overlay.Before
	case roleAfter:
		return overlay.After
	case roleReference:
		return overlay.Reference
	}
	return overlay.Drill
}

// How a source was lined up.
const (
	byImpact = "impact"
	byMark   = "mark"
	byBall   = "ball"
	byClick  = "click"
	byNone   = "nothing" // a drill, of which no putt is wanted
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
		Width: r.Clip.Width, Height: r.Clip.Height, slot: chosen.Index}
	s.size = [2]float64{float64(s.Width), float64(s.Height)}
	if s.Width < 1 || s.Height < 1 {
		return Source{}, fmt.Errorf("planning the reel: the report of %q gives no size", r.Clip.File)
	}
	if r.Camera.Ruler != nil {
		s.PxPerM, s.U95 = r.Camera.Ruler.PxPerM, r.Camera.Ruler.U95
	}
	s.Notice = noNumbers(c, chosen.Stroke)
	if s.Notice != "" {
		s.Stroke = -1
	}
	if err := s.lineUp(c); err != nil && role != roleDrill {
		return Source{}, err
	} else if err != nil {
		s.ImpactS, s.LinedUpBy = blindLead, byNone // its first seconds are shown
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
		s.head = scene.SeenHead(g.scene(), objects(between(c.Findings, s.FromS, s.ToS), s))
		s.head.High = min(s.head.High, g.Y/s.PxPerM) // no higher than the picture
	}
	s.FromS, s.ToS = max(s.FromS, 0), min(s.ToS, r.Clip.DurationS)
	if !(s.ToS > s.FromS) || s.LinedUpBy != byNone && (s.ImpactS < s.FromS || s.ImpactS > s.ToS) {
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

// between is what was seen of a clip from one time to another.
func between(f lesson.Findings, from, to float64) lesson.Findings {
	all := f.Observed
	f.Observed = nil
	for _, o := range all {
		var kept []track.Sample
		for _, s := range o.Track.Samples {
			if s.T >= from && s.T <= to {
				kept = append(kept, s)
			}
		}
		o.Track.Samples = kept
		f.Observed = append(f.Observed, o)
	}
	return f
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
