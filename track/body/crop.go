package body

import (
	"math"

	"strokereel/track"
)

// region is a turned square of the picture. Coordinates are px from the corner
// of the first pixel, not from its centre.
type region struct {
	x, y  float64 // middle
	size  float64
	angle float64 // rad, clockwise
}

// at is the place of a point of the square, whose sides run from 0 to 1.
func (r region) at(u, v float64) (x, y float64) {
	s, c := math.Sincos(r.angle)
	u, v = (u-0.5)*r.size, (v-0.5)*r.size
	return r.x + u*c - v*s, r.y + u*s + v*c
}

// around is the square that holds a person, from the middle of the hips and a
// point on the circle around the whole body.
func around(x0, y0, x1, y1 float64) region {
	return region{x: x0, y: y0, size: 2 * math.Hypot(x1-x0, y1-y0) * regionMargin, angle: math.Pi/2 - math.Atan2(y0-y1, x1-x0)}
}

// regionMargin is by how much the square is larger than the circle; the networks
// were trained with it.
const regionMargin = 1.25

const (
	// nearerSize is how large the square is in which arms and head are looked at, as a
	// share of that around the player, and nearerAt how far from the latter's top its
	// middle is: it ends at the ankles. A smaller one, without the legs, tells elbows
	// that leave the trunk worse.
	nearerSize, nearerAt = 0.90, 0.45
	// headSize and headAt are those of the square in which the ears are looked for.
	headSize, headAt = 0.72, 0.40
)

// part is a square within that of a person: its size as a share, and how far from the
// top its middle is.
func (r region) part(size, at float64) region {
	x, y := r.at(0.5, at)
	return region{x: x, y: y, size: size * r.size, angle: r.angle}
}

// mirror is the same part of the mirror image of a picture of some width.
func (r region) mirror(width float64) region {
	return region{x: width - r.x, y: r.y, size: r.size, angle: -r.angle}
}

// mostTaps bounds the pixels averaged for one sample in either direction.
const mostTaps = 5

// sample fills a picture of side x side samples, one plane each of red, green
// and blue as scale times 0-1 plus offset. Samples are means over the area they
// cover; outside the picture is black. A mirrored frame is read from right to
// left.
func sample(dst []float32, side int, f *track.Frame, r region, mirrored bool, scale, offset float32) {
	step := r.size / float64(side)
	taps := max(1, min(mostTaps, int(math.Ceil(step))))
	cw, _ := f.ChromaSize()
	s, c := math.Sincos(r.angle)
	// The busiest place beside the network: what columns and rows of taps add to a place
	// is worked out once.
	type part struct{ x, y float64 }
	across, down := make([]part, side*taps), make([]part, side*taps)
	for k := range across {
		d := (float64(k/taps)+(float64(k%taps)+0.5)/float64(taps))*step - r.size/2
		across[k], down[k] = part{r.x + d*c, r.y + d*s}, part{-d * s, d * c}
	}
	n := side * side
	for j := range side {
		for i := range side {
			var ySum, uSum, vSum, count int
			for _, v := range down[j*taps : (j+1)*taps] {
				for _, u := range across[i*taps : (i+1)*taps] {
					x, y := u.x+v.x, u.y+v.y
					if x < 0 || y < 0 {
						continue
					}
					px, py := int(x), int(y)
					if px >= f.Width || py >= f.Height {
						continue
					}
					if mirrored {
						px = f.Width - 1 - px
					}
					at := py/2*cw + px/2
					ySum, uSum, vSum, count = ySum+int(f.Y[py*f.Width+px]), uSum+int(f.U[at]), vSum+int(f.V[at]), count+1
				}
			}
			var red, green, blue float64
			if count > 0 {
				// ITU-R BT.709-6, limited range.
				seen := float64(count)
				share := seen / float64(taps*taps)
				y, u, v := (float64(ySum)/seen-16)/219, (float64(uSum)/seen-128)/224, (float64(vSum)/seen-128)/224
				red, green, blue = share*(y+1.5748*v), share*(y-0.1873*u-0.4681*v), share*(y+1.8556*u)
			}
			k := j*side + i
			for p, value := range [3]float64{red, green, blue} {
				dst[p*n+k] = scale*float32(math.Max(0, math.Min(1, value))) + offset
			}
		}
	}
}
