package pipeline

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
	"strokereel/track"
	"strokereel/track/phase"
	"strokereel/track/sound"
)

// putts are strokes of a clip of which the device lags by some seconds; each sign
// of impact errs as it says.
type putts struct {
	impacts []float64 // truly
	strokes []phase.Stroke
	clicks  []sound.Click
}

const seenU, heardU = 0.0009, 0.0002 // s

func film(dice *rand.Rand, n int, delay float64) (p putts) {
	for k := range n {
		t := 2 + 8*float64(k)
		seen := t + seenU*dice.NormFloat64()
		e := track.Event{Name: track.Impact, T: seen, U: seenU, Status: track.Measured,
			Witnesses: []track.Witness{{Name: phase.WitnessBall, T: seen, U: seenU}, {Name: phase.WitnessSound, T: t, U: 0.023}}}
		p.impacts = append(p.impacts, t)
		p.strokes = append(p.strokes, phase.Stroke{Kind: track.Putt, Events: []track.Event{e}})
		p.clicks = append(p.clicks, sound.Click{T: t + delay + heardU*dice.NormFloat64(), U: heardU})
	}
	return p
}

// noise adds a click that is no impact's.
func (p *putts) noise(t float64) { p.clicks = append(p.clicks, sound.Click{T: t, U: heardU}) }

func nobody(int) bool { return false }

// reach is how far from an impact its click is looked for, s.
const reach = 0.12

func TestDelayOfTheSound(t *testing.T) {
	dice := rand.New(rand.NewPCG(1, 1))
	s := settings.Default()
	way := hear(clicks{}, s, Delay{}).way
	for _, c := range []struct {
		name  string
		make  func() putts
		told  Delay
		want  float64 // s, NaN when it cannot be told
		from  string
		timed int // strokes whose click is surer than the picture
	}{
		{"twelve putts", func() putts { return film(dice, 12, 0.030) }, Delay{}, 0.030, "measured", 12},
		{"three putts", func() putts { return film(dice, 3, -0.020) }, Delay{}, -0.020, "measured", 0},
		{"one putt", func() putts { return film(dice, 1, 0.02) }, Delay{}, math.NaN(), "", 0},
		{"one putt, and what other clips tell", func() putts { return film(dice, 1, 0.02) }, Delay{0.0201, 0.0003}, 0.020, "night", 1},
		{"other clips tell of another device", func() putts { return film(dice, 12, 0.02) }, Delay{-0.01, 0.0003}, 0.020, "measured", 12},
		{"one putt of another device", func() putts { return film(dice, 1, 0.02) }, Delay{-0.01, 0.0003}, math.NaN(), "", 0},
		{"noises nearer than the clicks", func() putts {
			p := film(dice, 12, 0.035)
			for _, at := range p.impacts {
				p.noise(at + 0.05*dice.Float64() - 0.025)
			}
			return p
		}, Delay{}, 0.035, "measured", 12},
		{"two putts and their noises", func() putts {
			p := film(dice, 2, 0.02)
			p.clicks[1].T -= 0.031
			return p
		}, Delay{}, math.NaN(), "", 0},
		{"no sound", func() putts { p := film(dice, 4, 0); p.clicks = nil; return p }, Delay{0.02, 0.0003}, math.NaN(), "", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := c.make()
			h := hear(clicks{Found: p.clicks}, s, c.told)
			got, told, ok := h.timed(h.ears(p.strokes, nobody, 1./500, reach))
			if ok != (c.timed > 0) {
				t.Errorf("timed by sound: %v", ok)
			}
			n := 0
			for k, g := range got {
				if g.U < 0.001 {
					n++
					if k < len(p.impacts) && math.Abs(g.T-p.impacts[k]) > 4*g.U {
						t.Errorf("putt %d is heard at %.5f s +- %.5f, it was at %.5f", k, g.T, g.U, p.impacts[k])
					}
				}
			}
			if n != c.timed {
				t.Errorf("%d clicks are surer than the picture, want %d", n, c.timed)
			}
			switch {
			case told == nil != math.IsNaN(c.want):
				t.Errorf("told %+v, want %g", told, c.want)
			case told != nil && (told.Source != c.from || math.Abs(told.OffsetS-(c.want-way)) > told.U95 || told.U95 > 0.01):
				t.Errorf("told %+v, want %g s", told, c.want-way)
			}
		})
	}
}

