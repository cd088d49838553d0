package demo

import (
	"math"
	"math/rand/v2"
)

// grain is smooth random structure, about -1 to 1, that repeats every 64 units.
type grain struct{ v [64 * 64]float32 }

func newGrain(seed uint64) *grain {
	rng := rand.New(rand.NewPCG(seed, 0x67))
	g := &grain{}
	for i := range g.v {
		g.v[i] = float32(rng.Float64()*2 - 1)
	}
	return g
}

func (g *grain) at(x, y float64) float64 {
	fx, fy := math.Floor(x), math.Floor(y)
	u, w := x-fx, y-fy
	u, w = u*u*(3-2*u), w*w*(3-2*w)
	i, j := int(fx)&63, int(fy)&63
	k, l := (i+1)&63, (j+1)&63
	a, b := float64(g.v[j*64+i]), float64(g.v[j*64+k])
	c, d := float64(g.v[l*64+i]), float64(g.v[l*64+k])
	a += (b - a) * u
	c += (d - c) * u
	return a + (c-a)*w
}
