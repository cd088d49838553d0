package phase

import (
	"fmt"

	"strokereel/track"
)

// Options are the settings of the package. Those that define an event (start,
// top, stop and hold distances) are part of the product's definitions: another
// value measures another thing.
type Options struct {
	StartDistance  float64 `key:"start_distance" unit:"mm" range:"0.5..20" help:"the stroke starts this far from the address mean; 2 mm is four times the tremor of hands"`
	TopDistance    float64 `key:"top_distance" unit:"mm" range:"0.2..10" help:"the top is the middle of the moments this far short of the largest backward position; 1 mm is where the flanks are steep enough to time"`
	PauseTime      float64 `key:"pause_time" unit:"s" range:"0.05..1" help:"a top that lasts longer is a pause; 0.15 s is twice the longest top of a stroke that turns at once"`
	PauseLead      float64 `key:"pause_lead" unit:"s" range:"0..0.1" help:"after a pause the top is this much before the later moment; 0.025 s is the usual half width of a top that turns at once"`
	StopDistance   float64 `key:"stop_distance" unit:"mm" range:"0.5..20" help:"the putter has stopped this close to its largest forward position; 2 mm as for the start"`
	ReturnDistance float64 `key:"return_distance" unit:"mm" range:"2..50" help:"a return of this much ends the follow-through; 5 mm is more than tremor and breathing move a held putter"`
	HoldDistance   float64 `key:"hold_distance" unit:"mm" range:"2..50" help:"the hold ends this far from the finish position, in the plane; 5 mm is more than tremor and breathing move a held putter"`
	FinishTime     float64 `key:"finish_time" unit:"s" range:"0.02..0.5" help:"the finish position is the mean over the first stretch of this length in which the putter stays within finish_distance; 0.05 s is three frames at 60 frames/s"`
	FinishDistance float64 `key:"finish_distance" unit:"mm" range:"0.2..5" help:"how still the putter must be for its finish position to be taken; 1 mm spans a tremor of 0.5 mm"`

	StillDistance float64 `key:"still_distance" unit:"mm" range:"0.5..10" help:"a putter that stays this close to its mean is still; 1.5 mm is three times the tremor of hands"`
	StillTime     float64 `key:"still_time" unit:"s" range:"0.1..2" help:"shortest rest that can be an address; 0.25 s is shorter than any address but longer than a turn"`
	FullStillTime float64 `key:"full_still_time" unit:"s" range:"0.2..5" help:"a shorter rest before the stroke is reported, as it costs accuracy; one second is the filming rule"`
	// OnsetTime: a stroke needs 0.06 to 0.2 s to cover the first 2 mm.
	OnsetTime   float64 `key:"onset_time" unit:"s" range:"0..0.5" help:"the address mean leaves out this much before the start, in which the putter already creeps; 0.2 s is the slowest take-away seen in simulations"`
	MinBack     float64 `key:"min_back" unit:"mm" range:"5..200" help:"shortest backstroke of a struck ball; 15 mm is shorter than any tap-in"`
	MinPractice float64 `key:"min_practice" unit:"mm" range:"10..500" help:"shortest backstroke of a stroke without a ball; 60 mm is larger than a waggle"`
	MinThrough  float64 `key:"min_through" unit:"mm" range:"5..200" help:"how far past the address a swing must go; 20 mm is farther than a waggle overshoots"`
	MinSpeed    float64 `key:"min_speed" unit:"m/s" range:"0.05..2" help:"slowest swing through the address; 0.25 m/s rolls a ball half a metre on a quick green"`
	MaxBackTime float64 `key:"max_back_time" unit:"s" range:"0.5..10" help:"longest time from address to top, with a pause; 3 s is four times the usual one"`
	MaxDownTime float64 `key:"max_down_time" unit:"s" range:"0.2..5" help:"longest time from top to address; 1.2 s is four times the usual one"`
	ArcSlope    float64 `key:"arc_slope" unit:"1" range:"0.05..2" help:"how much a stroke may rise per metre along the line; 0.6 leaves room for a wrist that lifts the head by 20 cm at the end of a half-metre swing"`
	ArcFloor    float64 `key:"arc_floor" unit:"mm" range:"5..100" help:"rise allowed to any stroke, on top of arc_slope; 30 mm leaves room for a tilted camera"`

	MaxGapToBall float64 `key:"max_gap_to_ball" unit:"mm" range:"0..50" help:"largest distance of face and ball at address; 12 mm, with every gap from zero taken as likely (common practice, no source)"`
	// ClickOffset is not added here: clicks carry it in U.
	ClickReach  float64 `key:"click_reach" unit:"s" range:"0.01..0.5" help:"a click farther than this from the swing's impact does not belong to it; 0.12 s is the largest known offset of a phone"`
	LaunchReach float64 `key:"launch_reach" unit:"s" range:"0.02..0.5" help:"a launch farther than this from the swing's pass over the address does not belong to it; 0.12 s covers a ball placed a hand's breadth ahead"`
	MinStep     float64 `key:"min_step" unit:"1" range:"2..10" help:"the speed step is a witness when it is this many times its standard uncertainty; at 4 chance makes one in 30000"`
	MaxStep     float64 `key:"max_step" unit:"1" range:"0.1..0.9" help:"largest believable loss of head speed at impact; 0.45 is twice what a usual head loses"`
	Disagree    float64 `key:"disagree" unit:"1" range:"0.0001..0.2" help:"witnesses disagree when chance would make a chi-square as large with less than this probability; 0.01 is one stroke in a hundred"`
}

// DefaultOptions returns the settings the package was checked with.
func DefaultOptions() Options {
	return Options{
		StartDistance: 2, TopDistance: 1, PauseTime: 0.15, PauseLead: 0.025,
		StopDistance: 2, ReturnDistance: 5, HoldDistance: 5, FinishTime: 0.05, FinishDistance: 1,
		StillDistance: 1.5, StillTime: 0.25, FullStillTime: 1, OnsetTime: 0.2,
		MinBack: 15, MinPractice: 60, MinThrough: 20, MinSpeed: 0.25,
		MaxBackTime: 3, MaxDownTime: 1.2, ArcSlope: 0.6, ArcFloor: 30,
		MaxGapToBall: 12, ClickReach: 0.12, LaunchReach: 0.12, MinStep: 4, MaxStep: 0.45, Disagree: 0.01,
	}
}

// Validate names the first setting that makes no sense.
func (o Options) Validate() error {
	switch {
	case o.PauseLead > o.PauseTime/2:
		return fmt.Errorf("pause_lead: must not be above half of pause_time, %g (got %g)", o.PauseTime/2, o.PauseLead)
	case o.ReturnDistance < o.StopDistance:
		return fmt.Errorf("return_distance: must not be below stop_distance, %g (got %g)", o.StopDistance, o.ReturnDistance)
	}
	return track.CheckRanges(o)
}

// mm turns a setting in millimetres into metres.
func mm(v float64) float64 { return v / 1000 }
