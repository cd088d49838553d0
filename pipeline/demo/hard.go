package demo

import (
	"errors"
	"math"
)

// The cases with something in the picture or before the lens that a tracker must
// not fall for. What is placed with regard to the camera is placed after it.

var errNoPlace = errors.New("found no place for what the case adds")

// lampBeat lights the room by lamps whose light ripples with twice the mains
// frequency. The ripple is such that the frames, each the mean over its
// exposure, differ by 5-15 % from the darkest to the brightest.
func lampBeat(d dice, s *Spec) error {
	s.Video.Shutter = 1 / d.in(250, 700)
	beat := d.in(0.05, 0.15)
	// 100 Hz against 60 frames a second beats at 20 Hz, 120 Hz that the mains
	// carry a little low at a few tenths of a hertz.
	hz := pick(d, []float64{100, 120 - d.in(0.3, 1.2)})
	half := math.Pi * hz * s.Video.Shutter
	s.Light = Light{BeatHz: hz, BeatPhase: d.in(0, 2*math.Pi), BeatShare: beat / 2 * half / math.Sin(half)}
	return nil
}

// wanderingShadow sends a soft band of shade over the picture that meets the
// sticker during the stroke, and steps the exposure three times.
func wanderingShadow(d dice, s *Spec) error {
	sc, err := newScene(*s)
	if err != nil {
		return err
	}
	w := sc.motion.swings[0]
	meet := d.in(w.stroke.Onset, w.rest())
	sh := Shadow{Depth: d.in(0.30, 0.55), Speed: d.sign() * d.in(90, 420), Width: d.in(250, 800), Soft: d.in(24, 90), Slant: d.in(-0.4, 0.4)}
	p := sc.view.project(sc.marker(meet))
	sh.From = p.x - sh.Speed*meet - sh.Slant*(p.y-float64(sc.view.height)/2)
	if sh.Speed > 0 {
		sh.From -= sh.Width
	}
	s.Light.Shadow = &sh
	at := 0.0
	for range 3 {
		at += d.in(0.6, 2.0)
		s.Light.Steps = append(s.Light.Steps, LightStep{At: at, For: d.in(0.03, 0.25), EV: d.in(-0.7, 0.7)})
	}
	return nil
}

// nearHue is a colour within 8 degrees of another's hue.
func nearHue(d dice, c rgb) rgb {
	for {
		near := c.mix(rgb{float32(d.in(0, 0.9)), float32(d.in(0, 0.9)), float32(d.in(0, 0.9))}, 0.2).times(d.in(0.7, 1.05))
		if apart(near, c) < 8 {
			return near
		}
	}
}

// distract gives shoes, a flag or a coin nearly the sticker's hue, or all three.
func distract(d dice, s *Spec) error {
	shoe, flag, coin := s.Seed%4 == 1, s.Seed%4 == 2, s.Seed%4 == 3
	all := s.Seed%4 == 0
	c := s.Putter.StickerRGB
	if shoe || all {
		s.Player.Shoes = nearHue(d, c)
	}
	if flag || all {
		x, z, up := d.sign()*d.in(0.55, 0.85), -d.in(0.6, 0.9), d.in(0.5, 0.8)
		s.Props = append(s.Props,
			Prop{Kind: propBar, Points: []Place{{x, 0, z}, {x, up, z}}, Radii: []float64{0.006, 0.006}, RGB: rgb{0.6, 0.6, 0.58}},
			Prop{Kind: propSheet, Points: []Place{{x, up, z}, {x + 0.20, up - 0.06, z}, {x, up - 0.13, z}}, Normal: Place{0, 0, 1}, RGB: nearHue(d, c)})
	}
	if coin || all {
		s.Props = append(s.Props, Prop{Kind: propDisc, Points: []Place{{d.sign() * d.in(0.12, 0.45), 0.002, d.in(0.10, 0.22)}},
			Radii: []float64{d.in(0.011, 0.014)}, Normal: Place{0, 1, 0}, RGB: nearHue(d, c)})
	}
	return nil
}

