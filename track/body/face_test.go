package body

import (
	"math"
	"testing"
)

// head paints a head with a cap, eyes and a mouth, shifted and turned about its
// middle.
func head(dx, dy, turn float64) *canvas {
	c := newCanvas(400, 400)
	s, k := math.Sincos(turn)
	at := func(x, y float64) (float64, float64) { return 200 + dx + k*x - s*y, 200 + dy + s*x + k*y }
	part := func(colour [3]float64, x0, y0, x1, y1, r float64) {
		a, b := at(x0, y0)
		e, d := at(x1, y1)
		c.capsule(colour, a, b, e, d, r, r)
	}
	part(skinTone, 0, -6, 0, 10, 36)
	part([3]float64{40, 0, 0}, -14, -4, -12, -4, 4)
	part([3]float64{40, 0, 0}, 12, -4, 14, -4, 4)
	part([3]float64{90, -6, 24}, -8, 28, 8, 28, 3)
	part([3]float64{60, 10, -8}, -26, -26, 26, -26, 10)
	return c
}

func TestFaceTellsTurnFromShift(t *testing.T) {
	h := NewFace(162, 204, 238, 204)
	for i, m := range []placed{{}, {dx: 3, dy: -1}, {turn: 0.03}, {dx: 4.5, dy: 1.5, turn: 0.06}, {dx: -2, turn: -0.05}} {
		f := head(m.dx, m.dy, m.turn).frame(0, 0, nil)
		f.Index, f.T = i, float64(i)/60
		h.Next(f)
		p, q := h.crown.Samples[i], h.chin.Samples[i]
		if !p.Seen || !q.Seen {
			t.Fatalf("%+v: not seen", m)
		}
		turn := math.Atan2(p.X-q.X, q.Y-p.Y)
		if d := math.Abs(turn - m.turn); d > 0.2*math.Pi/180 {
			t.Errorf("turned by %.2f degrees, got %.2f", m.turn*180/math.Pi, turn*180/math.Pi)
		}
		// The head turns about its own middle, which lies 4 px above the ears'.
		s, c := math.Sincos(m.turn)
		x, y := 200+m.dx-s*4, 200+m.dy+c*4
		if d := math.Hypot((p.X+q.X)/2-x, (p.Y+q.Y)/2-y); d > 0.4 {
			t.Errorf("%+v: the middle is off by %.2f px", m, d)
		}
	}
}

func TestFaceOfAnotherPictureIsNotSeen(t *testing.T) {
	h := NewFace(162, 204, 238, 204)
	h.Next(head(0, 0, 0).frame(0, 0, nil))
	f := newCanvas(400, 400).frame(0, 0, nil)
	f.Index, f.T = 1, 1./60
	h.Next(f)
	if p := h.crown.Samples[1]; p.Seen {
		t.Errorf("an empty picture shows the head at %.0f, %.0f", p.X, p.Y)
	}
}

// The head of the mirrored picture turns the other way, to rounding.
func TestFaceOfTheMirrorImageIsTheSame(t *testing.T) {
	h, m := NewFace(162, 204, 237.3, 205), NewFace(399-162, 204, 399-237.3, 205)
	for i := range 3 {
		f := head(float64(i), 0.5, 0.02*float64(i)).frame(0, 0, nil)
		f.Index, f.T = i, float64(i)/60
		h.Next(f)
		m.Next(mirror(f))
		p, q := h.crown.Samples[i], m.crown.Samples[i]
		if !p.Seen || !q.Seen || math.Abs(399-p.X-q.X) > 1e-6 || math.Abs(p.Y-q.Y) > 1e-6 || math.Abs(p.U-q.U) > 1e-6 {
			t.Errorf("frame %d: %+v, mirrored %+v", i, p, q)
		}
	}
}
