package scene

import (
	"image"
	"image/color"
	"math"

	"strokereel/overlay"
	"strokereel/track"
)

// stroke is a made-up putt for a picture of w x h px: the putter swings back
// 24 cm and through 37 cm, seen at 120 frames/s.
type stroke struct {
	w, h     int
	ground   Ground
	events   []track.Event
	samples  []track.Sample
	measures map[string]track.Measure
}

const (
	startT  = 1.0
	topT    = 1.7
	impactT = 2.05
	stopT   = 2.65
	holdT   = 4.11
	endT    = 4.6
)

func newStroke(w, h int) stroke {
	short := float64(min(w, h))
	s := stroke{w: w, h: h}
	s.ground = Ground{X: 0.46 * float64(w), Y: 0.78 * float64(h), DX: 0.9 * short}
	if h > w {
		s.ground.DX = 1.1 * short
	}
	for name, t := range map[string]float64{track.Start: startT, track.Top: topT, track.Impact: impactT, track.Stop: stopT, track.HoldEnd: holdT} {
		s.events = append(s.events, track.Event{Name: name, T: t, U: 0.002, Status: track.Measured})
	}
	for i := range int(endT * 120) {
		t := float64(i) / 120
		x, y := s.head(t)
		s.samples = append(s.samples, track.Sample{Frame: i, T: t, X: x, Y: y, U: 0.2, Seen: true})
	}
	s.measures = map[string]track.Measure{}
	for _, m := range []track.Measure{
		{ID: "backstroke_length", Value: 0.2412, U95: 0.0052, Unit: "m"},
		{ID: "follow_through_length", Value: 0.3684, U95: 0.0071, Unit: "m"},
		{ID: "through_to_back", Value: 1.527, U95: 0.043, Unit: "1"},
		{ID: "backstroke_time", Value: 0.702, U95: 0.012, Unit: "s"},
		{ID: "downstroke_time", Value: 0.349, U95: 0.006, Unit: "s"},
		{ID: "follow_through_time", Value: 0.603, U95: 0.031, Unit: "s"},
		{ID: "tempo", Value: 2.01, U95: 0.06, Unit: "1"},
		{ID: "impact_speed", Value: 1.231, U95: 0.024, Unit: "m/s"},
		{ID: "ball_speed", Value: 1.98, U95: 0.05, Unit: "m/s"},
		{ID: "hold_time", Value: 1.46, U95: 0.03, Unit: "s"},
		{ID: "recoil", Value: 0.0061, U95: 0.0012, Unit: "m"},
	} {
		m.Status = track.Measured
		s.measures[m.ID] = m
	}
	return s
}

// swing is where the head is along the line, m.
func swing(t float64) float64 {
	ease := func(from, to float64) float64 {
		k := math.Min(1, math.Max(0, (t-from)/(to-from)))
		return (1 - math.Cos(math.Pi*k)) / 2
	}
	return -0.2412*ease(startT, topT) + (0.2412+0.3684)*ease(topT, stopT)
}

// head is where the marker is in the picture, px.
func (s stroke) head(t float64) (x, y float64) {
	d := swing(t)
	return s.ground.X + d*s.ground.DX, s.ground.Y - (0.05+0.35*d*d)*s.ground.DX
}

func (s stroke) event(name string) track.Event {
	for _, e := range s.events {
		if e.Name == name {
			return e
		}
	}
	panic("no event " + name)
}

// moment is what is seen at a time.
func (s stroke) moment(t float64) overlay.Moment {
	x, y := s.head(t)
	m := overlay.Moment{T: t, View: overlay.FullView()}
	m.Objects = []overlay.Object{
		{Name: track.Putter, X: x, Y: y, U: 0.2, Radius: 0.05 * s.ground.DX},
		{Name: Hands, X: s.ground.X + 0.6*(x-s.ground.X), Y: s.ground.Y - 0.42*s.ground.DX, U: 1, Radius: 0.06 * s.ground.DX},
	}
	if t < impactT {
		m.Objects = append(m.Objects, overlay.Object{Name: track.Ball, X: s.ground.X + 0.06*s.ground.DX, Y: s.ground.Y - 0.021*s.ground.DX, U: 0.1, Radius: 0.03 * s.ground.DX})
	}
	return m
}

// paint draws the putter head, shaft and ball of a moment so that the pictures
// look like what they stand for.
func (s stroke) paint(img *image.RGBA, m overlay.Moment) {
	for _, o := range m.Objects {
		c, r := color.RGBA{0x2A, 0x2C, 0x30, 255}, o.Radius
		switch o.Name {
		case track.Ball:
			c, r = color.RGBA{0xF2, 0xF2, 0xEE, 255}, 0.0213*s.ground.DX
		case Hands:
			c = color.RGBA{0xB0, 0x7A, 0x5A, 255}
		}
		for y := range img.Rect.Dy() {
			for x := range img.Rect.Dx() {
				dx, dy := float64(x)-o.X, float64(y)-o.Y
				if o.Name == track.Putter {
					dy *= 2.2
				}
				if dx*dx+dy*dy < r*r {
					img.SetRGBA(x, y, c)
				}
			}
		}
	}
}
