package path

import (
	"fmt"

	"strokereel/track"
)

// Options are the settings of the package.
type Options struct {
	// Window: farther samples add nothing to what is known of a moment.
	Window float64 `key:"window" unit:"s" range:"0.1..1" help:"how far from a moment samples still count for it; 0.3 s is a whole downstroke"`
	// MaxGap: 0.12 s is seven lost frames at 60 frames/s, the longest that a
	// toe or shoe usually hides the sticker.
	MaxGap float64 `key:"max_gap" unit:"s" range:"0.02..0.5" help:"longest stretch without a seen sample that is bridged; longer holes stay holes"`
	// Reach: two frames at 60 frames/s, needed at impact, where the frame
	// that shows both speeds tells little.
	Reach float64 `key:"reach" unit:"s" range:"0..0.1" help:"how far outside the seen samples, or beyond the last sample before a break, a fit may be asked for"`

	// StrokeSize and StrokeTime: with them the speed at impact of rendered strokes, which
	// is told by how a stroke bends, errs least and by its uncertainty; twice or half of
	// either changes it by less than that.
	StrokeSize      float64 `key:"stroke_size" unit:"m" range:"0.02..2" help:"typical size (standard deviation) of a stroke's motion, as expected before looking; with stroke_time it says how sharply a stroke may bend"`
	StrokeTime      float64 `key:"stroke_time" unit:"s" range:"0.1..2" help:"time over which a stroke's motion changes; shorter follows sharper bends and more noise"`
	TremorSize      float64 `key:"tremor_size" unit:"m" range:"0..0.002" help:"typical size (rms) of the tremor of hands on a putter (common practice, no source)"`
	TremorFrequency float64 `key:"tremor_frequency" unit:"Hz" range:"3..15" help:"frequency of that tremor; hands tremble at 5 to 9 Hz (from memory)"`
	TremorCoherence float64 `key:"tremor_coherence" unit:"s" range:"0.02..1" help:"time after which the tremor has forgotten its phase; 0.15 s lets its frequency vary by 1 Hz"`

	StepSpeed        float64 `key:"step_speed" unit:"m/s" range:"0.05..2" help:"typical jump (standard deviation) of the head's speed at impact; 0.4 m/s is a quarter of a fast stroke's speed"`
	StepAcceleration float64 `key:"step_acceleration" unit:"m/s^2" range:"0.1..50" help:"typical jump of the head's acceleration at impact; 2 m/s^2 is little beside a downstroke's 5 to 10, as hands do not push otherwise within a thousandth of a second"`

	OutlierFactor float64 `key:"outlier_factor" unit:"1" range:"4..20" help:"a sample farther from its neighbours than this many standard uncertainties, and farther than outlier_distance, is not believed"`
	// OutlierDistance keeps honest kinks (impact at 60 frames/s is 2 mm) and
	// an optimistic U from costing samples.
	OutlierDistance float64 `key:"outlier_distance" unit:"m" range:"0.001..0.05" help:"smallest distance from its neighbours at which a sample can be called a stray; 4 mm is twice the kink that impact leaves at 60 frames/s"`

	Launch LaunchOptions `key:"launch"`
}

