package cast

import (
	"math"
	"testing"

	"strokereel/track"
)

// A clip of four seconds at 60 frames/s; a ball is 20 px wide, so 469 px/m.
const (
	frames = 240
	rate   = 60.0
	ball   = 20.0
	hit    = 2.0 // s
)

// follows is a track of what is at a place per time; ok tells where it is seen.
func follows(object string, at func(t float64) (x, y float64, ok bool)) track.Track {
	tr := track.Track{Object: object}
	for i := range frames {
		s := track.Sample{Frame: i, T: float64(i) / rate}
		if x, y, ok := at(s.T); ok {
			s.X, s.Y, s.U, s.Seen = x, y, 0.1, true
		}
		tr.Samples = append(tr.Samples, s)
	}
	return tr
}

// swinging is a sticker that lies still at a place until 1 s, goes back, is there
// again when the ball is struck and comes to rest past it. side is +1 when the
// target is at the picture's right.
func swinging(x, y, side float64) Spot {
	return Spot{Radius: 5.5, Track: follows(track.Putter, func(t float64) (float64, float64, bool) {
		switch {
		case t < 1:
			return x, y, true
		case t < hit+0.5:
			return x - side*100*math.Sin(math.Pi*(t-1)), y, true
		}
		return x + side*100, y, true
	})}
}

// resting is a spot that stays.
func resting(x, y float64) Spot {
	return Spot{Radius: 5.5, Track: follows(track.Putter, func(float64) (float64, float64, bool) { return x, y, true })}
}

// lying is a ball at rest for the whole clip.
func lying(x, y float64) Ball {
	return Ball{RestX: x, RestY: y, Width: ball, UWidth: 0.1, Last: frames / rate,
		Track: follows(track.Ball, func(float64) (float64, float64, bool) { return x, y, true })}
}

// rolling is a ball that leaves its place at a time with a speed in px/s.
func rolling(x, y, at, vx, vy float64) Ball {
	return Ball{RestX: x, RestY: y, Width: ball, UWidth: 0.1, Last: at, Left: true,
		Track: follows(track.Ball, func(t float64) (float64, float64, bool) {
			on := math.Max(0, t-at)
			return x + vx*on, y + vy*on, on < 1
		})}
}

func choose(t *testing.T, spots []Spot, balls []Ball) Cast {
	t.Helper()
	c, refusal := Choose(spots, balls, DefaultOptions())
	if refusal != nil {
		t.Fatalf("refused: %v", refusal)
	}
	return c
}

// at is where a spot lies at address.
func at(s Spot) [2]float64 { return [2]float64{s.Track.Samples[0].X, s.Track.Samples[0].Y} }

func TestChooseGivesTheParts(t *testing.T) {
	sticker, struck := swinging(460, 600, 1), rolling(500, 602, hit, 700, 0)
	elbow := swinging(470, 200, 1) // a band moves as the putter does, high above
	for _, c := range []struct {
		name   string
		spots  []Spot
		balls  []Ball
		putter Spot
		ball   Ball
		struck int
	}{
		{"one sticker, one ball", []Spot{sticker}, []Ball{struck}, sticker, struck, 1},
		{"an elbow band high above", []Spot{elbow, sticker}, []Ball{struck}, sticker, struck, 1},
		{"a still spot as near to the ball", []Spot{resting(545, 600), sticker}, []Ball{lying(580, 600), struck}, sticker, struck, 1},
		{"the ball is itself a coloured spot", []Spot{{Track: struck.Track, Radius: 9}, sticker}, []Ball{struck}, sticker, struck, 1},
		{"three balls, one struck", []Spot{sticker}, []Ball{lying(430, 601), struck, lying(700, 605)}, sticker, struck, 1},
		{"a ball rolls that nobody addressed", []Spot{sticker}, []Ball{rolling(900, 603, hit, 300, 0), lying(500, 602)}, sticker, lying(500, 602), 0},
		{"a ball that only rocks was not struck", []Spot{sticker}, []Ball{rolling(500, 602, hit, 20, 0)}, sticker, rolling(500, 602, hit, 20, 0), 0},
		{"a ball without a width is no ruler", []Spot{sticker}, []Ball{{RestX: 460, RestY: 602, Last: hit}, struck}, sticker, struck, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := choose(t, c.spots, c.balls)
			if at(got.Putter) != at(c.putter) {
				t.Errorf("the putter's sticker is the spot at %v, want %v", at(got.Putter), at(c.putter))
			}
			if got.Ball.RestX != c.ball.RestX || !got.ClearBall {
				t.Errorf("the ball is that at %g (clear %v), want %g", got.Ball.RestX, got.ClearBall, c.ball.RestX)
			}
			if len(got.Struck) != c.struck || got.DirectionKnown != (c.struck > 0) {
				t.Errorf("%d balls struck, direction known %v, want %d", len(got.Struck), got.DirectionKnown, c.struck)
			}
		})
	}
}

