package body

import (
	"math"

	"strokereel/track"
)

const (
	// lightTurns is how often the light on a band is fitted: each time more of what
	// lies in shade is seen to be of the band.
	lightTurns = 3
	// litFrom is the share of the colour of samples that tell how a band is lit: those
	// at its rims are less colourful for another reason.
	litFrom = 0.7
	// leastLit is how many of them are needed.
	leastLit = 20
	// leastUneven is how much, as a standard deviation and a share, the light must
	// differ: less may come from what is seen of the rims.
	leastUneven = 0.02
	// leastLight and mostLight bound the light at one place.
	leastLight, mostLight = 0.4, 1.1
)

// light is how brightly a patch is lit at a place, as a share of what is usual.
type light struct{ level, x, y float64 }

// at keeps to what a room's light does: beyond it a fit runs away.
func (p light) at(x, y float64) float64 {
	return math.Max(leastLight, math.Min(mostLight, p.level+p.x*x+p.y*y))
}

// lightOn fits how evenly changing light falls on the patch, and reports whether it
// differs from place to place: in shade a band is less colourful, and what is less
// colourful would else be taken for what is mixed with its surroundings at the rim.
func (l *looker) lightOn(f *track.Frame, x0, y0, cols, w int, c class, chroma float64) (light, bool) {
	var m moments
	var v, vx, vy, n float64
	for _, k := range l.stack {
		if l.share[k] < litFrom {
			continue
		}
		i, j := float64(k%cols), float64(k/cols)
		at := (y0+k/cols)*w + x0 + k%cols
		p := ((float64(f.U[at])-128)*c.u + (float64(f.V[at])-128)*c.v) / chroma
		m.add(1, i, j)
		n, v, vx, vy = n+1, v+p, vx+p*i, vy+p*j
	}
	if n < leastLit {
		return light{}, false
	}
	mx, my := m.middle()
	xx, xy, yy := m.variances()
	cx, cy := vx/n-mx*v/n, vy/n-my*v/n
	if !(xx*yy-xy*xy > 0) {
		return light{}, false
	}
	bx, by := (cx*yy-cy*xy)/(xx*yy-xy*xy), (cy*xx-cx*xy)/(xx*yy-xy*xy)
	uneven := math.Sqrt(math.Max(0, bx*bx*xx+2*bx*by*xy+by*by*yy))
	return light{v/n - bx*mx - by*my, bx, by}, uneven > leastUneven
}
