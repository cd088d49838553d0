package export

import (
	"encoding/csv"
	"io"

	"strokereel/track"
	"strokereel/track/measure"
)

// meanings of the names that events and measures have.
var meanings = map[string]string{
	track.Start:   "the sticker has moved 2 mm from where it lay at address, and does not come back",
	track.Top:     "it turns: the middle of the moments 1 mm short of the farthest point back",
	track.Impact:  "face and ball touch",
	track.Stop:    "it is within 2 mm of the farthest point forward",
	track.HoldEnd: "it is more than 5 mm from where it was held",
	track.LookUp:  "the head has turned 3 degrees or moved 8 mm since address",

	"backstroke_length":      "sticker along the putt line, address to farthest point back",
	"follow_through_length":  "sticker along the putt line, address to farthest point forward",
	"through_to_back":        "follow-through length over backstroke length",
	"backstroke_time":        "start to top",
	"downstroke_time":        "top to impact",
	"follow_through_time":    "impact to stop",
	"tempo":                  "backstroke time over downstroke time",
	"impact_speed":           "of the sticker just before impact",
	"ball_speed":             "of the ball as it leaves, not a mean over the skid",
	"ball_to_head":           "ball speed over speed of the head at impact",
	"hold_time":              "stop to hold_end",
	"recoil":                 "largest movement back along the line within 0.8 s after the stop",
	"look_up_after_impact":   "impact to look_up, negative when earlier",
	"look_up_after_stop":     "stop to look_up, negative when earlier",
	"head_shift":             "sideways movement of the head from address to impact, toward the target positive",
	"head_rise":              "movement of the head from address to impact, up positive",
	"shaft_lean_change":      "lean of the shaft at impact since address, hands toward the target positive",
	"lead_wrist_top":         "angle of lead forearm and shaft at the top since address, bending back positive",
	"lead_wrist_impact":      "the same at impact",
	"lead_wrist_finish":      "the same at the stop",
	"elbow_spread_top":       "distance of the elbows in the picture at the top over that at address",
	"elbow_spread_impact":    "the same at impact",
	"elbow_spread_finish":    "the same at the stop",
	"shoulder_rock_top":      "tilt of the shoulders at the top since address, lead lower positive",
	"shoulder_rock_finish":   "the same at the stop",
	"lead_hand_after_impact": "speed of the lead hand 100 ms after impact over that at impact",
	"trunk_change_finish":    "lean of the trunk at the stop since address, away from the target positive",
	"y_kept":                 "whether the arms and the shaft keep their Y: yes, no or too_close",
	"still_time":             "how long the putter was still before the start",
	"stance_width":           "distance of the ankles over that of the shoulders",
	"ball_position":          "of the ball between trail ankle (0) and lead ankle (1)",
	"elbow_bend_lead":        "at address in the picture, 0 is straight",
	"elbow_bend_trail":       "at address in the picture, 0 is straight",
	"head_over_ball":         "head to the side of the ball at address, toward the target positive",
	"roll_distance":          "how far the ball rolls on the green of the sheet: a model, not a measurement",
}

// writeDictionary explains the tables, their columns, and the names of events and
// measures.
func writeDictionary(w io.Writer, all []table) error {
	rows := [][]string{{"table", "column", "value", "unit", "meaning", "formula", "source"}}
	for _, t := range all {
		rows = append(rows, []string{t.file(), "", "", "", t.about, "", ""})
		for _, c := range t.columns {
			rows = append(rows, []string{t.file(), c.name, "", c.unit, c.meaning, "", ""})
		}
	}
	for _, name := range track.EventNames {
		rows = append(rows, []string{"events.csv", "event", name, "s", meanings[name], "", ""})
	}
	for _, name := range measure.Names() {
		f, _ := measure.FormulaOf(name)
		rows = append(rows, []string{"measures.csv", "measure", name, measure.UnitOf(name), meanings[name], f.Text, f.Source})
	}
	return csv.NewWriter(w).WriteAll(rows)
}