func TestStruckBallsAreInOrderOfTime(t *testing.T) {
	got := choose(t, []Spot{swinging(460, 600, 1)}, []Ball{rolling(500, 602, 2.8, 700, 0), rolling(502, 602, hit, 600, 0)})
	if len(got.Struck) != 2 || got.Struck[0].Last != hit || got.Struck[1].Last != 2.8 {
		t.Errorf("struck %+v, want the one at %g s first", got.Struck, hit)
	}
}

func TestDirectionIsThatOfTheRoll(t *testing.T) {
	for _, c := range []struct {
		name       string
		side, tilt float64 // degrees clockwise in the picture
	}{
		{"right-hander", 1, 0}, {"left-hander", -1, 0},
		{"right-hander, the camera tilted", 1, 2}, {"left-hander, the camera tilted", -1, -1.5},
	} {
		t.Run(c.name, func(t *testing.T) {
			angle := c.tilt * math.Pi / 180
			dx, dy := c.side*math.Cos(angle), math.Sin(angle)
			got := choose(t, []Spot{swinging(500-c.side*40, 600, c.side)}, []Ball{rolling(500, 602, hit, 700*dx, 700*dy)})
			if math.Abs(got.DirX-dx) > 1e-6 || math.Abs(got.DirY-dy) > 1e-6 || !got.DirectionKnown {
				t.Errorf("direction (%.4f, %.4f) known %v, want (%.4f, %.4f)", got.DirX, got.DirY, got.DirectionKnown, dx, dy)
			}
		})
	}
}

func TestAColouredBallIsNotThePutter(t *testing.T) {
	putter, ball := swinging(460, 600, 1), rolling(500, 602, hit, 700, 0)
	own := Spot{Track: ball.Track, Radius: 10}
	ball.Width = 0
	got, refusal := Choose([]Spot{own, putter}, []Ball{ball}, DefaultOptions())
	if refusal == nil || refusal.Code != NoBall {
		t.Fatalf("got %v, want the code %s", refusal, NoBall)
	}
	if at(got.Putter) != at(putter) {
		t.Errorf("the putter's sticker is the spot at %v, want %v", at(got.Putter), at(putter))
	}
}

func TestChooseRefuses(t *testing.T) {
	for _, c := range []struct {
		name, code string
		spots      []Spot
		balls      []Ball
		clear      bool
	}{
		{"no spots", NoSticker, nil, []Ball{lying(500, 602)}, false},
		{"no spots, no ball", NoSticker, nil, nil, false},
		{"only things that lie still", NoSticker, []Spot{resting(460, 600)}, nil, false},
		{"no ball", NoBall, []Spot{swinging(460, 600, 1)}, nil, false},
		{"a ball far from the sticker", NoBall, []Spot{swinging(460, 600, 1)}, []Ball{lying(800, 602)}, false},
		{"a ball without a width", NoBall, []Spot{swinging(460, 600, 1)}, []Ball{{RestX: 500, RestY: 602, Last: 4}}, false},
		{"a putter that never leaves a ball, which therefore has no width", NoStroke, []Spot{resting(460, 600)}, []Ball{{RestX: 500, RestY: 602, Last: 4}}, false},
		{"nothing moves", NoStroke, []Spot{resting(460, 600)}, []Ball{lying(500, 602)}, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, refusal := Choose(c.spots, c.balls, DefaultOptions())
			if refusal == nil || refusal.Code != c.code {
				t.Fatalf("got %v, want the code %s", refusal, c.code)
			}
			if refusal.Text == "" || refusal.Hint == "" || refusal.Error() != refusal.Text {
				t.Errorf("the refusal says %q, hint %q", refusal.Text, refusal.Hint)
			}
			if got.ClearBall != c.clear || got.DirectionKnown || len(got.Struck) != 0 {
				t.Errorf("parts given: %+v", got)
			}
		})
	}
}

func TestOptionsSayWhatIsWrong(t *testing.T) {
	for _, c := range []struct {
		name, want string
		change     func(*Options)
	}{
		{"travels nothing", "min_travel: must be between 0.5 and 20 (got 0)", func(o *Options) { o.MinTravel = 0 }},
		{"a head of a metre", "max_address: must be between 1 and 10 (got 24)", func(o *Options) { o.MaxAddress = 24 }},
		{"not a number", "min_roll: must be between 0.5 and 20 (got NaN)", func(o *Options) { o.MinRoll = math.NaN() }},
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
