package ball

import (
	"math"
	"math/rand/v2"
	"testing"
)

// rate is the frames a second of the painted clips, shutter their exposure.
const (
	rate    = 60.0
	shutter = 1 / 400.
)

// putt is a stroke seen from the front: 9 px of radius are 422 px/m. The ball
// rests at ballX; side is +1 when it is struck to the right. The head carries a
// bright round dot as large as the ball.
type putt struct {
	side     float64
	ballX, y float64
	r        float64
	struckAt float64 // s; +Inf when the head only passes over the ball
	width    int
}

const (
	address  = 0.55 // s, the head is still beside the ball
	backTime = 0.5  // s
	swing    = 110. // px, length of the backstroke
	away     = 0.35 // s, pause at the top, so that the ball lies alone
	downRate = 5.2  // rad/s of the downstroke: 570 px/s at the ball
	height   = 70   // px, of the picture
	gap      = 3.   // px between face and ball at address
)

func rightPutt() putt {
	s := putt{side: 1, ballX: 160.37, y: 35.2, r: 9, width: 560}
	s.struckAt = address + backTime + away + (math.Pi/2+math.Asin(gap/swing))/downRate
	return s
}

// leftPutt is the same putt in a mirror.
func leftPutt() putt {
	s := rightPutt()
	s.side, s.ballX = -1, float64(s.width-1)-s.ballX
	return s
}

// forward is how far toward the target head and ball are from address.
func (s putt) forward(t float64) (head, ball float64) {
	top := address + backTime
	switch {
	case t < address:
		return 0, 0
	case t < top:
		return -swing * (1 - math.Cos(math.Pi*(t-address)/backTime)) / 2, 0
	case t < top+away:
		return -swing, 0
	case t < s.struckAt:
		return -swing * math.Cos(downRate*(t-top-away)), 0
	}
	since, v := t-s.struckAt, swing*downRate
	return gap + 0.8*v*0.25*(1-math.Exp(-since/0.25)), 1.55*v*since - 90*since*since
}

// sticker is where the head's sticker is.
func (s putt) sticker(t float64) float64 {
	head, _ := s.forward(t)
	return s.ballX + s.side*(head-s.r-gap-16)
}

// ball is the mean place of the ball over the exposure.
func (s putt) ball(t float64) float64 {
	const steps = 32
	sum := 0.0
	for k := range steps {
		_, x := s.forward(t + shutter*((float64(k)+0.5)/steps-0.5))
		sum += x / steps
	}
	return s.ballX + s.side*sum
}

func (s putt) paint(t float64) *picture {
	p := floor(s.width, height, 0.09)
	x := s.ball(t)
	_, before := s.forward(t - shutter/2)
	_, after := s.forward(t + shutter/2)
	p.shadow(x, s.y+s.r, s.r)
	p.globe(globe{x: x, y: s.y, a: s.r, b: 1.02 * s.r, moved: s.side * (after - before), mark: dot{0.3, -0.45, 0.14}})
	at := s.sticker(t)
	p.rect(at-16, s.y-12, at+16, s.y+11, 0.3)
	p.globe(globe{x: at - 3*s.side, y: s.y, a: s.r, b: s.r})
	return p
}

func (s putt) watch(until float64) *Finder {
	rng := rand.New(rand.NewPCG(11, 12))
	fd := New(DefaultOptions())
	for i := 0; float64(i)/rate < until; i++ {
		t := float64(i) / rate
		ahead, behind := s.sticker(t+1/rate), s.sticker(t-1/rate)
		anchor := Anchor{X: s.sticker(t), Y: s.y, Radius: s.r / 1.9, Still: math.Abs(ahead-behind) < 0.5}
		f := s.paint(t).frame(i, t, phone{soft: 0.6, gamma: 2.2, sharpen: 0.3, noise: 1.2}, rng)
		fd.Next(f, []Anchor{anchor})
	}
	return fd
}

