package phase

import (
	"fmt"

	"strokereel/track"
	"strokereel/track/path"
)

// Click is a sharp sound, its time corrected for the sound's travel. U includes
// what is not known of the device's offset.
type Click struct {
	T, U     float64 // s
	Loudness float64
}

// Input is what is known of one clip.
type Input struct {
	Putter         track.Path    // raw observations of the marker
	Launches       []path.Launch // one per struck ball, in any order
	Clicks         []Click
	FrameInterval  float64 // s; 0 takes the median of the path
	Exposure       float64 // s, of a frame; 0 when not known
	Slow           float64 // m, standard uncertainty of a position that neighbouring frames share (pixel phase, a codec that lets slow motion lag), so that averaging them does not lower it
	Own            float64 // share of a position's U that is new in each frame; 0 when frames share nothing
	ULag           float64 // m, standard uncertainty of how far a codec lets the marker lag when it moves slowly
	DirectionKnown bool    // false: x may point away from the target
	Smoothing      path.Options
}

// own is the share of a position's U that a fit to many lowers.
func (in Input) own() float64 {
	if in.Own > 0 {
		return in.Own
	}
	return 1
}

// FrameExposure is the exposure of a frame, s: a whole frame when it is not known.
func (in Input) FrameExposure() float64 {
	if in.Exposure > 0 {
		return in.Exposure
	}
	return in.FrameInterval
}

// Codes of warnings.
const (
	WarnShortStill = "short_still" // the putter was still for less than a second
	WarnWitnesses  = "witnesses"   // the witnesses of impact disagree
	WarnPause      = "pause"       // the stroke paused at the top
	WarnClick      = "click"       // a click was heard but no ball was seen leaving
)

// Warning is something a person should know about a stroke.
type Warning struct{ Code, Text string }

// Place is a position along the line, of which U is the standard uncertainty
// without that of the scale; Y is perpendicular to the line.
type Place struct {
	X, Y, U float64 // m
	Known   bool
}

// Address is the rest before a stroke.
type Address struct {
	Place
	T0, T1    float64 // s, the stretch the mean was taken over
	StillFrom float64 // s, since when the putter stayed close to that mean
	UStill    float64 // s, of that moment, as noise may look like motion
	FromStart bool    // the putter was already still when the clip began
}

// Stroke is one stroke of a clip and its events.
type Stroke struct {
	Index    int
	Kind     string // track.Putt, track.Practice or track.Unusable
	Reason   string // why nothing of the putter could be measured; Unusable only
	Reversed bool   // the input's x pointed away from the target

	Events  []track.Event // one per track.EventNames, in that order
	Address Address
	Top     Place   // largest backward position
	Forward Place   // largest forward position before the first return
	Finish  Place   // where the putter was held
	Pause   float64 // s between the two moments of the top, when it is a pause
	Launch  int     // index in Input.Launches, -1 without a ball

	ClipEnd  float64 // s, last moment at which the putter can be followed
	Warnings []Warning
}

// Event returns the event of that name.
func (s Stroke) Event(name string) track.Event {
	for _, e := range s.Events {
		if e.Name == name {
			return e
		}
	}
	return track.Event{Name: name, Status: track.NotMeasured, Reason: "this version does not know the event"}
}

// set replaces the event of the same name.
func (s *Stroke) set(e track.Event) {
	for i := range s.Events {
		if s.Events[i].Name == e.Name {
			s.Events[i] = e
		}
	}
}

// mostU is the largest standard uncertainty, s, of an event that is told: the parts of
// a stroke take two to nine tenths of a second.
const mostU = 0.1

// tell sets an event that was measured, or refuses one whose moment the picture tells
// too badly.
func (s *Stroke) tell(e track.Event) {
	if e.U > mostU {
		s.refuse(e.Name, fmt.Sprintf("the picture tells it to no better than %.1f s", 1.96*e.U))
		return
	}
	s.set(e)
}

func (s *Stroke) refuse(name, reason string) {
	s.set(track.Event{Name: name, Status: track.NotMeasured, Reason: reason})
}

func (s *Stroke) warn(code, text string) {
	s.Warnings = append(s.Warnings, Warning{code, text})
}

// Toward returns the path with x toward the target of this stroke.
func (s Stroke) Toward(p track.Path) track.Path {
	if !s.Reversed {
		return p
	}
	return mirrored(p)
}

func mirrored(p track.Path) track.Path {
	out := track.Path{Object: p.Object, Points: append([]track.Point(nil), p.Points...)}
	for i := range out.Points {
		out.Points[i].X = -out.Points[i].X
	}
	return out
}
