package marker

import (
	"math"
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