func TestStruckBallIsFollowed(t *testing.T) {
	for name, s := range map[string]putt{"to the right": rightPutt(), "to the left": leftPutt()} {
		t.Run(name, func(t *testing.T) {
			balls := s.watch(s.struckAt + 0.25).Balls()
			if len(balls) == 0 {
				t.Fatal("no ball found")
			}
			b := balls[0]
			if !b.Left {
				t.Fatal("the ball did not leave its place")
			}
			if math.Abs(b.Last-s.struckAt) > 1.5/rate {
				t.Errorf("last seen at rest at %.4f s, struck at %.4f s", b.Last, s.struckAt)
			}
			rolling, seen := 0, 0
			for _, p := range b.Track().Samples {
				if want := s.ball(p.T); p.Seen && math.Abs(p.X-want) > 0.4 {
					t.Errorf("frame %d: x %.2f, want %.2f", p.Frame, p.X, want)
				}
				if p.T > s.struckAt+1/rate {
					rolling++
					if p.Seen {
						seen++
					}
				}
			}
			if rolling < 12 || seen < rolling*9/10 {
				t.Errorf("seen in %d of %d frames on its way", seen, rolling)
			}
		})
	}
}

// A camera in the hand wanders while the head is at the ball, by more than a ball at
// rest may be off its place; its outline is as sharp as from a tripod.
func TestBallBeforeACameraInTheHand(t *testing.T) {
	s := rightPutt()
	drift := func(t float64) (x, y float64) { return 5*math.Min(t, 1) + 0.3*math.Sin(50*t), 0.8 * math.Sin(2*t) }
	film := func(sway bool) *Ball {
		rng := rand.New(rand.NewPCG(2, 3))
		fd := New(DefaultOptions())
		at := 0.0
		if sway {
			fd.Sway = func(_, _ float64) (dx, dy float64) { return drift(at) }
		}
		for i := range 100 {
			at = float64(i) / rate
			dx, dy := 0.0, 0.0
			if sway {
				dx, dy = drift(at)
			}
			head := s.ballX - s.r - gap - 16
			if at > 1.2 {
				head -= swing
			}
			p := floor(s.width, height, 0.09)
			p.globe(globe{x: s.ballX + dx, y: s.y + dy, a: s.r, b: 1.02 * s.r})
			p.rect(head+dx-16, s.y+dy-12, head+dx+16, s.y+dy+11, 0.05)
			f := p.frame(i, at, phone{soft: 0.6, gamma: 2.2, noise: 1.2}, rng)
			fd.Next(f, []Anchor{{X: head + dx, Y: s.y + dy, Radius: s.r / 1.9, Still: true}})
		}
		if len(fd.Balls()) != 1 {
			t.Fatalf("%d balls found, want 1", len(fd.Balls()))
		}
		return fd.Balls()[0]
	}
	b := film(true)
	for _, p := range b.Track().Samples {
		dx, dy := drift(p.T)
		if off := math.Hypot(p.X-s.ballX-dx, p.Y-s.y-dy); !p.Seen || p.T > 1.3 && off > 0.15 || off > 1 {
			t.Errorf("frame %d: seen %v, %.2f px from its place", p.Frame, p.Seen, off)
		}
	}
	swayed, err := b.Outline()
	if err != nil {
		t.Fatal(err)
	}
	still, err := film(false).Outline()
	if err != nil {
		t.Fatal(err)
	}
	dx, dy := drift(b.Last)
	if math.Hypot(swayed.X-s.ballX-dx, swayed.Y-s.y-dy) > 0.15 {
		t.Errorf("outline at (%.2f, %.2f), want (%.2f, %.2f)", swayed.X, swayed.Y, s.ballX+dx, s.y+dy)
	}
	if math.Abs(swayed.Width-still.Width) > 0.1 || swayed.Softness > still.Softness+0.15 {
		t.Errorf("width %.2f px, softness %.2f, from a tripod %.2f and %.2f", swayed.Width, swayed.Softness, still.Width, still.Softness)
	}
}

