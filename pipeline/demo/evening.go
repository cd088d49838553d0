package demo

import "math"

// The cases that are about a whole evening: the rod that is filmed before the
// putt, and the putts that share one device.

// The rod's second: it lies there, a hand takes it away, the hand puts the ball
// down, the player addresses it.
const (
	rodTaken   = 1.02 // s, the hand begins to draw it away
	rodGone    = 1.60
	ballPlaced = 2.15
	addressed  = 2.75
	rodStill   = 1.15 // s of rest after that
)

// rodFirst holds the putter above the rod until the ball lies there.
func rodFirst(d dice, s *Spec) {
	s.Strokes[0].Waggles = nil
	s.Strokes[0].Onset = addressed + rodStill + d.in(0, 0.5)
	up := d.in(0.07, 0.11)
	s.Raise = []Knot{{0, up}, {ballPlaced + 0.15, up}, {addressed, 0}}
	s.Ball.PlacedAt = ballPlaced
}

// layRod puts the rod on the line and the hand that takes it away and brings the
// ball.
func layRod(d dice, s *Spec) error {
	first := d.in(-0.45, -0.35)
	r := Rod{Width: d.in(0.02, 0.03), Radius: d.in(0.005, 0.008), RGB: rgb{0.55, 0.55, 0.52}, Until: rodTaken,
		Bands: [3]float64{first, first + d.in(0.30, 0.45), d.in(0.35, 0.45)}}
	for _, c := range bandColours {
		if apart(c, s.Putter.StickerRGB) > 25 && apart(c, s.Room.Mat) > 25 {
			r.Marks = c
			break
		}
	}
	s.Rod = &r
	grip := Place{0.02, 0.03, 0.05}
	arm := []Prop{
		{Kind: propBar, Points: []Place{grip, {0.16, 0.12, 1.0}}, Radii: []float64{0.034, 0.055}, RGB: s.Player.Skin},
		{Kind: propBar, Points: []Place{grip, {0.0, 0.028, 0.03}}, Radii: []float64{0.038, 0.026}, RGB: s.Player.Skin},
	}
	s.Props = r.props(nil)
	away, ok := outBelow(newView(s.Camera), append(arm, s.Props...))
	if !ok {
		return errNoPlace
	}
	for i := range s.Props {
		s.Props[i].Path = []PropKey{{0, Place{}}, {rodTaken, Place{}}, {rodGone, away}}
	}
	hand := []PropKey{{0, away}, {rodTaken - 0.45, away}, {rodTaken, Place{}}, {rodGone, away}, {ballPlaced - 0.4, away},
		{ballPlaced, Place{-0.01, 0, -0.03}}, {ballPlaced + 0.45, away}}
	for _, o := range arm {
		o.Front, o.Path = true, hand
		s.Props = append(s.Props, o)
	}
	return nil
}

// outBelow is how far down and toward the camera things must move until none is
// seen: all of them lie under the picture's lower edge, well before the camera.
func outBelow(v view, things []Prop) (Place, bool) {
	for k := 0.0; k < 0.8*v.at.z; k += 0.02 {
		away, gone := vec{0, -0.8 * k, 0.4 * k}, true
		for _, o := range things {
			for i, p := range o.Points {
				q := p.vec().add(away)
				gone = gone && v.eye(q).z > 0.5 && v.see(q).y-o.Radii[i]*v.scale(q) > float64(v.height)+5
			}
		}
		if gone {
			return Place{away.x, away.y, away.z}, true
		}
	}
	return Place{}, false
}

const (
	nightCase = "one-night"
	// NightPutts share an evening: seeds 1 to 12, 13 to 24 and so on.
	NightPutts = 12
)

// drawNight draws one of twelve putts. Device, camera, room, player, club, ball
// and the air are those of the night; stroke, strike, tremor and the body's
// changes are the putt's own.
func drawNight(k kind, seed int) (Spec, error) {
	night := newDice("night", (seed-1)/NightPutts)
	s := draw(night, k.name, 2) // a player with bands
	s.Seed = seed
	own := s
	own.Strokes = []Stroke{{Back: 0.45, Through: 0.55}}
	if err := aim(night, &own, k.framing); err != nil {
		return Spec{}, err
	}
	s.Camera = own.Camera
	d := newDice(k.name, seed)
	s.Strokes = []Stroke{drawStroke(d, d.in(1.0, 1.8), nil)}
	s.Tremor = drawTremor(d)
	s.Ball.Gap, s.Ball.Ratio, s.Ball.SpinShare, s.Ball.MarkAngle = d.in(0, 0.012), d.in(1.45, 1.70), d.in(0, 0.6), d.in(-math.Pi, math.Pi)
	p := &s.Player
	p.RockTop, p.RockFinish, p.WristFinish, p.ElbowFinish = d.in(8, 22), d.in(8, 22), d.in(0, 50), d.in(0.95, 1.25)
	p.Sway, p.HeadTurn, p.HeadTurnAt, p.HeadTurnIn = d.in(0, 0.020), d.in(0, 40), d.in(-0.15, 1.6), d.in(0.25, 0.6)
	return s, clipLength(d, &s)
}
