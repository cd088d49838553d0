package demo

// Spec is everything that defines one clip. Case draws it; Render only obeys
// it. Lengths in metres, times in seconds from the first frame's stamp, angles
// in degrees, colours as reflected light 0-1 in linear light.
type Spec struct {
	Case string `json:"case"`
	Seed int    `json:"seed"`

	Video    Video    `json:"video"`
	Sound    Sound    `json:"sound"`
	Camera   Camera   `json:"camera"`
	Room     Room     `json:"room"`
	Putter   Putter   `json:"putter"`
	Ball     Ball     `json:"ball"`
	Player   Player   `json:"player"`
	Strokes  []Stroke `json:"strokes"` // empty: nobody moves
	Tremor   []Wave   `json:"tremor"`
	Duration float64  `json:"duration_s"`
	Light    Light    `json:"light,omitzero"`
	Props    []Prop   `json:"props,omitempty"`
	Rod      *Rod     `json:"rod,omitempty"`
	Raise    []Knot   `json:"raise,omitempty"` // head above its path: times in s, heights in m
	Idle     []Knot   `json:"idle,omitempty"`  // what it does along the line without a stroke: times in s, places in m
}

// Video is how the picture is taken and stored.
type Video struct {
	RateNum      int     `json:"rate_num"` // frames a second as a fraction
	RateDen      int     `json:"rate_den"`
	BitRate      int     `json:"bit_rate"`           // bit/s asked of the encoder
	Lossless     bool    `json:"lossless,omitempty"` // coded without loss instead
	Shutter      float64 `json:"shutter_s"`
	Gain         float64 `json:"exposure_gain"`
	Noise        float64 `json:"noise_mid_grey"` // standard deviation of one coded channel at mid grey, fraction of full scale
	Sharpen      float64 `json:"sharpen"`        // unsharp mask strength on luma
	ChromaLeft   bool    `json:"chroma_left"`    // else centred
	NoColourTags bool    `json:"no_colour_tags"`
	DropShare    float64 `json:"drop_share"`     // share of frames dropped at random
	StampJitter  float64 `json:"stamp_jitter_s"` // +-
}

// Sound is the clip's sound track.
type Sound struct {
	None        bool      `json:"none"`
	Offset      float64   `json:"device_offset_s"` // positive: sound late against the picture
	Temperature float64   `json:"temperature_c"`
	Room        float64   `json:"room_noise"` // amplitude, full scale = 1
	Click       float64   `json:"click"`
	Decoys      []float64 `json:"decoy_times_s,omitempty"` // noises that are no impact
}

// Camera is a pinhole camera on a tripod in front of the player. Size is that
// of the upright picture.
type Camera struct {
	Width    int     `json:"width"`
	Height   int     `json:"height"`
	Turned   bool    `json:"turned"` // stored as landscape with rotation metadata
	FocalMM  float64 `json:"focal_mm_equivalent"`
	Distance float64 `json:"distance_m"` // along z from the ball
	Rise     float64 `json:"height_m"`
	Aside    float64 `json:"x_m"`
	Yaw      float64 `json:"yaw_deg"`
	Pitch    float64 `json:"pitch_deg"` // up positive
	Roll     float64 `json:"roll_deg"`
	Mirrored bool    `json:"mirrored"` // left-hander: the target is at the picture's left

	Distortion float64 `json:"distortion_k1,omitempty"` // radial, of x/z and y/z
	Shake      Shake   `json:"shake,omitzero"`
}

// Wave is one component of the tremor.
type Wave struct {
	Amplitude float64 `json:"amplitude_m"`
	Frequency float64 `json:"frequency_hz"`
	Phase     float64 `json:"phase_rad"`
}

// Knot is one point of a speed profile: share of the phase's time, speed in
// units of the phase's own scale.
type Knot struct {
	At    float64 `json:"at"`
	Speed float64 `json:"speed"`
}

// Stroke is the motion of the marker along the putt line. Position 0 is the
// marker at address.
type Stroke struct {
	Onset     float64   `json:"onset_s"` // last instant of perfect rest
	BackTime  float64   `json:"back_time_s"`
	Pause     float64   `json:"pause_s"`
	DownTime  float64   `json:"down_time_s"`
	Back      float64   `json:"back_m"`
	Through   float64   `json:"through_m"`
	Loss      float64   `json:"speed_loss"` // share of head speed lost at impact
	BackKnots []Knot    `json:"back_knots"`
	DownKnots []Knot    `json:"down_knots"`
	RestKnots []Knot    `json:"rest_knots"` // from 1 at impact to 0 at rest
	Hold      float64   `json:"hold_s"`
	Drift     float64   `json:"drift_m"` // moved during the hold
	Return    float64   `json:"return_m"`
	ReturnIn  float64   `json:"return_time_s"`
	Waggles   []float64 `json:"waggles_m,omitempty"` // extremes visited before the stroke
	Inside    float64   `json:"inside_m"`            // nearer to the player than the ball: a practice stroke
}

