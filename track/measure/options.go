package measure

import (
	"fmt"
	"math"

	"strokereel/track"
)

// Options are the settings of the package: what is known beforehand of balls,
// stickers and cameras.
type Options struct {
	// BallDiameterMin is the rule's minimum: 1.680 in (Rules of golf, 2016,
	// Appendix III). Balls are made a little larger.
	BallDiameterMin float64 `key:"ball_diameter_min" unit:"mm" range:"42.67..43.5" help:"smallest diameter of a ball; 42.67 mm is the rule's minimum"`
	BallDiameterMax float64 `key:"ball_diameter_max" unit:"mm" range:"42.67..44" help:"largest diameter of a ball; 42.95 mm is the largest usually sold (common practice, no source)"`
	// The sticker is on the side of the head, the ball's centre is behind it.
	OffsetMin   float64 `key:"sticker_offset_min" unit:"mm" range:"0..200" help:"smallest distance by which the sticker is nearer to the camera than the ball's centre; 35 mm is a narrow head"`
	OffsetMax   float64 `key:"sticker_offset_max" unit:"mm" range:"0..200" help:"largest distance by which the sticker is nearer to the camera than the ball's centre; 60 mm is a wide head"`
	DistanceMin float64 `key:"camera_distance_min" unit:"m" range:"1..20" help:"shortest distance of camera and ball when the sheet says nothing; 2.5 m just shows the whole player"`
	DistanceMax float64 `key:"camera_distance_max" unit:"m" range:"1..20" help:"longest distance of camera and ball when the sheet says nothing; 4.5 m is a small room"`
	MaxYaw      float64 `key:"max_yaw" unit:"deg" range:"0..15" help:"how far from square to the line the camera may be turned; 3 degrees is set up by eye with care"`
	// The plane of the stroke leans toward the player at the top.
	TiltMin   float64 `key:"plane_tilt_min" unit:"deg" range:"-10..45" help:"smallest lean of the plane the putter swings in; 5 degrees"`
	TiltMax   float64 `key:"plane_tilt_max" unit:"deg" range:"-10..45" help:"largest lean of the plane the putter swings in; 15 degrees"`
	ArcRadius float64 `key:"arc_radius" unit:"m" range:"0.5..3" help:"radius of the arc of the putter; 1.4 m reaches from the shoulders to the ground"`
	// RecoilTime is part of the definition of the measure.
	RecoilTime float64 `key:"recoil_time" unit:"s" range:"0.1..3" help:"a movement back later than this after the stop is a release, not a recoil; 0.8 s by definition"`
	// LookTurn and LookMove are part of the definition of the event.
	LookTurn float64 `key:"look_turn" unit:"deg" range:"0.5..30" help:"the player looks up when the head has turned this far from address; 3 degrees by definition"`
	LookMove float64 `key:"look_move" unit:"mm" range:"1..100" help:"or has risen or sunk this far; 8 mm by definition"`
	// A sticker at the edge of the brim is carried sideways as the head turns.
	CapReachMin float64 `key:"cap_reach_min" unit:"mm" range:"30..400" help:"smallest distance of the cap's sticker from the axis the head turns about; 150 mm is a short brim"`
	CapReachMax float64 `key:"cap_reach_max" unit:"mm" range:"30..400" help:"largest distance of the cap's sticker from the axis the head turns about; 215 mm is a long brim"`
	// The head's own picture turns with it the more, the more the player looks down.
	GazeMin float64 `key:"gaze_min" unit:"deg" range:"10..90" help:"smallest angle below the horizon at which a player looks at the ball; 45 degrees is upright"`
	GazeMax float64 `key:"gaze_max" unit:"deg" range:"10..90" help:"largest angle below the horizon at which a player looks at the ball; 75 degrees is bent low"`
	// YWrist and YElbow are our judgement, not a published rule.
	YWrist float64 `key:"y_wrist" unit:"deg" range:"0.5..60" help:"the Y is kept while the lead wrist stays within this of address; 8 degrees is our judgement"`
	YElbow float64 `key:"y_elbow" unit:"" range:"0.01..1" help:"and the elbows' distance within this share of address; 0.08 is our judgement"`
	// BandSlip was chosen such that the intervals hold on rendered clips.
	BandSlip float64 `key:"band_slip" unit:"mm" range:"0..30" help:"how far a band's middle may be off by slipping or turning on the skin, standard uncertainty; 1 mm is a snug band"`
	// ModelJoint and ModelWrist were measured on drawn people.
	ModelJoint   float64 `key:"model_joint" unit:"mm" range:"0..200" help:"how far a joint told by the body model may be off from moment to moment, standard uncertainty; 9 mm is 2 % of a trunk"`
	ModelElbow   float64 `key:"model_elbow" unit:"mm" range:"0..200" help:"the same for elbows, whose way since address is told by the arms' own picture: what that leaves out, as sleeves slip; 1.5 mm"`
	ModelWrist   float64 `key:"model_wrist" unit:"mm" range:"0..200" help:"the same for wrists, which hide each other; 25 mm"`
	ModelForearm float64 `key:"model_forearm" unit:"deg" range:"0..90" help:"how far the change of a forearm's direction may be off beyond what its picture leaves open, as its shape changes when it turns about itself, standard uncertainty; 1 degree"`
	BesideJoint  float64 `key:"beside_joint" unit:"deg" range:"0..30" help:"how far an arm's angle may be off because bands and stickers are worn beside the joints, standard uncertainty; 5 degrees are 25 mm on an upper arm"`
	MostAngleU95 float64 `key:"most_angle_u95" unit:"deg" range:"0.5..90" help:"an angle of the body known less well is not reported; 8 degrees is the tolerance of the wrist"`
	MostRatioU95 float64 `key:"most_ratio_u95" unit:"" range:"0.01..2" help:"a ratio of the body known less well is not reported; 0.3 is more than most elbows spread"`
	MostLookU95  float64 `key:"most_look_u95" unit:"s" range:"0.01..5" help:"a look-up known less well is not reported; 0.15 s is a third of a hold"`
}

