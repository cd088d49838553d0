package bench

import (
	"math"

	"strokereel/track"
)

// limit says how large the 95th percentile of an error may be.
type limit struct {
	absolute float64 // in the measure's unit
	relative float64 // share of the truth
	frames   float64 // frame intervals
	floor    float64 // s, never asked to be better than this
	loose    bool    // holds for the error, not for the stated uncertainty
}

// allowed returns the limit as a number beside a truth.
func (l limit) allowed(truth, interval float64) float64 {
	return math.Max(l.floor, l.absolute+l.relative*math.Abs(truth)+l.frames*interval)
}

// Allowed is how large the error of an event or measure may be beside a truth;
// ok is false when it has no limit.
func Allowed(name string, truth, interval float64) (allowed float64, ok bool) {
	l, ok := limits[name]
	return l.allowed(truth, interval), ok
}

// limits of the events and measures that have one.
var limits = map[string]limit{
	track.Start:   {frames: 0.5, floor: 0.006},
	track.Top:     {frames: 0.5, floor: 0.006},
	track.Impact:  {frames: 0.2},
	track.Stop:    {frames: 0.5, floor: 0.006},
	track.HoldEnd: {frames: 0.5, floor: 0.006},

	track.LookUp: {frames: 2},

	"lead_wrist_top":       {absolute: 2.5},
	"lead_wrist_impact":    {absolute: 2.5},
	"lead_wrist_finish":    {absolute: 2.5},
	"elbow_spread_top":     {absolute: 0.02},
	"elbow_spread_impact":  {absolute: 0.02},
	"elbow_spread_finish":  {absolute: 0.02},
	"shoulder_rock_top":    {absolute: 1},
	"shoulder_rock_finish": {absolute: 1},
	"head_shift" + byModel: {absolute: 0.015, loose: true},

	"backstroke_length":     {relative: 0.02},
	"follow_through_length": {relative: 0.02},
	"impact_speed":          {relative: 0.025},
	"ball_speed":            {relative: 0.04},
}

// Limits of the marker's positions.
const (
	MaxRMS    = 0.3  // px per axis
	LeastSeen = 0.97 // share of the frames that show the whole sticker
)

// mostTooClose is the share of clips in which the verdict on the Y may be left
// open.
const mostTooClose = 0.20

// Limits of the pooled coverage of the 95 % intervals.
const leastCoverage, mostCoverage = 0.90, 0.99
