package marker

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
)

// What a head's rim does to one kind of fit in every frame alike is no chroma offset,
// and moves the sticker's place the less the worse that kind fits.
func TestRimThatLumaSeesIsNoChromaOffset(t *testing.T) {
	for _, c := range []struct {
		siting [2]float64 // chroma offset
		bias   [2]float64 // of the luma fits
		uc, ul float64
		most   float64 // px off in the end
	}{
		{[2]float64{0, 0.5}, [2]float64{0, 0.18}, 0.08, 0.16, 0.05},
		{[2]float64{0.5, 0.5}, [2]float64{-0.05, 0.1}, 0.1, 0.1, 0.06},
		{[2]float64{0.5, 1}, [2]float64{0, -0.2}, 0.08, 0.16, 0.05}, // a picture that was turned
		{[2]float64{0.5, 0.5}, [2]float64{0, 0}, 0.16, 0.05, 1e-9},
	} {
		tr := New(DefaultOptions(), 1920, 1080)
		s := &Spot{seen: 100}
		const x, y = 500.0, 800.0
		for i := range 100 {
			s.samples = append(s.samples, track.Sample{Frame: i, T: float64(i) / 60, X: x - c.siting[0], Y: y - c.siting[1], U: c.uc, Seen: true})
			s.details = append(s.details, detail{luma: lumaPlace{x: x + c.bias[0], y: y + c.bias[1], u: c.ul}})
		}
		for _, p := range tr.Track(s, track.Putter).Samples {
			if d := math.Hypot(p.X-x, p.Y-y); d > c.most {
				t.Errorf("luma off by %v: the place is off by %.3f px, want %g", c.bias, d, c.most)
				break
			}
		}
	}
}

// A spot that swings by 0.2 m at 400 px/m, 60 frames/s, its two kinds of fit and what
// both err alike scattering as stated.
func swinging(chroma, luma, both float64) *Spot {
	rng := rand.New(rand.NewPCG(1, 2))
	s := &Spot{}
	for i := range 120 {
		t := float64(i) / 60
		x, y := 500+80*math.Sin(4*t), 300+8*math.Cos(4*t)
		bx, by := both*rng.NormFloat64(), both*rng.NormFloat64()
		s.samples = append(s.samples, track.Sample{Frame: i, T: t, Seen: true, U: 0.08,
			X: x + bx + chroma*rng.NormFloat64(), Y: y + by + chroma*rng.NormFloat64()})
		s.details = append(s.details, detail{luma: lumaPlace{u: 0.08,
			x: x + 0.5 + bx + luma*rng.NormFloat64(), y: y + 0.5 + by + luma*rng.NormFloat64()}})
	}
	return s
}

func TestErrorsOfBothKindsOfFitAreToldByTheMotion(t *testing.T) {
	for _, c := range []struct{ chroma, luma, both float64 }{
		{0.18, 0.06, 0}, {0.06, 0.18, 0}, {0.1, 0.1, 0.1}, {0.15, 0.07, 0.1},
	} {
		s := swinging(c.chroma, c.luma, c.both)
		kc, kl, both := s.errs()
		a := comparison{chroma: kc, luma: kl}
		uc, ul := a.u(track.Sample{U: 0.08}, detail{luma: lumaPlace{u: 0.08}})
		for _, got := range []struct {
			name      string
			is, wants float64
		}{{"chroma", uc, c.chroma}, {"luma", ul, c.luma}, {"both", both, c.both}} {
			if math.Abs(got.is-got.wants) > 0.25*got.wants+0.03 {
				t.Errorf("%+v: %s errs by %.3f px, said %.3f", c, got.name, got.wants, got.is)
			}
		}
	}
}

func TestWhatStandsStillTellsNoErrors(t *testing.T) {
	s := swinging(0.2, 0.05, 0)
	for i := range s.samples {
		s.samples[i].X, s.samples[i].Y = 500, 300
	}
	if c, l, both := s.errs(); c != 1 || l != 1 || both != 0 {
		t.Errorf("got %.2f %.2f %.2f", c, l, both)
	}
}

func TestWhatColourLostAddsIsNotScaledUp(t *testing.T) {
	s, d := track.Sample{U: math.Hypot(0.1, 1)}, detail{uneven: 1}
	for _, c := range []struct{ by, least, most float64 }{{0.5, 0.4, 0.6}, {1, 1, 1.1}, {2, 1, 1.1}} {
		if u, _ := (comparison{chroma: c.by}).u(s, d); u < c.least || u > c.most {
			t.Errorf("errors %.1f times as large as said: %.2f px", c.by, u)
		}
	}
}
