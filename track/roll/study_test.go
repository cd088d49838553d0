package roll

import (
	"math"
	"math/rand/v2"
	"testing"
)

// hidden is a green, a ball and a player's face as they really are, unknown to
// the code under test. Rolls are integrated in small steps with the laws of a
// sliding and a rolling sphere; no formula of the package is used.
type hidden struct {
	friction, spin, slope float64
	speed                 float64 // ft, as an instrument would read
	sheet                 float64 // ft, as the sheet says
	ramp                  float64 // m/s, of the instrument
}

func newHidden(r *rand.Rand, ramp float64) hidden {
	h := hidden{ramp: ramp, friction: in(r, 0.2, 0.5), spin: in(r, 0, 15), slope: in(r, -0.3, 0.3) * math.Pi / 180, sheet: in(r, 7.5, 12)}
	h.speed = h.sheet + in(r, -0.5, 0.5)
	return h
}

func in(r *rand.Rand, a, b float64) float64 { return a + (b-a)*r.Float64() }

// roll follows a ball until it lies still.
func (h hidden) roll(speed float64) float64 {
	const (
		g, radius = 9.81, 0.0213
		dt        = 2e-4
	)
	resist := h.ramp * h.ramp / (2 * h.speed * 0.3048)
	v, w, x := speed, h.spin, 0.0
	for v > 0 {
		along, turning := 0.0, 0.0
		if slip := v - w*radius; slip > 1e-3 {
			along, turning = -h.friction*g*math.Cos(h.slope), 2.5*h.friction*g*math.Cos(h.slope)/radius
			along -= g * math.Sin(h.slope)
		} else {
			along = -resist - 5./7*g*math.Sin(h.slope)
			w, turning = v/radius, along/radius
		}
		mid := v + along*dt/2
		x += mid * dt
		v, w = v+along*dt, w+turning*dt
	}
	return x
}

// pupil is a player whose downstroke takes another time for another length.
type pupil struct {
	gain, drift, ratio, through float64
	time                        float64 // s, of a 30 cm backstroke
	tempo                       float64
}

func newPupil(r *rand.Rand) pupil {
	return pupil{gain: in(r, 1.6, 2), drift: in(r, -0.2, 0.25), ratio: in(r, 1.45, 1.65), through: in(r, 0.9, 1.5), time: in(r, 0.27, 0.36), tempo: in(r, 1.7, 2.5)}
}

// putt is a stroke of a backstroke length (m) and the ball it really sends.
type putt struct {
	stroke Stroke
	ball   float64
}

func (p pupil) putt(r *rand.Rand, back float64) putt {
	scatter := func(share float64) float64 { return 1 + share*r.NormFloat64() }
	t := p.time * math.Pow(back/0.30, p.drift)
	head := p.gain * back / t * scatter(0.03)
	ball := p.ratio * head
	return putt{ball: ball, stroke: Stroke{
		Back: Quantity{back * scatter(0.005), 0.005 * back}, Through: Quantity{p.through * back * scatter(0.03), 0.005 * back},
		DownTime: Quantity{t * scatter(0.01), 0.01 * t}, BackTime: Quantity{t * p.tempo * scatter(0.02), 0.01 * t},
		HeadSpeed: Quantity{head * scatter(0.015), 0.015 * head}, BallSpeed: Quantity{ball * scatter(0.02), 0.02 * ball},
	}}
}

// count counts how many intervals hold the truth, and how wide they are.
type count struct {
	all, held int
	widest    float64
	sum       float64
}

func (c *count) add(e Estimate, truth float64) {
	lo, hi := e.Interval()
	half := (hi - lo) / (2 * e.Value)
	c.all, c.sum, c.widest = c.all+1, c.sum+half, math.Max(c.widest, half)
	if lo <= truth && truth <= hi {
		c.held++
	}
}

// lengths of the backstrokes that a lesson holds, m.
var (
	severalLengths = []float64{0.2, 0.2, 0.3, 0.3, 0.4, 0.4}
	oneLength      = []float64{0.3, 0.3, 0.3}
)

// tally is what a study counts.
type tally struct {
	sheet, own, backSheet, backOwn, through, head count
	down, rise, pull, hurried                     count
}

// lessons are how a study's 200 lessons are made.
type lessons struct {
	seed             uint64
	lengths          []float64 // m, of the backstrokes filmed
	shortest         float64   // m, of the backstrokes held out
	longest          float64
	slowest, fastest float64 // ft/s, of the ramp
}

