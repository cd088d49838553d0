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
