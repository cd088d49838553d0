package roll

import (
	"fmt"

	"strokereel/track"
)

// Options are the settings of the package: published numbers of which there is
// more than one, each with its two ends, and what is known beforehand of
// players.
type Options struct {
	// The booklet's and Holmes's 6.00 ft/s; a classroom sheet of the USGA gives
	// 6.4 ft/s. Deceleration differs by 13.8 %.
	RampSpeed    float64 `key:"ramp_speed" unit:"m/s" range:"1.5..2.3" help:"speed with which a ball leaves the ramp that green speeds are read with; 1.8288 is 6.00 ft/s (Holmes 1986, as quoted)"`
	RampSpeedMax float64 `key:"ramp_speed_max" unit:"m/s" range:"1.5..2.3" help:"the highest published speed of the ramp, 6.4 ft/s; the width between the two is part of every distance that comes from a green speed"`
	ReadingError float64 `key:"reading_error" unit:"ft" range:"0.05..3" help:"how far the green speed of the sheet may be off either way; 0.5 for a mean over both directions, take 1 for a single reading (Science and Golf, doi 10.4324/9780203715000-70: about 12 in under normal conditions)"`
	SlopeError   float64 `key:"slope_error" unit:"deg" range:"0..2" help:"how far the slope may be off either way; 0.3 is a floor that is called level"`
	// Solid-sphere rolling gives 5/7; see Ground.SlopeShare.
	SlopeShareMin  float64 `key:"slope_share_min" unit:"1" range:"0.5..1" help:"smallest share of a slope's pull that a rolling ball feels; 5/7 is a rigid sphere"`
	SlopeShareMax  float64 `key:"slope_share_max" unit:"1" range:"0.5..1" help:"largest share of a slope's pull that a rolling ball feels; 1 is a ball that nothing turns, and grass lies between"`
	FrictionMin    float64 `key:"friction_min" unit:"1" range:"0.05..1" help:"smallest friction of a sliding ball on the green; 0.2 makes the longest skid (range taken, no source)"`
	FrictionMax    float64 `key:"friction_max" unit:"1" range:"0.05..1" help:"largest friction of a sliding ball on the green (range taken, no source)"`
	SpinMin        float64 `key:"spin_min" unit:"rad/s" range:"-100..200" help:"smallest forward spin of a ball as it leaves the face; 0 is a face that only pushes"`
	SpinMax        float64 `key:"spin_max" unit:"rad/s" range:"-100..200" help:"largest forward spin of a ball as it leaves the face; 15 is a slightly rising face (range taken, no source); rolling at once would be 90 at 2 m/s"`
	SurfaceScatter float64 `key:"surface_scatter" unit:"%" range:"0..10" help:"by how much rolls of equal balls differ on this surface, as a standard deviation; 1 is an even indoor mat (judgement), 2.5 was found on greens (Karlsen and Nilsson 2008, doi 10.1260/174795408785024333)"`
	TapeError      float64 `key:"tape_error" unit:"m" range:"0.001..0.5" help:"how far a measured roll may be off, as a standard deviation; 0.01 with a tape on the floor"`
	// Of heads: 0.33 to 0.38 kg are usual (trade pages); restitution of putters is
	// not published, 0.7 to 0.85 makes the ratios that are.
	HeadMassMin    float64 `key:"head_mass_min" unit:"kg" range:"0.2..0.8" help:"lightest putter head, for players whose ratio of ball and head speed was not measured"`
	HeadMassMax    float64 `key:"head_mass_max" unit:"kg" range:"0.2..0.8" help:"heaviest putter head, for players whose ratio of ball and head speed was not measured"`
	RestitutionMin float64 `key:"restitution_min" unit:"1" range:"0.4..1" help:"least restitution of ball and face; with 0.7 the ball leaves 1.5 times as fast as the head (no source for putters)"`
	RestitutionMax float64 `key:"restitution_max" unit:"1" range:"0.4..1" help:"most restitution of ball and face; with 0.85 the ball leaves 1.64 times as fast as the head (no source for putters)"`
	StrokeScatter  float64 `key:"stroke_scatter" unit:"%" range:"0.5..20" help:"by how much equal strokes of a player differ in length, as a standard deviation, before anything was measured of this one; 3 is a steady club player (judgement)"`
	ScatterWeight  float64 `key:"scatter_weight" unit:"strokes" range:"1..100" help:"how many of the player's own strokes weigh as much as stroke_scatter does"`
	// Karlsen 2003 (as quoted): 305, 312, 297 ms at 2, 8, 25 m.
	TimeDrift float64 `key:"time_drift" unit:"1" range:"0.01..1" help:"how much the downstroke's time may change with ball speed before several lengths tell, as a standard deviation of its exponent: 0.2 is 7 % over a doubled distance; skilled players keep it within 5 % from 2 to 25 m (Karlsen 2003, as quoted)"`
}

// DefaultOptions returns what holds for an indoor mat and an unknown player.
func DefaultOptions() Options {
	return Options{
		RampSpeed: 1.8288, RampSpeedMax: 1.95072, ReadingError: 0.5,
		SlopeError: 0.3, SlopeShareMin: 0.7142857, SlopeShareMax: 1,
		FrictionMin: 0.2, FrictionMax: 0.5, SpinMin: 0, SpinMax: 15,
		SurfaceScatter: 1, TapeError: 0.01,
		HeadMassMin: 0.32, HeadMassMax: 0.40, RestitutionMin: 0.70, RestitutionMax: 0.85,
		StrokeScatter: 3, ScatterWeight: 10, TimeDrift: 0.2,
	}
}

// Validate names the first setting that makes no sense.
func (o Options) Validate() error {
	for _, r := range []struct {
		low, high string
		a, b      float64
	}{
		{"ramp_speed", "ramp_speed_max", o.RampSpeed, o.RampSpeedMax},
		{"slope_share_min", "slope_share_max", o.SlopeShareMin, o.SlopeShareMax},
		{"friction_min", "friction_max", o.FrictionMin, o.FrictionMax},
		{"spin_min", "spin_max", o.SpinMin, o.SpinMax},
		{"head_mass_min", "head_mass_max", o.HeadMassMin, o.HeadMassMax},
		{"restitution_min", "restitution_max", o.RestitutionMin, o.RestitutionMax},
	} {
		if r.b < r.a {
			return fmt.Errorf("%s: must not be below %s, %g (got %g)", r.high, r.low, r.a, r.b)
		}
	}
	return track.CheckRanges(o)
}