// crossFor is the time that a stroke waits for somebody to cross, s.
const crossFor = 1.6

func lateStroke(_ dice, s *Spec) {
	s.Strokes[0].Waggles = nil
	s.Strokes[0].Onset += crossFor
}

// cross moves a forearm, a club or a club with a sticker of its own through the
// line of sight while the player waits.
func cross(d dice, s *Spec) error {
	z, from := d.in(0.25, 0.5), d.sign()
	begin := d.in(0.15, 0.35)
	path := []PropKey{{begin, Place{-1.6 * from, 0, 0}}, {begin + d.in(0.9, 1.15), Place{1.6 * from, 0, 0}}}
	add := func(o Prop) {
		o.Front, o.Path = true, path
		s.Props = append(s.Props, o)
	}
	if s.Seed%3 == 1 {
		reach := d.in(0.03, 0.10)
		hand, elbow := Place{0, reach + 0.10, z}, Place{-0.15 * from, 0.85, z + 0.25}
		add(Prop{Kind: propBar, Points: []Place{hand, elbow}, Radii: []float64{0.030, 0.047}, RGB: s.Player.Skin})
		add(Prop{Kind: propBar, Points: []Place{hand, {0.01, reach, z}}, Radii: []float64{0.042, 0.028}, RGB: s.Player.Skin})
		return nil
	}
	add(Prop{Kind: propBar, Points: []Place{{0, 0.03, z}, {0.05, 0.95, z + 0.15}}, Radii: []float64{0.005, 0.006}, RGB: rgb{0.5, 0.5, 0.52}})
	add(Prop{Kind: propBar, Points: []Place{{-0.035, 0.020, z}, {0.035, 0.020, z}}, Radii: []float64{0.016, 0.016}, RGB: pick(d, puttHeadColours)})
	if s.Seed%3 == 0 {
		add(Prop{Kind: propDisc, Points: []Place{{0, 0.020, z + 0.017}}, Radii: []float64{d.in(0.010, 0.0125)}, Normal: Place{0, 0, 1}, RGB: s.Putter.StickerRGB})
	}
	return nil
}

// mostHidden is how many frames the sticker may be hidden at a time.
const mostHidden = 6

// hide stands a spare ball, the toe of a club or a shoe before the stroke, where
// the sticker passes half behind it.
func hide(d dice, s *Spec) error {
	grey := pick(d, puttHeadColours)
	sc, err := newScene(*s)
	if err != nil {
		return err
	}
	for range 400 {
		x, z := d.in(-0.40, 0.50), d.in(0.075, 0.16)
		var o []Prop
		switch s.Seed % 3 {
		case 1:
			r := s.Ball.Diameter / 2
			o = []Prop{{Kind: propBall, Points: []Place{{x, r, z}}, Radii: []float64{r}, RGB: s.Ball.RGB}}
		case 2:
			r := d.in(0.012, 0.018)
			o = []Prop{{Kind: propBar, Points: []Place{{x, r, z + r}, {x + 0.05, r, z + 0.2}}, Radii: []float64{r, r}, RGB: grey},
				{Kind: propBar, Points: []Place{{x + 0.05, 2 * r, z + 0.2}, {x + 0.15, 1.0, z + 0.45}}, Radii: []float64{0.005, 0.006}, RGB: rgb{0.5, 0.5, 0.52}}}
		default:
			r := d.in(0.022, 0.032)
			o = []Prop{{Kind: propBar, Points: []Place{{x, r, z + r}, {x + d.in(-0.05, 0.05), 0.045, z + 0.24}}, Radii: []float64{r, 0.045}, RGB: rgb{0.10, 0.12, 0.17}}}
		}
		for i := range o {
			o[i].Front = true
		}
		sc.spec.Props = o
		if sc.halfHidden() {
			s.Props = o
			return nil
		}
	}
	return errNoPlace
}

