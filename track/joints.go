package track

// Names of the places of the body in a track file. Lead is the side toward the
// target.
const (
	Cap           = "cap" // a sticker at the front of the cap
	LeadShoulder  = "lead_shoulder"
	TrailShoulder = "trail_shoulder"
	LeadElbow     = "lead_elbow"
	TrailElbow    = "trail_elbow"
	LeadWrist     = "lead_wrist"
	TrailWrist    = "trail_wrist"
	Head          = "head"
	Nose          = "nose"
	LeadEar       = "lead_ear"
	TrailEar      = "trail_ear"
	LeadHip       = "lead_hip"
	TrailHip      = "trail_hip"
	LeadAnkle     = "lead_ankle"
	TrailAnkle    = "trail_ankle"
	LeadHand      = "lead_hand" // the point of the shaft that it holds
	// ShaftFoot and ShaftTop are two points of the shaft's line, near the head
	// and below the hands.
	ShaftFoot = "shaft_foot"
	ShaftTop  = "shaft_top"
	// HeadCrown and HeadChin are two points of the head's picture, above and below
	// its middle at address.
	HeadCrown = "head_crown"
	HeadChin  = "head_chin"
)
