package ball

import (
	"fmt"

	"strokereel/track"
)

// Options are the settings of the ball finder.
type Options struct {
	StillTime   float64 `key:"still_time" unit:"s" range:"0.05..5" help:"a round spot must lie still this long beside the sticker to be taken for the ball; 0.25 keeps a ball that is being placed from counting"`
	MinContrast float64 `key:"min_contrast" unit:"levels" range:"4..120" help:"least brightness of the ball's edge above its surroundings; 14 finds a white ball in shade, lower it for a dark one"`
	WidthLow    float64 `key:"width_low" unit:"" range:"0.5..6" help:"smallest ball width looked for, in sticker widths; 1.45 is a 42.7 mm ball beside a 29 mm sticker"`
	WidthHigh   float64 `key:"width_high" unit:"" range:"0.5..6" help:"largest ball width looked for, in sticker widths; 2.4 is a 42.7 mm ball beside an 18 mm sticker"`
	MaxSpeed    float64 `key:"max_speed" unit:"widths/s" range:"10..500" help:"fastest ball followed, in ball widths per second; 110 is 4.7 m/s"`
	FollowFor   float64 `key:"follow_for" unit:"widths" range:"5..200" help:"how far the ball is followed, in ball widths; 30 is 1.3 m, enough to tell the skid from the roll"`
}

// DefaultOptions returns the settings for a white or light ball on a mat or
// green.
func DefaultOptions() Options {
	return Options{StillTime: 0.25, MinContrast: 14, WidthLow: 1.45, WidthHigh: 2.4, MaxSpeed: 110, FollowFor: 30}
}

// Validate returns the first setting that cannot work.
func (o Options) Validate() error {
	if o.WidthHigh <= o.WidthLow {
		return fmt.Errorf("width_high: must be above width_low, %g (got %g)", o.WidthLow, o.WidthHigh)
	}
	return track.CheckRanges(o)
}
