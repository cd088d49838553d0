package demo

import (
	"errors"
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// dice draws from ranges.
type dice struct{ *rand.Rand }

func newDice(name string, seed int) dice {
	h := fnv.New64a()
	h.Write([]byte(name))
	return dice{rand.New(rand.NewPCG(h.Sum64(), uint64(seed)))}
}

func (d dice) in(lo, hi float64) float64 { return lo + (hi-lo)*d.Float64() }
func (d dice) chance(p float64) bool     { return d.Float64() < p }
func (d dice) sign() float64 {
	if d.chance(0.5) {
		return -1
	}
	return 1
}

func pick[T any](d dice, list []T) T { return list[d.IntN(len(list))] }

// noiseSeed makes the noise of two clips different.
func (s Spec) noiseSeed() uint64 {
	h := fnv.New64a()
	h.Write([]byte(s.Case))
	return h.Sum64() ^ uint64(s.Seed)*0x9e3779b97f4a7c15
}

// draw makes a plain clip; the cases change it afterwards.
func draw(d dice, name string, seed int) Spec {
	s := Spec{Case: name, Seed: seed}
	s.Video = Video{RateNum: 60, RateDen: 1, BitRate: 20e6, Shutter: 1 / d.in(250, 1000),
		Gain: d.in(1.15, 1.45), Noise: d.in(0.008, 0.015), Sharpen: d.in(0, 0.6), ChromaLeft: d.chance(0.5)}
	s.Sound = Sound{Offset: d.in(-0.040, 0.040), Temperature: d.in(5, 35), Room: d.in(0.001, 0.004), Click: d.in(0.15, 0.5)}
	s.Room = Room{Wall: pick(d, wallColours), Floor: pick(d, floorColours), Mat: pick(d, matColours),
		Depth: d.in(1.1, 2.4), Board: d.sign() * d.in(0.9, 1.5), Grain: d.Uint64()}
	s.Ball = Ball{Present: true, Diameter: d.in(42.67e-3, 42.95e-3), Gap: d.in(0, 0.012), Ratio: d.in(1.45, 1.70),
		SpinShare: d.in(0, 0.6), Friction: d.in(0.2, 0.5), GreenSpeed: d.in(7, 12), RGB: rgb{0.80, 0.80, 0.78}, MarkAngle: d.in(-1, 1)}
	s.Putter = drawPutter(d)
	s.Player = drawPlayer(d, seed, s.Putter)
	fitClub(d, &s)
	s.Strokes = []Stroke{drawStroke(d, d.in(1.0, 1.8), nil)}
	s.Tremor = drawTremor(d)
	return s
}

func drawPutter(d dice) Putter {
	sticker := pick(d, stickerColours)
	p := Putter{Present: true, Sticker: true, StickerName: sticker.name, StickerRGB: sticker.rgb,
		StickerSize: d.in(0.020, 0.025), PlaneOffset: d.in(0.035, 0.060), Lie: d.in(71, 76),
		Depth: d.in(0.034, 0.085), SoleGap: d.in(0.002, 0.005),
		HeadRGB: pick(d, puttHeadColours), GripRGB: pick(d, gripColours),
		SwingRadius: d.in(1.2, 1.6), PlaneTilt: d.in(5, 15), FaceTurn: d.in(0, 8), AddressLean: d.in(-1, 4)}
	p.HeadHeight = p.StickerSize + d.in(0.003, 0.006)
	p.StickerUp = p.HeadHeight/2 + d.in(-0.5e-3, 0.5e-3)
	p.FaceAhead = p.Depth/2 + d.in(-1, 1)*math.Max(0, (p.Depth-p.StickerSize)/2-0.005)
	p.Width = 2 * p.PlaneOffset
	return p
}

func drawPlayer(d dice, seed int, p Putter) Player {
	g := Player{Present: true, Height: d.in(1.60, 1.86), RockTop: d.in(8, 22), RockFinish: d.in(8, 22),
		WristTop: d.in(-6, 2), WristFinish: d.in(0, 50), ElbowFinish: d.in(0.95, 1.25), Sway: d.in(0, 0.020),
		HeadTurn: d.in(0, 40), HeadTurnAt: d.in(-0.15, 1.6), HeadTurnIn: d.in(0.25, 0.6), Lag: d.in(-0.03, 0.05),
		Bands: seed%2 == 0, Cap: d.chance(0.6) || seed%2 == 0, LongSleeve: d.chance(0.2) && seed%2 == 1,
		Skin: pick(d, skinColours), Hair: pick(d, hairColours), CapRGB: pick(d, capColours),
		Shirt: pick(d, shirtColours), Trousers: pick(d, trouserColours), Shoes: pick(d, shoeColours)}
	g.Stance = g.Height / figureHeight * d.in(0.34, 0.46)
	g.StanceBack = d.in(0.03, 0.09)
	var free []rgb
	for _, c := range bandColours {
		if apart(c, p.StickerRGB) > 25 {
			free = append(free, c)
		}
	}
	d.Shuffle(len(free), func(i, j int) { free[i], free[j] = free[j], free[i] })
	g.BandRGB = []rgb{free[0], free[1], free[2], free[3], free[4%len(free)], free[5%len(free)]}
	return g
}

// fitClub makes the club as long as the player's hands are high.
func fitClub(d dice, s *Spec) {
	k := s.Player.Height / figureHeight
	grip := k * d.in(0.79, 0.82)
	s.Putter.Length = (grip - s.Putter.HeadHeight - s.Putter.SoleGap) / math.Sin(s.Putter.Lie*degree)
}

// drawStroke draws until the random profile has an impact speed and a
// follow-through time of real putts. Shape, if any, narrows each draw first.
func drawStroke(d dice, onset float64, shape func(*Stroke)) Stroke {
	for {
		s := Stroke{Onset: onset, BackTime: d.in(0.5, 1.0), DownTime: d.in(0.25, 0.45), Back: d.in(0.12, 0.45),
			Through: d.in(0.15, 0.55), Loss: d.in(0.05, 0.30), Hold: d.in(0.2, 3.0), Drift: d.in(-0.002, 0.001)}
		if d.chance(0.25) {
			s.Pause = d.in(0.03, 0.30)
		}
		s.BackKnots = []Knot{{d.in(0.15, 0.30), d.in(0.35, 0.7)}, {d.in(0.40, 0.60), 1}, {d.in(0.70, 0.85), d.in(0.4, 0.75)}}
		s.DownKnots = []Knot{{d.in(0.25, 0.45), d.in(0.30, 0.55)}, {d.in(0.60, 0.80), d.in(0.75, 0.95)}, {1, 1}, {1.25, d.in(1.0, 1.04)}}
		s.RestKnots = []Knot{{d.in(0.20, 0.35), d.in(0.70, 0.88)}, {d.in(0.50, 0.70), d.in(0.25, 0.50)}}
		switch {
		case s.Hold < 0.8:
			s.Return, s.ReturnIn = d.in(0, 0.090), d.in(0.25, 0.5)
		case d.chance(0.6):
			s.Return, s.ReturnIn = d.in(0.06, 0.20), d.in(0.4, 0.9)
		default:
			s.Return, s.ReturnIn = 0, 0.5
		}
		if d.chance(0.3) {
			s.Waggles = []float64{-d.in(0.008, 0.03), d.in(0.002, 0.02)}
		}
		if shape != nil {
			shape(&s)
		}
		if n := len(s.Waggles); n > 0 {
			s.Onset += waggleStep * float64(n+1)
		}
		w := newSwing(s, 0.006)
		span := w.after.end() - w.contact
		v := w.before * (1 - s.Loss/2)
		if w.before > 0.85 && w.before < 2.1 && s.Through/v > 0.2 && span > 0.25 && span < 1.0 {
			return s
		}
	}
}

func drawTremor(d dice) []Wave {
	total := d.in(0.2e-3, 0.5e-3)
	share := d.in(0.5, 0.8)
	return []Wave{
		{total * share, d.in(5, 9), d.in(0, 2*math.Pi)},
		{total * (1 - share), d.in(5, 9), d.in(0, 2*math.Pi)},
	}
}

// framing is what a case asks of the camera.
type framing struct {
	width, height    int
	turned, mirrored bool
	scaleLo          float64 // px/m at the ball
	scaleHi          float64
	leaves           bool    // the stroke leaves the picture
	aside            float64 // m of floor on either side of the ball that are shown at least
}

var errNoView = errors.New("no camera place shows the whole scene")

// aim draws camera places until the player, the stroke and the ball are in
// view at the asked scale.
func aim(d dice, s *Spec, f framing) error {
	for range 4000 {
		c := Camera{Width: f.width, Height: f.height, Turned: f.turned, Mirrored: f.mirrored, FocalMM: d.in(26, 50), Distance: d.in(2.5, 4.5),
			Rise: d.in(0.7, 1.4), Yaw: d.in(-3, 3), Roll: d.in(-2, 2)}
		past := d.in(-0.12, 0.14)
		if f.leaves {
			past = d.sign() * d.in(0.5, 2)
		}
		c.Aside = past - c.Distance*math.Tan(c.Yaw*degree)
		low := math.Atan2(-c.Rise, c.Distance-0.1)
		high := math.Atan2(1.54*s.Player.Height/figureHeight-c.Rise, c.Distance+0.05)
		c.Pitch = (low+high)/2/degree + d.in(-2.5, 2.5)
		s.Camera = c
		v := newView(c)
		scale := v.scale(vec{0, s.Ball.Diameter / 2, 0})
		if scale < f.scaleLo || scale > f.scaleHi {
			continue
		}
		if inView(*s, v, f) && f.leaves == leaves(*s, v) {
			return nil
		}
	}
	return errNoView
}

// viewMargin is how far inside the picture everything stays, as a share of its
// height.
const viewMargin = 0.018

func inView(s Spec, v view, f framing) bool {
	margin := viewMargin * float64(f.height)
	k := s.Player.Height / figureHeight
	pts := []vec{{0, 0, 0.10}, {-0.28 * k, 1.57 * k, -0.05}, {0.28 * k, 1.57 * k, -0.05}, {0.32 * k, 0.9, -0.2}, {-0.42 * k, 0.9, -0.2}}
	if !f.leaves {
		for _, st := range s.Strokes {
			pts = append(pts, vec{-st.Back - 0.14, 0, 0.08}, vec{st.Through + 0.05, 0.0, 0.08})
		}
	}
	if f.aside > 0 {
		pts = append(pts, vec{-f.aside, 0, 0}, vec{f.aside, 0, 0})
	}
	for _, p := range pts {
		if !v.inside(v.see(p), margin) {
			return false
		}
	}
	return true
}

// leaves reports whether an end of the stroke is out of the picture.
func leaves(s Spec, v view) bool {
	for _, st := range s.Strokes {
		for _, x := range []float64{-st.Back, st.Through} {
			if !v.inside(v.see(vec{x - 0.05, 0.05, s.Putter.PlaneOffset}), -5) {
				return true
			}
		}
	}
	return false
}
