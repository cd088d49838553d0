package pipeline

import (
	"fmt"
	"slices"

	"strokereel/pipeline/clip"
	"strokereel/track"
)

// changesOfPace are the times at which the file's clock begins to run faster or
// slower than the world's.
func changesOfPace(w *seen) []float64 {
	var at []float64
	for _, c := range w.Warnings {
		if c.Code == clip.RateChanges {
			at = append(at, c.T)
		}
	}
	return at
}

// spareClock takes back those of a stroke's measures that need a clock when the
// clip's clock changes its pace. Which part of such a clip runs at the world's
// pace is not known, so a stroke that lies wholly in one part is no better off.
// Lengths and ratios of lengths stay.
func spareClock(measures []track.Measure, changes []float64) {
	if len(changes) == 0 {
		return
	}
	reason := fmt.Sprintf("the clip is slow motion in a part (a change at %.2f s): which times are real is not known", changes[0])
	for i, m := range measures {
		if m.Status != track.NotMeasured && timed(m) {
			measures[i] = track.Measure{ID: m.ID, Unit: m.Unit, Status: track.NotMeasured, Reason: reason}
		}
	}
}

// clocked are the measures found with a clock though their unit is no time.
var clocked = []string{"tempo", "recoil", "lead_hand_after_impact", "roll_distance"}

// timed reports whether a measure is found with a clock.
func timed(m track.Measure) bool {
	return m.Unit == "s" || m.Unit == "m/s" || slices.Contains(clocked, m.ID)
}
