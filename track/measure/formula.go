package measure

import (
	"strings"

	"strokereel/track"
)

const (
	ours     = "our definition"
	ratioOf  = "a ratio of two measures; common practice, no source"
	pinhole  = "pinhole camera (textbook)"
	textbook = "plane trigonometry (textbook)"

	alongText = ";  L(d) = (x (1 + x sin ψ / z + h / z) + h sin ψ) / cos ψ  with  x = d / s  and  h = x² sin τ / (2 R)"
	hangText  = ";  hang = atan2(Δx, −Δy) from the upper end of a line to its lower end, degrees"
	wristText = "α(%) − α(address) + e;  α = hang(shaft) − hang(lead forearm)" + hangText
	elbowText = "d(%) / d(address);  d = √(Δx² + Δy²) of the two elbows"
	rockText  = "γ(%) − γ(address) + e;  γ = atan2(y_trail − y_lead, x_lead − x_trail) of the shoulders, degrees"
	bendText  = "180° − atan2(|a × b|, a · b) + e;  a and b from the elbow to shoulder and wrist"
)

var (
	club      = []string{track.Putter}
	clubBall  = []string{track.Putter, track.Ball}
	shaftLine = []string{track.ShaftTop, track.ShaftFoot}
	arms      = []string{track.LeadElbow, track.TrailElbow}
	forearm   = []string{track.ShaftTop, track.ShaftFoot, track.LeadElbow, track.LeadWrist}
	sides     = []string{track.LeadShoulder, track.TrailShoulder}
	headParts = []string{track.Cap, track.Head}
)