// Putter is the club. The sticker lies on the head's side toward the camera.
type Putter struct {
	Present     bool    `json:"present"`
	Length      float64 `json:"length_m"`
	Lie         float64 `json:"lie_deg"`
	Depth       float64 `json:"head_depth_m"` // along the line
	HeadHeight  float64 `json:"head_height_m"`
	Width       float64 `json:"head_width_m"`
	SoleGap     float64 `json:"sole_gap_m"`
	FaceAhead   float64 `json:"face_ahead_m"`   // face before the sticker's centre
	StickerUp   float64 `json:"sticker_up_m"`   // sticker's centre above the sole
	PlaneOffset float64 `json:"plane_offset_m"` // sticker nearer to the camera than the ball's centre
	Sticker     bool    `json:"sticker"`
	StickerSize float64 `json:"sticker_diameter_m"`
	StickerName string  `json:"sticker_colour"`
	StickerRGB  rgb     `json:"sticker_rgb"`
	HeadRGB     rgb     `json:"head_rgb"`
	GripRGB     rgb     `json:"grip_rgb"`
	SwingRadius float64 `json:"swing_radius_m"`
	PlaneTilt   float64 `json:"plane_tilt_deg"`
	FaceTurn    float64 `json:"face_turn_deg"`    // over the whole stroke
	AddressLean float64 `json:"address_lean_deg"` // hands toward the target positive
	Glare       *Glare  `json:"glare,omitempty"`
}

// Glare is a highlight that travels over the head and its sticker.
type Glare struct {
	OnHead    float64 `json:"on_head"` // light added at its middle
	OnSticker float64 `json:"on_sticker"`
	Radius    float64 `json:"radius_m"`
	Path      []Knot  `json:"path"` // times in s, places along the head from the sticker's centre in m
	Up        float64 `json:"up_m"` // above the sticker's centre
}

// Ball is the ball and the green under it.
type Ball struct {
	Present    bool    `json:"present"`
	Diameter   float64 `json:"diameter_m"`
	Gap        float64 `json:"address_gap_m"` // face to ball at address
	Ratio      float64 `json:"ball_to_head"`
	SpinShare  float64 `json:"launch_spin_share"` // of the spin of pure rolling
	Friction   float64 `json:"friction"`
	GreenSpeed float64 `json:"green_speed_ft"`
	RGB        rgb     `json:"rgb"`
	MarkAngle  float64 `json:"mark_angle_rad"`

	Half     *rgb    `json:"half_rgb,omitempty"` // colour of the other half
	HalfAxis Place   `json:"half_axis,omitzero"` // through the poles of the halves, at rest
	PlacedAt float64 `json:"placed_at_s,omitempty"`
}

// Player is the golfer figure. Changes are since address.
type Player struct {
	Present     bool    `json:"present"`
	Height      float64 `json:"height_m"`
	Stance      float64 `json:"stance_m"`
	StanceBack  float64 `json:"stance_back_m"` // stance's middle behind the ball
	RockTop     float64 `json:"shoulder_rock_top_deg"`
	RockFinish  float64 `json:"shoulder_rock_finish_deg"`
	WristTop    float64 `json:"wrist_top_deg"`
	WristFinish float64 `json:"wrist_finish_deg"`
	ElbowFinish float64 `json:"elbow_ratio_finish"`
	Sway        float64 `json:"sway_m"`
	HeadTurn    float64 `json:"head_turn_deg"`
	HeadTurnAt  float64 `json:"head_turn_at_s"` // after impact (negative: before)
	HeadTurnIn  float64 `json:"head_turn_time_s"`
	Lag         float64 `json:"body_lag_s"` // body against putter
	Bands       bool    `json:"bands"`
	Cap         bool    `json:"cap"`
	LongSleeve  bool    `json:"long_sleeve"`
	Skin        rgb     `json:"skin_rgb"`
	Hair        rgb     `json:"hair_rgb"`
	CapRGB      rgb     `json:"cap_rgb"`
	Shirt       rgb     `json:"shirt_rgb"`
	Trousers    rgb     `json:"trousers_rgb"`
	Shoes       rgb     `json:"shoes_rgb"`
	BandRGB     []rgb   `json:"band_rgb"` // elbow lead, elbow trail, wrist lead, wrist trail, shoulders, cap
}

// Room is what stands still.
type Room struct {
	Wall  rgb     `json:"wall_rgb"`
	Floor rgb     `json:"floor_rgb"`
	Mat   rgb     `json:"mat_rgb"`
	Depth float64 `json:"wall_behind_m"`
	Board float64 `json:"board_x_m"`
	Grain uint64  `json:"grain"`
	Lines bool    `json:"mat_lines,omitempty"` // white lines along and across the mat
}

// rgb is a colour in linear light, 0-1 each.
type rgb [3]float32

func (c rgb) times(k float64) rgb {
	return rgb{c[0] * float32(k), c[1] * float32(k), c[2] * float32(k)}
}

func (c rgb) mix(d rgb, k float64) rgb {
	f := float32(k)
	return rgb{c[0] + (d[0]-c[0])*f, c[1] + (d[1]-c[1])*f, c[2] + (d[2]-c[2])*f}
}