// halfHidden reports whether the sticker is hidden for two to six frames at a
// time, and about half of it at most.
func (sc *scene) halfHidden() bool {
	run, longest, least := 0, 0, 1.0
	for _, t := range sc.stamps() {
		share := sc.visible(t)
		least = min(least, share)
		if share < 1 {
			run++
			longest = max(longest, run)
		} else {
			run = 0
		}
		if longest > mostHidden || least < 0.30 {
			return false
		}
	}
	return longest >= 2 && least < 0.70
}

// glare sends a highlight to and fro over the head while it swings.
func glare(d dice, s *Spec) error {
	sc, err := newScene(*s)
	if err != nil {
		return err
	}
	w := sc.motion.swings[0]
	g := Glare{OnHead: d.in(0.8, 2), OnSticker: d.in(0.25, 0.8), Radius: d.in(0.006, 0.014), Up: d.in(-0.006, 0.008)}
	side := d.sign()
	for _, t := range []float64{0, w.stroke.Onset, w.stroke.Onset + w.stroke.BackTime, w.contact, w.rest(), s.Duration} {
		g.Path = append(g.Path, Knot{t, side * d.in(0.004, 0.03)})
		side = -side
	}
	s.Putter.Glare = &g
	return nil
}

// shake holds the camera in the hand.
func shake(d dice, s *Spec) error {
	drift := func() []Knot {
		var k []Knot
		for i := range 6 {
			k = append(k, Knot{float64(i) / 5, d.in(0, 3)})
		}
		return k
	}
	phase := func() float64 { return d.in(0, 2*math.Pi) }
	s.Camera.Shake = Shake{DriftX: drift(), DriftY: drift(),
		TremorX: []Wave{{0.3, d.in(7, 9), phase()}}, TremorY: []Wave{{0.3, d.in(7, 9), phase()}},
		Roll: []Wave{{0.1, d.in(0.3, 0.9), phase()}}}
	return nil
}

func distortion(d dice, s *Spec) { s.Camera.Distortion = d.in(-0.08, 0.02) }

var ballColours = []rgb{{0.75, 0.68, 0.05}, {0.80, 0.24, 0.02}}

// colouredBall gives the putt a yellow, an orange or a half-and-half ball, never
// near the sticker in hue, on a mat with or without lines.
func colouredBall(d dice, s *Spec) {
	var free []rgb
	for _, c := range ballColours {
		if apart(c, s.Putter.StickerRGB) > 25 {
			free = append(free, c)
		}
	}
	white := s.Ball.RGB
	s.Ball.RGB = free[s.Seed%len(free)]
	if s.Seed%3 == 0 {
		s.Ball.Half = &white
		s.Ball.HalfAxis = Place{d.in(-1, 1), d.in(-1, 1), d.in(-1, 1)}
	}
	s.Room.Lines = s.Seed%2 == 0
}

// threeBalls lays two more balls in a row with the one that is struck, clear of
// the putter, of the ball's way and of the line of sight to the sticker.
func threeBalls(d dice, s *Spec) error {
	r := s.Ball.Diameter / 2
	struck := s.Seed % 3 // place in the row, from the player's side
	sc, err := newScene(*s)
	if err != nil {
		return err
	}
	for range 400 {
		gap, lean := d.in(0.11, 0.32), d.in(-0.5, 0.5)
		s.Props = nil
		for i := range 3 {
			if z := float64(i-struck) * gap; i != struck {
				s.Props = append(s.Props, Prop{Kind: propBall, Points: []Place{{lean * z, r, z}}, Radii: []float64{r}, RGB: s.Ball.RGB, Front: z > 0})
			}
		}
		sc.spec.Props = s.Props
		if sc.alwaysVisible() {
			return nil
		}
	}
	return errNoPlace
}

func (sc *scene) alwaysVisible() bool {
	for _, t := range sc.stamps() {
		if sc.visible(t) < 1 {
			return false
		}
	}
	return true
}
