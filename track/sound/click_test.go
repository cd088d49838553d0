package sound

import (
	"math"
	"math/rand/v2"
	"testing"
)

const rate = 48000

// room is seconds of hiss of the given standard deviation with mains hum.
func room(seconds, hiss float64, seed uint64) []float64 {
	r := rand.New(rand.NewPCG(seed, 1))
	x := make([]float64, int(seconds*rate))
	for k := range x {
		x[k] = hiss*r.NormFloat64() + 0.05*math.Sin(2*math.Pi*50*float64(k)/rate)
	}
	return x
}

// strike adds a ball's click at a time: tones that begin at once and die away
// within milliseconds.
func strike(x []float64, at, strength float64) {
	for k := int(math.Ceil(at * rate)); k < len(x) && k < int((at+0.05)*rate); k++ {
		t := float64(k)/rate - at
		x[k] += strength * math.Exp(-t/0.004) * (math.Sin(2*math.Pi*3100*t+0.7) + 0.6*math.Sin(2*math.Pi*5300*t+1.9))
	}
}

// voice adds a vowel that swells over 30 ms.
func voice(x []float64, at float64) {
	for k := int(at * rate); k < int((at+0.4)*rate); k++ {
		t := float64(k)/rate - at
		swell := 0.3 * (1 - math.Exp(-t*t/(2*0.03*0.03)))
		for n := 1; n < 12; n++ {
			x[k] += swell / float64(n) * math.Sin(2*math.Pi*140*float64(n)*t)
		}
	}
}

func pcm(x []float64) []float32 {
	p := make([]float32, len(x))
	for k, v := range x {
		p[k] = float32(math.Round(v*32768) / 32768)
	}
	return p
}

func TestClicks(t *testing.T) {
	type blow struct{ at, strength float64 }
	for _, c := range []struct {
		name  string
		hiss  float64
		blows []blow
		voice float64 // s, 0 for none
		t0    float64
		tol   float64 // s
	}{
		{"one clear click", 0.002, []blow{{1.20034, 0.5}}, 0, 0, 1e-4},
		{"between two samples", 0.0005, []blow{{0.7000071, 0.5}}, 0, 0, 5e-5},
		{"faint click", 0.002, []blow{{1.3, 0.05}}, 0, 0, 5e-4},
		{"two strokes", 0.002, []blow{{0.5, 0.3}, {1.6, 0.4}}, 0, 0, 1e-4},
		{"clock of late pictures", 0.002, []blow{{1.2, 0.5}}, 0, -0.7, 1e-4},
		{"digital silence around", 0, []blow{{1.1, 0.2}}, 0, 0, 1e-4},
		{"someone speaks before", 0.002, []blow{{1.5, 0.5}}, 0.4, 0, 1e-4},
		{"nothing happens", 0.01, nil, 0, 0, 0},
		{"only speech", 0.002, nil, 0.8, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			x := room(2, c.hiss, 7)
			if c.hiss == 0 {
				clear(x)
			}
			for _, b := range c.blows {
				strike(x, b.at, b.strength)
			}
			if c.voice > 0 {
				voice(x, c.voice)
			}
			got, err := Clicks(Samples{rate, c.t0, pcm(x)}, DefaultOptions())
			if err != nil {
				t.Fatal(err)
			}
			if len(got) != len(c.blows) {
				t.Fatalf("%d clicks, want %d: %+v", len(got), len(c.blows), got)
			}
			for k, b := range c.blows {
				if d := got[k].T - (b.at + c.t0); math.Abs(d) > c.tol {
					t.Errorf("click %d is off by %.3f ms", k, d*1e3)
				}
			}
		})
	}
}

// The stated uncertainty must hold: over many rooms and strengths the error
// divided by it stays near a normal distribution, and it is not idle either.
func TestUncertaintyHolds(t *testing.T) {
	o := DefaultOptions()
	o.Spread = 0.00005
	r := rand.New(rand.NewPCG(3, 4))
	const n = 150
	inside, widest := 0, 0.0
	for k := range n {
		x := room(0.6, 0.002, uint64(k))
		at := 0.3 + 0.1*r.Float64()
		strike(x, at, 0.05*math.Pow(10, r.Float64())) // 0.05 to 0.5
		got, err := Clicks(Samples{rate, 0, pcm(x)}, o)
		if err != nil {
			t.Fatal(err)
		}
		if len(got) != 1 {
			t.Fatalf("room %d: %d clicks", k, len(got))
		}
		if math.Abs(got[0].T-at) <= 1.96*got[0].U {
			inside++
		}
		widest = max(widest, got[0].U)
	}
	if share := float64(inside) / n; share < 0.90 { // 95 % less three deviations of the count
		t.Errorf("only %.0f %% within the 95 %% interval", share*100)
	}
	if widest > 0.001 {
		t.Errorf("uncertainty up to %.2f ms: of no use", widest*1e3)
	}
}

func TestLoudnessGrowsWithTheBlow(t *testing.T) {
	last := 0.0
	for _, strength := range []float64{0.06, 0.18, 0.54} {
		x := room(1, 0.002, 1)
		strike(x, 0.5, strength)
		got, err := Clicks(Samples{rate, 0, pcm(x)}, DefaultOptions())
		if err != nil || len(got) != 1 {
			t.Fatalf("%v, %v", got, err)
		}
		// Three times the strength is 9.5 dB more.
		if last > 0 && math.Abs(got[0].Loudness-last-20*math.Log10(3)) > 2 {
			t.Errorf("strength %v: %.1f dB after %.1f", strength, got[0].Loudness, last)
		}
		last = got[0].Loudness
	}
}

func TestClicksRefusals(t *testing.T) {
	if got, err := Clicks(Samples{}, DefaultOptions()); got != nil || err != nil {
		t.Errorf("no sound: %v, %v", got, err)
	}
	for _, c := range []struct {
		want string
		set  func(*Options)
	}{
		{"rise: must be between 3 and 80 (got 0)", func(o *Options) { o.Rise = 0 }},
		{"attack: must be between 0.001 and 0.02 (got 1)", func(o *Options) { o.Attack = 1 }},
		{"quiet: must be at least twice the attack, 0.006 (got 0.005)", func(o *Options) { o.Quiet = 0.005 }},
		{"memory: must be between 0.02 and 5 (got 0)", func(o *Options) { o.Memory = 0 }},
		{"apart: must be between 0.005 and 5 (got -1)", func(o *Options) { o.Apart = -1 }},
		{"mask: must be between 6 and 100 (got 0)", func(o *Options) { o.Mask = 0 }},
		{"spread: must be between 0 and 0.01 (got NaN)", func(o *Options) { o.Spread = math.NaN() }},
	} {
		o := DefaultOptions()
		c.set(&o)
		if _, err := Clicks(Samples{Rate: rate, PCM: make([]float32, rate)}, o); err == nil || err.Error() != c.want {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
}

func BenchmarkClicks(b *testing.B) {
	x := room(10, 0.002, 1)
	strike(x, 5, 0.5)
	s := Samples{rate, 0, pcm(x)}
	for b.Loop() {
		if _, err := Clicks(s, DefaultOptions()); err != nil {
			b.Fatal(err)
		}
	}
}