// What a person put right tells nothing of the device, since it is no sharper than
// a frame.
func TestEarsPassOverWhatAPersonPutRight(t *testing.T) {
	p := film(rand.New(rand.NewPCG(2, 2)), 3, 0.01)
	h := hear(clicks{Found: p.clicks}, settings.Default(), Delay{})
	e := h.ears(p.strokes, func(k int) bool { return k == 1 }, 1./500, reach)
	if len(e.Lags) != 2 || e.Lags[0].Clicks[0].T != p.clicks[0].T || e.Lags[1].Clicks[0].T != p.clicks[2].T {
		t.Errorf("got %+v", e)
	}
}

// TestTimedCoverage lets the sound of two hundred evenings time their putts.
func TestTimedCoverage(t *testing.T) {
	dice := rand.New(rand.NewPCG(5, 5))
	s := settings.Default()
	within, all, worst := 0, 0, 0.0
	for range 200 {
		p := film(dice, 12, 0.04*(2*dice.Float64()-1))
		h := hear(clicks{Found: p.clicks}, s, Delay{})
		got, _, ok := h.timed(h.ears(p.strokes, nobody, 1./500, reach))
		if !ok {
			continue
		}
		for k, at := range p.impacts {
			off := math.Abs(got[k].T - at)
			worst = math.Max(worst, off)
			all++
			if off <= 1.96*got[k].U {
				within++
			}
		}
	}
	t.Logf("%d of %d impacts within their interval, the worst %.2f ms off", within, all, 1000*worst)
	if share := float64(within) / float64(all); all < 2000 || share < 0.93 || worst > 0.0015 {
		t.Errorf("%.1f %% of %d", 100*share, all)
	}
}

// TestDelayFor tells one clip of twelve others; the camera stood anywhere, and a
// lens is as likely to be turned as a camera to be moved.
func TestDelayFor(t *testing.T) {
	dice := rand.New(rand.NewPCG(3, 3))
	s := settings.Default()
	speed := sound.Speed(s.Sheet.Temperature)
	evening := func(spread float64) (Delay, float64) {
		offset := 0.04 * (2*dice.Float64() - 1)
		clip := func(n int) (Ears, float64) {
			distance := 3.5 + spread*(2*dice.Float64()-1)
			p := film(dice, n, offset+distance/speed)
			h := hear(clicks{Found: p.clicks}, s, Delay{})
			return h.ears(p.strokes, nobody, distance/1500, reach), offset + distance/speed
		}
		own, want := clip(1)
		var others []Ears
		for range 12 {
			e, _ := clip(1)
			others = append(others, e)
		}
		return DelayFor(own, others, s), want
	}
	for _, spread := range []float64{0, 0.1, 1} {
		sure, within := 0, 0
		for range 200 {
			d, want := evening(spread)
			if d.U == 0 {
				continue
			}
			if d.Coarse().Sure() {
				sure++
			}
			if c := d.Coarse(); math.Abs(c.S-want) <= 1.96*c.U {
				within++
			}
		}
		t.Logf("cameras within %.1f m: %d of 200 delays are sure, %d within their interval", spread, sure, within)
		if within < 180 || spread < 0.5 && sure < 180 {
			t.Errorf("cameras within %.1f m: %d of 200 delays are sure, %d within their interval", spread, sure, within)
		}
	}
	if d := DelayFor(Ears{}, nil, s); d.U != 0 {
		t.Errorf("a clip without a ruler is told %+v", d)
	}
	if d := DelayFor(Ears{MPerPx: 0.002}, []Ears{{MPerPx: 0.002}}, s); d.U != 0 {
		t.Errorf("silent clips tell %+v", d)
	}
}

func TestCoarse(t *testing.T) {
	for _, d := range []Delay{{0.01234, 0.0003}, {-0.01234, 0.0004}, {0, 0.00001}} {
		c := d.Coarse()
		if math.Abs(c.S-d.S) > coarse/2 || c.U < d.U || c.U > d.U+coarse {
			t.Errorf("%+v became %+v", d, c)
		}
		if again := (Delay{d.S + coarse/50, d.U}).Coarse(); again != c {
			t.Errorf("%+v became %+v, a little later %+v", d, c, again)
		}
	}
	d := Delay{-0.01234, 0.0003}.Coarse()
	report := lesson.Report{MadeBy: madeBy(settings.Default(), sheet.Correction{}, d)}
	if told := Told(report); math.Abs(told.S-d.S) > 1e-9 || math.Abs(told.U-d.U) > 1e-9 {
		t.Errorf("%+v is told in a report as %+v", d, told)
	}
	if told := Told(lesson.Report{}); told != (Delay{}) {
		t.Errorf("a report that was told nothing tells %+v", told)
	}
	if c := (Delay{}).Coarse(); c != (Delay{}) {
		t.Errorf("what is not known became %+v", c)
	}
}
