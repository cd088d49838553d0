package ball

import "fmt"

// Options are the settings of the ball finder.
type Options struct {
	StillTime   float64 `key:"still_time" unit:"s" help:"a round spot must lie still this long beside the sticker to be taken for the ball; 0.25 keeps a ball that is being placed from counting"`
	MinContrast float64 `key:"min_contrast" unit:"levels" help:"least brightness of the ball's edge above its surroundings; 14 finds a white ball in shade, lower it for a dark one"`
	WidthLow    float64 `key:"width_low" unit:"" help:"smallest ball width looked for, in sticker widths; 1.45 is a 42.7 mm ball beside a 29 mm sticker"`
	WidthHigh   float64 `key:"width_high" unit:"" help:"largest ball width looked for, in sticker widths; 2.4 is a 42.7 mm ball beside an 18 mm sticker"`
	MaxSpeed    float64 `key:"max_speed" unit:"widths/s" help:"fastest ball followed, in ball widths per second; 110 is 4.7 m/s"`
	FollowFor   float64 `key:"follow_for" unit:"widths" help:"how far the ball is followed, in ball widths; 30 is 1.3 m, enough to tell the skid from the roll"`
}

// DefaultOptions returns the settings for a white or light ball on a mat or
// green.
func DefaultOptions() Options {
	return Options{StillTime: 0.25, MinContrast: 14, WidthLow: 1.45, WidthHigh: 2.4, MaxSpeed: 110, FollowFor: 30}
}

// Validate returns the first setting that cannot work.
func (o Options) Validate() error {
	for _, c := range []struct {
		key      string
		v        float64
		min, max float64
	}{
		{"still_time", o.StillTime, 0.05, 5},
		{"min_contrast", o.MinContrast, 4, 120},
		{"width_low", o.WidthLow, 0.5, o.WidthHigh},
		{"width_high", o.WidthHigh, o.WidthLow, 6},
		{"max_speed", o.MaxSpeed, 10, 500},
		{"follow_for", o.FollowFor, 5, 200},
	} {
		if !(c.v >= c.min && c.v <= c.max) {
			return fmt.Errorf("%s: must be between %g and %g (got %g)", c.key, c.min, c.max, c.v)
		}
	}
	return nil
}