// LaunchOptions are the settings of the fit of a struck ball.
type LaunchOptions struct {
	FitTime      float64 `key:"fit_time" unit:"s" range:"0.1..2" help:"how much of the ball's path after impact is fitted; 0.8 s covers the skid and enough of the roll"`
	Step         float64 `key:"step" unit:"m" range:"0.001..0.05" help:"a ball this far from its place, and going on, was struck; 4 mm is far above the noise of a ball at rest"`
	MinSpeed     float64 `key:"min_speed" unit:"m/s" range:"0.02..1" help:"slower balls were nudged, not struck; 0.15 m/s rolls 2 cm"`
	RestU        float64 `key:"rest_u" unit:"m" range:"0..0.003" help:"standard uncertainty of a resting ball's centre against a moving one's (blur, the head in front of it); 0.25 mm is 0.1 pixel at 400 pixels per metre"`
	MinFriction  float64 `key:"min_friction" unit:"1" range:"0.05..1" help:"smallest sliding friction of ball on green in the model of the skid (common practice, no source)"`
	MaxFriction  float64 `key:"max_friction" unit:"1" range:"0.05..1.5" help:"largest sliding friction of ball on green in the model of the skid (common practice, no source)"`
	MinRollShare float64 `key:"min_roll_share" unit:"1" range:"0.5..1" help:"smallest speed at the start of pure rolling over launch speed; 5/7 without spin, a little less with backspin"`
	// RollShare: between 5/7, no spin, and 6/7, half the spin of rolling.
	RollShare  float64 `key:"roll_share" unit:"1" range:"0.5..1" help:"expected speed at the start of pure rolling over launch speed of a ball that skids; 0.78 is a launch with a quarter of the spin of rolling"`
	RollShareU float64 `key:"roll_share_u" unit:"1" range:"0.02..1" help:"standard uncertainty of that share; 0.1 reaches from backspin to most of the spin of rolling"`
	// RollsAtOnce: a skid too short for the frames would raise the launch speed as one
	// likes; either a ball skids as balls do, or it is taken not to.
	RollsAtOnce float64 `key:"rolls_at_once" unit:"1" range:"0..0.9" help:"share of balls that are taken beforehand to roll from the start; 0.25 lets the frames decide"`
	RollDecel   float64 `key:"roll_deceleration" unit:"m/s^2" range:"0.2..2" help:"expected deceleration of the rolling ball; 0.65 m/s^2 is a green speed of 8.4 ft (a = 18/S ft/s^2)"`
	RollDecelU  float64 `key:"roll_deceleration_u" unit:"m/s^2" range:"0.02..1" help:"standard uncertainty of that deceleration; 0.25 m/s^2 covers 4 to 15 ft"`
	// BendU: a rectangular +-3 degrees of yaw at 3.5 m is sin(3 deg)/3.5/sqrt(3).
	BendU         float64 `key:"bend_u" unit:"1/m" range:"0.001..0.1" help:"standard uncertainty of the loss of scale per metre along the line; 0.01 per metre is a camera turned by up to 3 degrees at 3 m"`
	MinFrames     int     `key:"min_frames" unit:"1" range:"4..30" help:"fewest frames of the moving ball from which a launch is computed; below five the skid cannot be told from the speed"`
	OutlierFactor float64 `key:"outlier_factor" unit:"1" range:"3..10" help:"a frame farther from the fitted roll than this many standard uncertainties is left out"`
}

// DefaultOptions returns the settings the package was checked with.
func DefaultOptions() Options {
	return Options{
		Window: 0.3, MaxGap: 0.12, Reach: 0.035,
		StrokeSize: 0.4, StrokeTime: 0.5, TremorSize: 0.0003, TremorFrequency: 7, TremorCoherence: 0.15,
		StepSpeed: 0.4, StepAcceleration: 2,
		OutlierFactor: 8, OutlierDistance: 0.004,
		Launch: LaunchOptions{
			FitTime: 0.8, Step: 0.004, MinSpeed: 0.15, RestU: 0.00025,
			MinFriction: 0.2, MaxFriction: 0.5, MinRollShare: 0.69, RollShare: 0.78, RollShareU: 0.1, RollsAtOnce: 0.25,
			RollDecel: 0.65, RollDecelU: 0.25, BendU: 0.01, MinFrames: 5, OutlierFactor: 5,
		},
	}
}

// Validate names the first setting that makes no sense.
func (o Options) Validate() error {
	switch {
	case o.Launch.MaxFriction < o.Launch.MinFriction:
		return fmt.Errorf("launch.max_friction: must not be below min_friction, %g (got %g)", o.Launch.MinFriction, o.Launch.MaxFriction)
	}
	return track.CheckRanges(o)
}
