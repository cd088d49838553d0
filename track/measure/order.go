package measure

const (
	needsBody = "the arms were not followed"
	needsHead = "the head was not followed"
)

// order is every measure of the report with its unit, and why it is missing
// when nothing here measures it.
var order = []struct{ id, unit, reason string }{
	{"backstroke_length", "m", ""},
	{"follow_through_length", "m", ""},
	{"through_to_back", "1", ""},
	{"backstroke_time", "s", ""},
	{"downstroke_time", "s", ""},
	{"follow_through_time", "s", ""},
	{"tempo", "1", ""},
	{"impact_speed", "m/s", ""},
	{"ball_speed", "m/s", ""},
	{"ball_to_head", "1", ""},
	{"hold_time", "s", ""},
	{"recoil", "m", ""},
	{"look_up_after_impact", "s", needsHead},
	{"look_up_after_stop", "s", needsHead},
	{"head_shift", "m", needsHead},
	{"head_rise", "m", needsHead},
	{"shaft_lean_change", "deg", needsBody},
	{"lead_wrist_top", "deg", needsBody},
	{"lead_wrist_impact", "deg", needsBody},
	{"lead_wrist_finish", "deg", needsBody},
	{"elbow_spread_top", "1", needsBody},
	{"elbow_spread_impact", "1", needsBody},
	{"elbow_spread_finish", "1", needsBody},
	{"shoulder_rock_top", "deg", needsBody},
	{"shoulder_rock_finish", "deg", needsBody},
	{"lead_hand_after_impact", "1", needsBody},
	{"trunk_change_finish", "deg", needsBody},
	{"y_kept", "", needsBody},
	{"still_time", "s", ""},
	{"stance_width", "1", needsBody},
	{"ball_position", "1", needsBody},
	{"elbow_bend_lead", "deg", needsBody},
	{"elbow_bend_trail", "deg", needsBody},
	{"head_over_ball", "m", needsHead},
	{"roll_distance", "m", ""},
}