// formulas are those of the measures, with the frames they rest on.
var formulas = map[string]track.Formula{
	"backstroke_length": {Text: "|L(x_top − x_address)|" + alongText, Source: ours + "; " + pinhole,
		Moments: []string{track.Start, track.Top}, Objects: club},
	"follow_through_length": {Text: "|L(x_forward − x_address)|" + alongText, Source: ours + "; " + pinhole,
		Moments: []string{track.Start, track.Stop}, Objects: club},
	"through_to_back": {Text: "|L(x_forward − x_address)| / |L(x_top − x_address)|" + alongText, Source: ratioOf,
		Moments: []string{track.Start, track.Top, track.Stop}, Objects: club},
	"backstroke_time":     {Text: "t_top − t_start", Source: ours, Moments: []string{track.Start, track.Top}, Objects: club},
	"downstroke_time":     {Text: "t_impact − t_top", Source: ours, Moments: []string{track.Top, track.Impact}, Objects: clubBall},
	"follow_through_time": {Text: "t_stop − t_impact", Source: ours, Moments: []string{track.Impact, track.Stop}, Objects: clubBall},
	"tempo": {Text: "(t_top − t_start) / (t_impact − t_top)", Source: ratioOf,
		Moments: []string{track.Start, track.Top, track.Impact}, Objects: clubBall},
	"impact_speed": {Text: "v / (s cos ψ)", Source: ours + "; " + pinhole, Moments: []string{track.Impact}, Objects: clubBall},
	"ball_speed":   {Text: "v_ball / (s_ball cos ψ)", Source: ours + "; " + pinhole, Moments: []string{track.Impact}, Objects: clubBall},
	"ball_to_head": {Text: "n v_ball / v", Source: ratioOf, Moments: []string{track.Impact}, Objects: clubBall},
	"hold_time":    {Text: "t_end − t_stop", Source: ours, Moments: []string{track.Stop, track.HoldEnd}, Objects: club},
	"recoil":       {Text: "(b + e) / s", Source: ours, Moments: []string{track.Stop, track.HoldEnd}, Objects: club},
	"still_time":   {Text: "t_start − t_rest", Source: ours, Moments: []string{track.Start}, Objects: club},

	"look_up_after_impact": {Text: "t_look − t_impact", Source: ours, Moments: []string{track.Impact, track.LookUp}, Objects: headParts},
	"look_up_after_stop":   {Text: "t_look − t_stop", Source: ours, Moments: []string{track.Stop, track.LookUp}, Objects: headParts},
	"head_shift":           {Text: "(x_impact − x_address) / s + e, of the head", Source: ours, Moments: []string{track.Start, track.Impact}, Objects: headParts},
	"head_rise":            {Text: "(y_impact − y_address) / s + e, of the head", Source: ours, Moments: []string{track.Start, track.Impact}, Objects: headParts},
	"head_over_ball": {Text: "S(x_head, c) − S(x_ball, 0) − c sin ψ − 0.3 (y_head − y_ball) sin ψ + e;  S(x, c) = (x − m) / s · (z − c) / z",
		Source: pinhole + "; a phone that looks down with a slope of 0.3", Moments: []string{track.Start}, Objects: headParts},

	"shaft_lean_change":    {Text: "β(impact) − β(address) + e;  β = −hang(shaft)" + hangText, Source: textbook, Moments: []string{track.Start, track.Impact}, Objects: shaftLine},
	"lead_wrist_top":       at(track.Top, wristText, forearm),
	"lead_wrist_impact":    at(track.Impact, wristText, forearm),
	"lead_wrist_finish":    at(track.Stop, wristText, forearm),
	"elbow_spread_top":     at(track.Top, elbowText, arms),
	"elbow_spread_impact":  at(track.Impact, elbowText, arms),
	"elbow_spread_finish":  at(track.Stop, elbowText, arms),
	"shoulder_rock_top":    at(track.Top, rockText, sides),
	"shoulder_rock_finish": at(track.Stop, rockText, sides),
	"trunk_change_finish": at(track.Stop, "δ(%) − δ(address) + e;  δ = hang(middle of the shoulders to middle of the hips)"+hangText,
		[]string{track.LeadShoulder, track.TrailShoulder, track.LeadHip, track.TrailHip}),
	"lead_hand_after_impact": {Text: "p √(w_x² + w_y²) / √(v_x² + v_y²)", Source: ours, Moments: []string{track.Impact}, Objects: []string{track.LeadHand}},
	"y_kept": {Text: "yes when |lead_wrist| and |elbow_spread − 1| lie within their tolerances at top, impact and finish, each with its whole interval; no when one lies wholly outside; too_close else",
		Source:  "our judgement; the tolerances are the settings track.measure.y_wrist and y_elbow",
		Moments: []string{track.Start, track.Top, track.Impact, track.Stop}, Objects: append([]string{track.TrailElbow}, forearm...)},
	"stance_width": {Text: "d(ankles) / d(shoulders);  d = √(Δx² + Δy²)", Source: ours, Moments: []string{track.Start},
		Objects: []string{track.LeadAnkle, track.TrailAnkle, track.LeadShoulder, track.TrailShoulder}},
	"ball_position": {Text: "(x_ball − x_trail) / (x_lead − x_trail), of the ankles", Source: ours, Moments: []string{track.Start},
		Objects: []string{track.LeadAnkle, track.TrailAnkle, track.Ball}},
	"elbow_bend_lead":  {Text: bendText, Source: textbook, Moments: []string{track.Start}, Objects: []string{track.LeadShoulder, track.LeadElbow, track.LeadWrist}},
	"elbow_bend_trail": {Text: bendText, Source: textbook, Moments: []string{track.Start}, Objects: []string{track.TrailShoulder, track.TrailElbow, track.TrailWrist}},
	"roll_distance": {Text: "the ball slides with friction µ until it rolls, then loses a = v_ramp² / (2 · 0.3048 m · S) every second, and c g sin σ on a slope",
		Source:  "rigid sphere (textbook); Holmes 1986, The Physics Teacher, as quoted, for the ramp; Penner 2002, Can. J. Phys. 80, 83, as quoted, for the slope",
		Moments: []string{track.Impact}, Objects: clubBall},
}

// at is the formula of a figure at an event, compared with address.
func at(event, text string, objects []string) track.Formula {
	spoken := map[string]string{track.Top: "top", track.Impact: "impact", track.Stop: "finish"}[event]
	return track.Formula{Text: strings.Replace(text, "%", spoken, 1), Source: textbook, Moments: []string{track.Start, event}, Objects: objects}
}

// FormulaOf is the formula of a measure; false when there is no such measure.
func FormulaOf(id string) (track.Formula, bool) {
	f, ok := formulas[id]
	return f, ok
}

// Names lists all measures in report order.
func Names() []string {
	out := make([]string, len(order))
	for i, d := range order {
		out[i] = d.id
	}
	return out
}

// UnitOf is the unit of a measure, "" for words and for what is no measure.
func UnitOf(id string) string {
	for _, d := range order {
		if d.id == id {
			return d.unit
		}
	}
	return ""
}
