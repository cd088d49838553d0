package settings

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"strokereel/track"
	"strokereel/track/roll"
)

// Sheet is what a lesson's sheet would say, for clips that have none.
type Sheet struct {
	Handedness  string  `key:"handedness" help:"the player's side: auto, right or left; auto takes it from the way the ball rolls, name it for strokes without a ball"`
	View        string  `key:"view" help:"where the camera stands: face-on, or other for clips that are shown and not measured"`
	Grip        string  `key:"grip" help:"how the putter is held: conventional, cross-handed, claw, arm-lock (shaft along the lead forearm) or split (hands apart); some make measures of arms and wrist meaningless"`
	Temperature float64 `key:"temperature" unit:"degC" range:"-20..50" help:"temperature of the air, for the speed of sound; 20 is a heated hall; 15 degrees off are 0.2 ms at three metres"`
	GreenSpeed  float64 `key:"green_speed" unit:"ft" range:"0..20" help:"speed of the green on the level; 0 when it is not known, then no roll is predicted"`
	RodLeft     float64 `key:"rod_left_to_middle" unit:"m" range:"0..2" help:"distance of the left and the middle band, as the camera sees them, of a rod filmed on the putt line through the ball's place for a second before the stroke; 0 when there is none"`
	RodRight    float64 `key:"rod_middle_to_right" unit:"m" range:"0..2" help:"distance of the middle and the right band of that rod"`
	Slope       float64 `key:"putt_slope" unit:"deg" range:"-6..6" help:"slope of the green along the putt, uphill positive"`
}

// DefaultSheet returns what holds for most clips.
func DefaultSheet() Sheet {
	return Sheet{Handedness: "auto", View: "face-on", Grip: "conventional", Temperature: 20}
}

// Validate returns the first setting that makes no sense.
func (s Sheet) Validate() error {
	for _, c := range []struct {
		key, value string
		allowed    []string
	}{
		{"handedness", s.Handedness, []string{"auto", "right", "left"}},
		{"view", s.View, []string{"face-on", "other"}},
		{"grip", s.Grip, Grips()},
	} {
		if !slices.Contains(c.allowed, c.value) {
			return fmt.Errorf("%s: must be one of %s (got %q)", c.key, strings.Join(c.allowed, ", "), c.value)
		}
	}
	if (s.RodLeft == 0) != (s.RodRight == 0) || s.HasRod() && math.Min(s.RodLeft, s.RodRight) < 0.05 {
		return fmt.Errorf("rod_left_to_middle: a rod has two distances, both of 5 cm or more (got %g and %g m)", s.RodLeft, s.RodRight)
	}
	if s.GreenSpeed != 0 {
		if err := roll.CheckSpeed(s.GreenSpeed); err != nil {
			return fmt.Errorf("green_speed: %w", err)
		}
	}
	return track.CheckRanges(s)
}

// HasRod reports whether a rod with bands is filmed before the stroke.
func (s Sheet) HasRod() bool { return s.RodLeft > 0 || s.RodRight > 0 }

// Rod returns the distances of its bands, from the picture's left, m.
func (s Sheet) Rod() [2]float64 { return [2]float64{s.RodLeft, s.RodRight} }

// Grips lists the ways of holding a putter that a sheet may name.
func Grips() []string { return []string{"conventional", "cross-handed", "claw", "arm-lock", "split"} }
