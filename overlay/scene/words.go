package scene

import (
	"math"
	"strings"

	"strokereel/overlay"
	"strokereel/track"
)

// Every word that is drawn, in one place so that it can be translated.
const (
	wordAtLeast     = "at least"
	wordTo          = "to"
	wordExpected    = "expected"
	wordDash        = "–"
	wordWrist       = "Lead wrist"
	wordElbows      = "Elbows"
	wordDown        = "Eyes down"
	wordAt          = "at"
	wordHold        = "Hold"
	wordHeld        = "Held"
	wordTempo       = "Tempo"
	wordBackTime    = "Back"
	wordDownTime    = "Down"
	wordTarget      = "target"
	wordBack        = "back"
	wordThrough     = "through"
	wordFullSpeed   = "full speed"
	wordTimesSlower = "× slower"
	wordChange      = "Change"
	wordSame        = "within the uncertainty"
	wordNoClaim     = "no comparison"
)

// eventWords names events as captions do.
var eventWords = map[string]string{
	track.Start:   "Address",
	track.Top:     "Top",
	track.Impact:  "Impact",
	track.Stop:    "Finish",
	track.HoldEnd: "Hold over",
	track.LookUp:  "Looked up",
}

// measureWords names measures.
var measureWords = map[string]string{
	"backstroke_length":     "Backstroke",
	"follow_through_length": "Follow-through",
	"through_to_back":       "Through : back",
	// Lengths for each m/s of ball speed, by which unlike putts are compared.
	"backstroke_per_ball_speed":     "Backstroke per m/s",
	"follow_through_per_ball_speed": "Through per m/s",
	"backstroke_time":               "Backstroke time",
	"downstroke_time":               "Downstroke time",
	"follow_through_time":           "Follow-through time",
	"tempo":                         "Tempo",
	"impact_speed":                  "Head speed at impact",
	"head_speed":                    "Head speed",
	"downstroke_acceleration":       "Mean acceleration",
	"ball_speed":                    "Ball speed",
	"ball_to_head":                  "Ball : head speed",
	"hold_time":                     "Hold",
	"recoil":                        "Recoil",
	"look_up_after_impact":          "Look-up after impact",
	"look_up_after_stop":            "Look-up after finish",
	"head_shift":                    "Head toward target",
	"head_rise":                     "Head rise",
	"shaft_lean_change":             "Shaft lean since address",
	"lead_wrist_top":                "Lead wrist at top",
	"lead_wrist_impact":             "Lead wrist at impact",
	"lead_wrist_finish":             "Lead wrist at finish",
	"elbow_spread_top":              "Elbow spread at top",
	"elbow_spread_impact":           "Elbow spread at impact",
	"elbow_spread_finish":           "Elbow spread at finish",
	"shoulder_rock_top":             "Shoulder rock at top",
	"shoulder_rock_finish":          "Shoulder rock at finish",
	"lead_hand_after_impact":        "Lead hand after : at impact",
	"trunk_change_finish":           "Trunk since address",
	"y_kept":                        "Arms and shaft keep their Y",
	"still_time":                    "Still before the start",
	"stance_width":                  "Stance : shoulders",
	"ball_position":                 "Ball in the stance",
	"elbow_bend_lead":               "Lead elbow bend",
	"elbow_bend_trail":              "Trail elbow bend",
	"head_over_ball":                "Head beside the ball",
	"roll_distance":                 "Roll",
}

// MeasureName is the name of a measure in words, or its id when it has none.
func MeasureName(id string) string {
	if w, ok := measureWords[id]; ok {
		return w
	}
	return id
}

// EventName is the caption of an event, or its name when it has none.
func EventName(name string) string {
	if w, ok := eventWords[name]; ok {
		return w
	}
	return name
}

// answerWords are the values of measures whose value is a word.
var answerWords = map[string]string{"yes": "yes", "no": "no", "too_close": "too close to tell"}

// roleWords names clips by their role.
var roleWords = map[overlay.Role]string{
	overlay.Plain:     "Clip",
	overlay.Before:    "Before",
	overlay.After:     "After",
	overlay.Reference: "Reference",
	overlay.Drill:     "Drill",
}

// RoleName is the name of a role in words.
func RoleName(r overlay.Role) string { return roleWords[r] }

// ChangeWord says in a word what a change of a measure is: nothing but "within
// the uncertainty" when it may as well be none, and no direction when the two
// putts are not to be compared.
func ChangeWord(id string, change track.Measure, comparable bool) string {
	switch {
	case !known(change) || change.Word != "" || !(change.U95 > 0):
		return wordNoClaim
	case change.Status == track.AtLeast && change.Value <= change.U95:
		return wordNoClaim
	case math.Abs(change.Value) <= change.U95:
		return wordSame
	case !comparable:
		return wordNoClaim
	}
	more, less := "more", "less"
	switch {
	case change.Unit == "m/s":
		more, less = "faster", "slower"
	case change.Unit == "m" && strings.HasSuffix(id, "_length"), change.Unit == "s" && strings.HasSuffix(id, "_time"):
		more, less = "longer", "shorter"
	case strings.HasPrefix(id, "look_up"):
		more, less = "later", "earlier"
	case change.Unit == "1":
		more, less = "higher", "lower"
	}
	if change.Value > 0 {
		return more
	}
	return less
}
