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
	change      func(dice, *Spec)       // may be nil
	place       func(dice, *Spec) error // what hangs on the camera's place; may be nil
}

var (
	wide     = framing{width: 1920, height: 1080, scaleLo: 380, scaleHi: 650}
	leftWide = framing{width: 1920, height: 1080, scaleLo: 380, scaleHi: 650, mirrored: true}
	leaving  = framing{width: 1920, height: 1080, scaleLo: 380, scaleHi: 650, leaves: true}
	far      = framing{width: 1920, height: 1080, scaleLo: 380, scaleHi: 400}
	withRod  = framing{width: 1920, height: 1080, scaleLo: 380, scaleHi: 650, aside: rodHalf + 0.03}
	tall     = framing{width: 1080, height: 1920, turned: true, scaleLo: 380, scaleHi: 800}
	wide720  = framing{width: 1280, height: 720, scaleLo: 254, scaleHi: 433}
	wide540  = framing{width: 960, height: 540, scaleLo: 190, scaleHi: 325}
)

// kinds lists the cases in the order in which they are shown.
func kinds() []kind {
	return []kind{
		{"clean", "1080p, 60 frames/s, short shutter, a tripod", wide, nil, nil},
		{"fast-frames", "1080p, 120 frames/s, 1/500 s", wide, fastFrames, nil},
		{"portrait", "phone held upright: stored landscape with rotation metadata", tall, nil, nil},
		{"left", "left-hander: the target is at the picture's left", leftWide, nil, nil},
		{"low-rate", "720p, 60 frames/s, 2 Mbit/s", wide720, func(_ dice, s *Spec) { s.Video.BitRate = 2e6 }, nil},
		{"messenger", "540p, 30 frames/s, 1.1 Mbit/s, colour tags and sound lost", wide540, messenger, nil},
		{"dim", "indoor light: 1/60-1/120 s, much noise", wide, dim, nil},
		{"lamp-beat", "lamps that beat against the frames: brightness 5-15 % up and down", wide, nil, lampBeat},
		{"shadow", "a shadow that wanders through, exposure steps of up to 0.7 EV", wide, nil, wanderingShadow},
		{"distractor", "shoes, flag or coin of nearly the sticker's hue", wide, nil, distract},
		{"crossing", "a hand, a club or a second sticker crosses before the stroke", wide, lateStroke, cross},
		{"hidden", "the sticker half hidden by ball, toe or shoe for up to 6 frames", wide, nil, hide},
		{"small", "a sticker of 8 px", far, func(_ dice, s *Spec) { s.Putter.StickerSize = 0.0202 }, nil},
		{"glare", "a highlight that travels over head and sticker", wide, nil, glare},
		{"shake", "held in the hand: drift to 3 px, tremor, roll", wide, nil, shake},
		{"lens", "radial distortion", wide, distortion, nil},
		{"coloured-ball", "a yellow, orange or half-and-half ball, mat with or without lines", wide, colouredBall, nil},
		{"vfr", "a tenth of the frames dropped, stamps up to 3 ms off the beat", wide, uneven, nil},
		{"no-sound", "no sound track", wide, func(_ dice, s *Spec) { s.Sound.None = true }, nil},
		{"out-of-step", "sound 40-120 ms off, noises that are no impact", wide, outOfStep, nil},
		{"two-strokes", "a practice stroke nearer the player, then the putt", wide, twoStrokes, nil},
		{"three-balls", "three balls in a row, one struck", wide, nil, threeBalls},
		{"child", "a small player with a short putter and a cap", wide, child, nil},
		{"leaves-frame", "an end of the stroke is out of the picture", leaving, wideStroke, nil},
		{"rod", "a metre rod with three bands on the putt line in the first second", withRod, rodFirst, layRod},
		{"one-night", "twelve putts of one evening: one device, one sound offset", wide, nil, nil},
		{"no-sticker", "no sticker on the putter", wide, func(_ dice, s *Spec) { s.Putter.Sticker = false }, nil},
		{"no-ball", "a stroke without a ball", wide, func(_ dice, s *Spec) { s.Ball.Present = false }, nil},
		{"nobody", "an empty room with a ball", wide, nobody, nil},
		{"still", "a player at address who never moves", wide, func(_ dice, s *Spec) { s.Strokes = nil }, nil},
		{"waggles", "a player who waggles and does not putt", wide, onlyWaggles, nil},
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
	if k.name == nightCase {
		return drawNight(k, seed)
	}
	d := newDice(k.name, seed)
	s := draw(d, k.name, seed)
	if k.change != nil {
		k.change(d, &s)
	}
	if err := aim(d, &s, k.framing); err != nil {
		return Spec{}, err
	}
	if err := clipLength(d, &s); err != nil || k.place == nil {
		return s, err
	}
	return s, k.place(d, &s)
}

// clipLength lets the camera run at least three seconds after the stop, in
// whole frames.
func clipLength(d dice, s *Spec) error {
	end := d.in(3, 4)
	if n := len(s.Idle); n > 0 {
		end = s.Idle[n-1].At + d.in(1.5, 2.5)
	}
	if n := len(s.Strokes); n > 0 {
		sc, err := newScene(*s)
		if err != nil {
			return err
		}
		end = sc.motion.swings[n-1].rest() + d.in(3.05, 3.4)
	}
	s.Duration = math.Ceil(end*s.Video.pace()) / s.Video.pace()
	return nil
}

// pace is the frames a second.
func (v Video) pace() float64 { return float64(v.RateNum) / float64(v.RateDen) }

func fastFrames(_ dice, s *Spec) {
	s.Video.RateNum, s.Video.BitRate, s.Video.Shutter = 120, 25e6, 1.0/500
}

func messenger(_ dice, s *Spec) {
	s.Video.RateNum, s.Video.BitRate = 30, 1.1e6
	s.Video.NoColourTags, s.Sound.None = true, true
}

func dim(d dice, s *Spec) {
	s.Video.Shutter, s.Video.Noise = 1/d.in(60, 120), d.in(0.03, 0.05)
	s.Video.Gain *= 0.75
}

func uneven(_ dice, s *Spec) { s.Video.DropShare, s.Video.StampJitter = 0.10, 0.003 }

func outOfStep(d dice, s *Spec) {
	s.Sound.Offset = d.sign() * d.in(0.040, 0.120)
	for range 3 {
		s.Sound.Decoys = append(s.Sound.Decoys, d.in(0.3, 5.5))
	}
}

func child(d dice, s *Spec) {
	s.Player.Height, s.Player.Cap = d.in(1.15, 1.35), true
	s.Player.Stance = s.Player.Height / figureHeight * d.in(0.34, 0.46)
	s.Putter.SwingRadius = d.in(1.2, 1.3)
	fitClub(d, s)
	s.Strokes[0] = drawStroke(d, d.in(1.0, 1.8), func(st *Stroke) { st.Back, st.Through = d.in(0.12, 0.28), d.in(0.15, 0.32) })
}

// twoStrokes puts a practice stroke before the putt.
func twoStrokes(d dice, s *Spec) {
	practice := drawStroke(d, d.in(1.0, 1.4), func(st *Stroke) { st.Hold, st.ReturnIn = min(st.Hold, 0.6), 0.7 })
	practice.Inside = d.in(0.10, 0.15)
	end := newSwing(practice, s.Ball.Gap).settle.end()
	putt := drawStroke(d, end+d.in(0.7, 1.1)+stillAfterWaggle, func(st *Stroke) { st.Waggles = nil })
	s.Strokes = []Stroke{practice, putt}
}

func wideStroke(d dice, s *Spec) {
	s.Strokes[0] = drawStroke(d, d.in(1.0, 1.8), func(st *Stroke) { st.Back, st.Through = d.in(0.38, 0.45), d.in(0.48, 0.55) })
}

// onlyWaggles moves the putter to and fro over and over, by no more than waggles do
// before a stroke.
func onlyWaggles(d dice, s *Spec) {
	s.Strokes = nil
	at := d.in(0.5, 0.9)
	s.Idle = []Knot{{at, 0}}
	for range 1 + d.IntN(3) {
		s.Idle = append(s.Idle, Knot{at + waggleStep, -d.in(0.008, 0.03)}, Knot{at + 2*waggleStep, d.in(0.002, 0.02)}, Knot{at + 3*waggleStep, 0})
		at += 3*waggleStep + d.in(0.1, 0.5)
		s.Idle = append(s.Idle, Knot{at, 0})
	}
}

func nobody(_ dice, s *Spec) {
	s.Player.Present, s.Putter.Present, s.Strokes = false, false, nil
}
