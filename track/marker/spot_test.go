package marker

import (
	"testing"

	"strokereel/track"
)

// A codec leaves lost colour where it was: half of it lost at 9 px a frame tells no
// place, at rest it does.
func TestColourLostInMotionIsNotSeen(t *testing.T) {
	for _, c := range []struct {
		speed float64
		seen  bool
	}{{0, true}, {9, false}} {
		s := &Spot{full: 50, Radius: 4}
		f := &track.Frame{Width: 640, Height: 360, Y: make([]byte, 640*360), U: make([]byte, 320*180), V: make([]byte, 320*180)}
		for i := range 20 {
			f.Index, f.T = i, float64(i)/60
			l := look{x: 100 + c.speed*float64(i), y: 50, u: 0.1, radius: 4, streak: 2, colour: Colour{50, 0}}
			if i == 15 {
				l.colour = Colour{25, 0}
			}
			s.add(f, l, 1.0/60)
		}
		tracker, told := New(DefaultOptions(), 640, 360), 0
		tracker.Listen = func(g track.Glance) {
			if told++; g.Frame != 15 || g.Why.OK() {
				t.Errorf("told of frame %d: %q", g.Frame, g.Why.String())
			}
		}
		tr := tracker.Track(s, track.Putter)
		if (told == 1) == c.seen {
			t.Errorf("at %g px a frame: told of %d refusals", c.speed, told)
		}
		if tr.Samples[15].Seen != c.seen || !tr.Samples[14].Seen {
			t.Errorf("at %g px a frame: seen %t (before %t), want %t", c.speed, tr.Samples[15].Seen, tr.Samples[14].Seen, c.seen)
		}
	}
}

// A piece of a shoe beside the place where a sticker should be is none, though it is
// of its colour and size: it fits worse than the sticker does.
func TestWorseFitAsideIsDoubted(t *testing.T) {
	s := &Spot{Radius: 5, Colour: Colour{40, -20}, full: Colour{40, -20}.norm(), rms: 0.08, seen: 40}
	l := look{x: 100, y: 60, radius: 5, rms: 0.25, colour: s.Colour}
	for _, c := range []struct {
		name    string
		dy, rms float64
		doubted bool
	}{
		{"a poor fit aside", 20, 0.25, true}, {"a poor fit in its place", 2, 0.25, false}, {"a good fit aside", 20, 0.09, false},
	} {
		l.rms = c.rms
		if why := s.doubts(l, 100, 60-c.dy, 40); why.OK() == c.doubted {
			t.Errorf("%s: %q", c.name, why.String())
		}
	}
}

func TestOddSizeIsDoubted(t *testing.T) {
	for _, c := range []struct {
		seen    int
		radius  float64
		doubted bool
	}{{40, 5, false}, {40, 4.2, true}, {40, 6, false}, {40, 6.4, true}, {20, 6.4, false}, {20, 7.6, true}} {
		s := &Spot{Radius: 5, Colour: Colour{40, -20}, full: Colour{40, -20}.norm(), rms: 0.08, seen: c.seen}
		if why := s.doubts(look{radius: c.radius, rms: 0.08, colour: s.Colour}, 0, 0, 40); why.OK() == c.doubted {
			t.Errorf("a radius of %.1f px instead of 5 after %d sightings: %q", c.radius, c.seen, why.String())
		}
	}
}

func TestHighlightMakesThePlaceUnsure(t *testing.T) {
	s := &Spot{Radius: 5, full: 50, seen: 40}
	seen := func(colour float64, glossy, matt bool, rms float64) look {
		return look{radius: 5, colour: Colour{colour, 0}, glossy: glossy, matt: matt, rms: rms}
	}
	u := func(l look) float64 { _, u := s.uneven(l, 0); return u }
	whole, washed, past, poor := u(seen(50, false, false, 0.08)), u(seen(45, true, false, 0.08)), u(seen(45, true, true, 0.08)), u(seen(45, true, false, 0.28))
	if whole != 0 || washed < 0.4 || past <= 0 || past > washed/2 || poor < 1.9*washed {
		t.Errorf("without a highlight %.2f px, with one %.2f, looked past %.2f, with a poor fit %.2f", whole, washed, past, poor)
	}
}
