package scene

import (
	"testing"

	"strokereel/overlay"
	"strokereel/track"
)

func TestStillGolden(t *testing.T) {
	for _, name := range []string{track.Top, track.Impact, track.Stop} {
		t.Run(name, func(t *testing.T) {
			s := newStroke(960, 540)
			for _, id := range []string{"lead_wrist_impact", "elbow_spread_impact", "shaft_lean_change"} {
				s.measures[id] = track.Measure{ID: id, Status: track.NotMeasured, Reason: "the arms carry no bands and were not followed"}
			}
			e := s.event(name)
			m := s.moment(e.T)
			img := room(s.w, s.h)
			s.paint(img, m)
			err := Still(img, StillData{Event: e, Moment: m, Role: overlay.Before, Ground: &s.ground,
				Putter: s.samples, Events: s.events, Measures: s.measures})
			if err != nil {
				t.Fatal(err)
			}
			golden(t, "still_"+name, img)
		})
	}
}