// The head may be held before the ball for a moment: nothing has left then.
func TestHiddenBallStaysAtRest(t *testing.T) {
	s := rightPutt()
	rng := rand.New(rand.NewPCG(2, 3))
	fd := New(DefaultOptions())
	hidden := func(i int) bool { return i >= 50 && i < 54 }
	for i := range 70 {
		p := floor(s.width, height, 0.09)
		p.globe(globe{x: s.ballX, y: s.y, a: s.r, b: s.r})
		at := s.ballX - s.r - gap - 16
		if hidden(i) {
			at = s.ballX
		}
		p.rect(at-16, s.y-12, at+16, s.y+11, 0.05)
		f := p.frame(i, float64(i)/rate, phone{soft: 0.6, gamma: 2.2, noise: 1.2}, rng)
		fd.Next(f, []Anchor{{X: at, Y: s.y, Radius: s.r / 1.9, Still: !hidden(i)}})
	}
	if len(fd.Balls()) != 1 {
		t.Fatalf("%d balls found, want 1", len(fd.Balls()))
	}
	b := fd.Balls()[0]
	if b.Left {
		t.Error("the ball is said to have left")
	}
	for _, p := range b.Track().Samples {
		if p.Seen == hidden(p.Frame) {
			t.Errorf("frame %d: seen %v while hidden is %v", p.Frame, p.Seen, hidden(p.Frame))
		}
	}
	if math.Abs(b.RestX-s.ballX) > 0.5 || b.Last < 69/rate-1e-9 {
		t.Errorf("at rest at %.2f until %.3f s, want %.2f until the end", b.RestX, b.Last, s.ballX)
	}
}

func TestNoBallOnAPlainFloor(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 3))
	p := floor(300, 160, 0.09)
	p.rect(60, 90, 76, 106, 0.7)  // a tile
	p.rect(180, 0, 183, 160, 0.7) // a line on the mat
	p.rect(95, 72, 125, 90, 0.08) // the head
	p.shadow(150, 96, 10)         // a stain
	code := p.code(phone{soft: 0.6, gamma: 2.2, sharpen: 0.4})
	fd := New(DefaultOptions())
	for i := range 45 {
		fd.Next(grainy(code, p.w, p.h, i, float64(i)/rate, 2, rng), []Anchor{{X: 110, Y: 81, Radius: 5.5, Still: true}})
	}
	if n := len(fd.Balls()); n != 0 {
		t.Errorf("%d balls found where none lies", n)
	}
}

// A ball that lies beside a sticker that never rests is not at address.
func TestBallNeedsAStillSticker(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 3))
	s := rightPutt()
	code := s.paint(0).code(phone{soft: 0.6, gamma: 2.2})
	fd := New(DefaultOptions())
	for i := range 45 {
		fd.Next(grainy(code, s.width, height, i, float64(i)/rate, 1.2, rng), []Anchor{{X: s.sticker(0), Y: s.y, Radius: s.r / 1.9}})
	}
	if n := len(fd.Balls()); n != 0 {
		t.Errorf("%d balls found beside a moving sticker", n)
	}
}

func TestOptionsSayWhatIsWrong(t *testing.T) {
	for _, c := range []struct {
		name, want string
		change     func(*Options)
	}{
		{"widths the wrong way round", "width_high: must be above width_low, 1.45 (got 1.2)", func(o *Options) { o.WidthHigh = 1.2 }},
		{"contrast of nothing", "min_contrast: must be between 4 and 120 (got 0)", func(o *Options) { o.MinContrast = 0 }},
		{"not a number", "max_speed: must be between 10 and 500 (got NaN)", func(o *Options) { o.MaxSpeed = math.NaN() }},
		{"still for ever", "still_time: must be between 0.05 and 5 (got +Inf)", func(o *Options) { o.StillTime = math.Inf(1) }},
	} {
		o := DefaultOptions()
		c.change(&o)
		if err := o.Validate(); err == nil || err.Error() != c.want {
			t.Errorf("%s: got %v, want %s", c.name, err, c.want)
		}
	}
	if err := DefaultOptions().Validate(); err != nil {
		t.Errorf("the defaults are refused: %v", err)
	}
}
