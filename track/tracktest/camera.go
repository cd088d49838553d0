package tracktest

import (
	"math"
	"math/rand/v2"

	"strokereel/track"
)

// Camera films along the line. Positions are means over the exposure with
// Gaussian noise.
type Camera struct {
	Rate, PxPerM, Noise float64 // frames/s, px/m, px
	Exposure            float64 // s
}

// DrawCamera draws a camera of the given rate; noise in px.
func DrawCamera(rng *rand.Rand, rate, noise float64) Camera {
	return Camera{Rate: rate, PxPerM: 380 + 270*rng.Float64(), Noise: noise, Exposure: rng.Float64() / rate / 4}
}

// Film returns the path of an object as it is observed, in metres.
func (c Camera) Film(object string, at func(t float64) (x, y float64), seconds float64, rng *rand.Rand) track.Path {
	p := track.Path{Object: object}
	u := c.Noise / c.PxPerM
	for i := 0; float64(i)/c.Rate < seconds; i++ {
		t := float64(i) / c.Rate
		var mx, my float64
		const parts = 11
		for k := range parts {
			x, y := at(t + c.Exposure*(float64(k)-(parts-1)/2)/parts)
			mx, my = mx+x/parts, my+y/parts
		}
		p.Points = append(p.Points, track.Point{Frame: i, T: t, X: mx + u*rng.NormFloat64(), Y: my + u*rng.NormFloat64(), U: u, Seen: true})
	}
	return p
}

// Hide marks the samples from t0 to t1 as unseen.
func Hide(p track.Path, t0, t1 float64) track.Path {
	for i, q := range p.Points {
		if q.T >= t0 && q.T <= t1 {
			p.Points[i] = track.Point{Frame: q.Frame, T: q.T}
		}
	}
	return p
}

// Quantile returns the q-quantile of the magnitudes of errors.
func Quantile(errors []float64, q float64) float64 {
	s := make([]float64, len(errors))
	for i, e := range errors {
		s[i] = math.Abs(e)
		for j := i; j > 0 && s[j] < s[j-1]; j-- {
			s[j], s[j-1] = s[j-1], s[j]
		}
	}
	return s[min(len(s)-1, int(q*float64(len(s))))]
}