// DefaultOptions returns the settings the package was checked with.
func DefaultOptions() Options {
	return Options{
		BallDiameterMin: 42.67, BallDiameterMax: 42.95,
		OffsetMin: 35, OffsetMax: 60, DistanceMin: 2.5, DistanceMax: 4.5,
		MaxYaw: 3, TiltMin: 5, TiltMax: 15, ArcRadius: 1.4, RecoilTime: 0.8,
		LookTurn: 3, LookMove: 8, CapReachMin: 150, CapReachMax: 215, GazeMin: 45, GazeMax: 75, YWrist: 8, YElbow: 0.08,
		BandSlip: 1, ModelJoint: 9, ModelElbow: 1.5, ModelForearm: 1, ModelWrist: 25, BesideJoint: 5, MostAngleU95: 8, MostRatioU95: 0.3, MostLookU95: 0.15,
	}
}

// Validate names the first setting that makes no sense.
func (o Options) Validate() error {
	switch {
	case o.BallDiameterMax < o.BallDiameterMin:
		return fmt.Errorf("ball_diameter_max: must not be below ball_diameter_min, %g (got %g)", o.BallDiameterMin, o.BallDiameterMax)
	case o.OffsetMax < o.OffsetMin:
		return fmt.Errorf("sticker_offset_max: must not be below sticker_offset_min, %g (got %g)", o.OffsetMin, o.OffsetMax)
	case o.DistanceMax < o.DistanceMin:
		return fmt.Errorf("camera_distance_max: must not be below camera_distance_min, %g (got %g)", o.DistanceMin, o.DistanceMax)
	case o.CapReachMax < o.CapReachMin:
		return fmt.Errorf("cap_reach_max: must not be below cap_reach_min, %g (got %g)", o.CapReachMin, o.CapReachMax)
	case o.GazeMax < o.GazeMin:
		return fmt.Errorf("gaze_max: must not be below gaze_min, %g (got %g)", o.GazeMin, o.GazeMax)
	case o.TiltMax < o.TiltMin:
		return fmt.Errorf("plane_tilt_max: must not be below plane_tilt_min, %g (got %g)", o.TiltMin, o.TiltMax)
	}
	return track.CheckRanges(o)
}

// Quantity is a value with its standard uncertainty.
type Quantity struct{ Value, U float64 }

// rectangular is a quantity known only to lie between two limits (JCGM
// 100:2008, 4.3.7).
func rectangular(min, max float64) Quantity {
	return Quantity{(min + max) / 2, (max - min) / math.Sqrt(12)}
}

// BallDiameter returns the diameter in metres.
func (o Options) BallDiameter() Quantity {
	return rectangular(o.BallDiameterMin/1000, o.BallDiameterMax/1000)
}

// StickerOffset returns how much nearer to the camera the sticker is than the
// ball's centre, in metres.
func (o Options) StickerOffset() Quantity { return rectangular(o.OffsetMin/1000, o.OffsetMax/1000) }

// CameraDistance returns the distance of camera and ball in metres.
func (o Options) CameraDistance() Quantity { return rectangular(o.DistanceMin, o.DistanceMax) }

// Yaw returns the turn of the camera from square to the line, in radians.
func (o Options) Yaw() Quantity {
	return rectangular(-o.MaxYaw*math.Pi/180, o.MaxYaw*math.Pi/180)
}