// play plays the lessons and looks whether what is said of putts that were held
// out is true.
func (l lessons) play(t *testing.T) tally {
	t.Helper()
	r := rand.New(rand.NewPCG(9, l.seed))
	o := DefaultOptions()
	var n tally
	for range 200 {
		h, p := newHidden(r, in(r, l.slowest, l.fastest)*0.3048), newPupil(r)
		green, err := NewGreen(Facts{Speed: h.sheet}, o)
		if err != nil {
			t.Fatal(err)
		}
		var strokes []Stroke
		var rolls []Measured
		for i, back := range l.lengths {
			k := p.putt(r, back)
			strokes = append(strokes, k.stroke)
			if len(l.lengths) == 3 || i%2 == 0 {
				rolls = append(rolls, Measured{Speed: k.stroke.BallSpeed, Distance: h.roll(k.ball)})
			}
		}
		fitted, err := green.Fit(rolls)
		if err != nil || fitted.Rolls != 3 {
			t.Fatal(fitted.Rolls, err)
		}
		player, err := NewPlayer(strokes, o)
		if err != nil {
			t.Fatal(err)
		}
		if several := len(l.lengths) > 3; player.Several != several {
			t.Errorf("several lengths: %v, want %v", player.Several, several)
		}
		out := p.putt(r, in(r, l.shortest, l.longest))
		truth := h.roll(out.ball)
		for _, c := range []struct {
			green      Green
			roll, back *count
		}{{green, &n.sheet, &n.backSheet}, {fitted, &n.own, &n.backOwn}} {
			d, err := c.green.Distance(out.stroke.BallSpeed)
			if err != nil {
				t.Fatal(err)
			}
			c.roll.add(d, truth)
			b, err := player.Budget(c.green, truth)
			if err != nil {
				t.Fatal(err)
			}
			c.back.add(b.Back, out.stroke.Back.Value)
			if c.roll == &n.own {
				n.through.add(b.Through, out.stroke.Through.Value)
				head, time := out.ball/p.ratio, out.stroke.DownTime.Value
				n.head.add(b.HeadSpeed, head)
				n.down.add(b.DownTime, time)
				n.rise.add(b.BackTime, out.stroke.BackTime.Value)
				n.pull.add(b.Acceleration, head/time)
				// Four fifths of the backstroke for the same ball.
				short, err := player.Shorter(b, Exactly(0.8*out.stroke.Back.Value))
				if err != nil {
					t.Fatal(err)
				}
				n.hurried.add(short.DownTime, 0.8*out.stroke.Back.Value*p.gain/head)
			}
		}
	}
	return n
}

// Intervals hold the truth of at least 90 % of 200 putts that were held out. Rolls
// are known to 20 % by the sheet's green speed and to 10 % after three measured
// ones. What is said of the stroke holds the scatter of one more stroke as well.
func TestStudyOfCoverage(t *testing.T) {
	for _, c := range []struct {
		name  string
		of    lessons
		sheet float64 // widest interval of a backstroke, relative half width
		own   float64 // the same after three measured rolls, and of a follow-through
	}{
		{"three lengths", lessons{2026, severalLengths, 0.2, 0.42, 6, 6}, 0.17, 0.15},
		{"one length only", lessons{2027, oneLength, 0.2, 0.42, 6, 6}, 0.22, 0.21},
		{"a ramp that lets balls go faster", lessons{2028, severalLengths, 0.2, 0.42, 6, 6.4}, 0.17, 0.15},
		{"longer putts than any filmed", lessons{2029, severalLengths, 0.45, 0.65, 6, 6}, 0.25, 0.25},
		{"much longer putts than the one filmed", lessons{2030, oneLength, 0.45, 0.65, 6, 6}, 0.45, 0.45},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := c.of.play(t)
			for _, k := range []struct {
				name   string
				got    count
				widest float64
			}{
				{"roll by the sheet's green speed", n.sheet, 0.20},
				{"roll after three measured ones", n.own, 0.10},
				{"backstroke by the sheet's green speed", n.backSheet, c.sheet},
				{"backstroke after three measured rolls", n.backOwn, c.own},
				{"follow-through after three measured rolls", n.through, c.own},
				{"head speed after three measured rolls", n.head, 0.06},
				{"downstroke time after three measured rolls", n.down, c.own},
				{"backstroke time after three measured rolls", n.rise, c.own},
				{"acceleration after three measured rolls", n.pull, c.own},
				{"downstroke time of a shorter backstroke", n.hurried, 0.10},
			} {
				t.Logf("%s: %d of %d held, half width %.1f %% in the mean, %.1f %% at most", k.name, k.got.held, k.got.all, 100*k.got.sum/float64(k.got.all), 100*k.got.widest)
				if float64(k.got.held) < 0.90*float64(k.got.all) {
					t.Errorf("%s: only %d of %d intervals hold the truth", k.name, k.got.held, k.got.all)
				}
				if k.got.widest > k.widest {
					t.Errorf("%s: an interval is ±%.1f %% wide", k.name, 100*k.got.widest)
				}
			}
		})
	}
}
