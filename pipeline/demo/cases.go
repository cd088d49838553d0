package demo

import (
	"fmt"
	"math"
	"strings"
)

// CaseName is a kind of test clip.
type CaseName struct{ Name, About string }

// kind is a row of the table of cases: how the clip is framed and what it
// changes of a plain clip.
type kind struct {
	name, about string
	framing     framing
	change      func(dice, *Spec) // may be nil
}

var (
	wide     = framing{width: 1920, height: 1080, scaleLo: 380, scaleHi: 650, wholeStroke: true}
	tall     = framing{width: 1080, height: 1920, turned: true, scaleLo: 380, scaleHi: 800, wholeStroke: true}
	leftWide = framing{width: 1920, height: 1080, scaleLo: 380, scaleHi: 650, wholeStroke: true, mirrored: true}
)

// kinds lists the cases in the order in which they are shown.
func kinds() []kind {
	return []kind{
		{"clean", "1080p, 60 frames/s, short shutter, a tripod", wide, nil},
		{"fast-frames", "1080p, 120 frames/s, 1/500 s", wide, fastFrames},
		{"portrait", "phone held upright: stored landscape with rotation metadata", tall, nil},
		{"left", "left-hander: the target is at the picture's left", leftWide, nil},
		{"no-sticker", "no sticker on the putter", wide, func(_ dice, s *Spec) { s.Putter.Sticker = false }},
		{"no-ball", "a stroke without a ball", wide, func(_ dice, s *Spec) { s.Ball.Present = false }},
		{"nobody", "an empty room with a ball", wide, nobody},
		{"still", "a player at address who never moves", wide, func(_ dice, s *Spec) { s.Strokes = nil }},
	}
}

// CaseNames lists the cases that Case knows, with a line about each.
func CaseNames() []CaseName {
	var out []CaseName
	for _, k := range kinds() {
		out = append(out, CaseName{k.name, k.about})
	}
	return out
}

// Case draws the clip of a case and a seed: the same two give the same clip.
// An unknown case, or a seed below 1, is an error.
func Case(name string, seed int) (Spec, error) {
	if seed < 1 {
		return Spec{}, fmt.Errorf("drawing case %q: the seed must be 1 or more (got %d)", name, seed)
	}
	var names []string
	for _, k := range kinds() {
		if k.name == name {
			s, err := k.draw(seed)
			if err != nil {
				return Spec{}, fmt.Errorf("drawing case %q seed %d: %w", name, seed, err)
			}
			return s, nil
		}
		names = append(names, k.name)
	}
	return Spec{}, fmt.Errorf("drawing case %q: no such case, known are %s", name, strings.Join(names, ", "))
}

func (k kind) draw(seed int) (Spec, error) {
	d := newDice(k.name, seed)
	s := draw(d, k.name, seed)
	if k.change != nil {
		k.change(d, &s)
	}
	if err := aim(d, &s, k.framing); err != nil {
		return Spec{}, err
	}
	s.Duration = clipLength(d, s)
	return s, nil
}

// clipLength lets the camera run at least three seconds after the stop, in
// whole frames.
func clipLength(d dice, s Spec) float64 {
	end := d.in(3, 4)
	if n := len(s.Strokes); n > 0 {
		end = newMotion(s).swings[n-1].rest() + d.in(3.05, 3.4)
	}
	rate := float64(s.Video.RateNum) / float64(s.Video.RateDen)
	return math.Ceil(end*rate) / rate
}

func fastFrames(_ dice, s *Spec) {
	s.Video.RateNum, s.Video.BitRate, s.Video.Shutter = 120, 25e6, 1.0/500
}

func nobody(_ dice, s *Spec) {
	s.Player.Present, s.Putter.Present, s.Strokes = false, false, nil
}
