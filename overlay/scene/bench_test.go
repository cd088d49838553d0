package scene

import (
	"testing"

	"strokereel/overlay"
)

// A full frame with everything a reel draws at the busiest moment.
func BenchmarkFrame1080p(b *testing.B) {
	s := newStroke(1920, 1080)
	img := room(s.w, s.h)
	c := canvas(b, img)
	elements := s.elements(b)
	m := s.moment(3.0)
	m.Objects = append(m.Objects, s.joints(3.0)[:4]...)
	for b.Loop() {
		if err := c.Begin(img); err != nil {
			b.Fatal(err)
		}
		overlay.Draw(c, m, elements...)
	}
}

func BenchmarkStill1080p(b *testing.B) {
	s := newStroke(1920, 1080)
	img := room(s.w, s.h)
	e := s.event("stop")
	data := StillData{Event: e, Moment: s.moment(e.T), Role: overlay.After, Ground: &s.ground,
		Putter: s.samples, Events: s.events, Measures: s.measures}
	for b.Loop() {
		if err := Still(img, data); err != nil {
			b.Fatal(err)
		}
	}
}
