package steady

import (
	"math"

	"strokereel/track"
)

// tile is a piece of the first picture.
type tile struct {
	x0, y0 int
	alongX bool      // whether it tells of shifts along x, else along y
	slope  []float64 // along that, without what more or less light does
	weight float64   // sum of the squares of slope
	across float64   // of a shift the other way, how much looks like one along this
	look   []float64 // the picture less its mean
	power  float64   // sum of the squares of look
}

// tells reports whether a tile of the first picture finds its way back when it is looked
// for half a pixel aside. One whose edge lies at its border does not: what comes in
// there looks like a way farther off.
func (s *Sway) tells(f *track.Frame, t tile) bool {
	const aside = 0.5
	for _, d := range [2]float64{-aside, aside} {
		at := Pose{Y: d}
		if t.alongX {
			at = Pose{X: d}
		}
		if w := s.way(f, t, at); !(math.Abs(w+d) < mostAmiss*aside) {
			return false
		}
	}
	return true
}

func newTile(f *track.Frame, x0, y0 int, alongX bool) tile {
	t := tile{x0: x0, y0: y0, alongX: alongX}
	ahead, aside := f.Width, 1
	if alongX {
		ahead, aside = 1, f.Width
	}
	var other []float64
	for j := range tileSide {
		for i := range tileSide {
			at := (y0+j)*f.Width + x0 + i
			t.look = append(t.look, float64(f.Y[at]))
			t.slope = append(t.slope, (float64(f.Y[at+ahead])-float64(f.Y[at-ahead]))/2)
			other = append(other, (float64(f.Y[at+aside])-float64(f.Y[at-aside]))/2)
		}
	}
	centre(t.look)
	centre(t.slope)
	t.power = product(t.look, t.look)
	// A brighter picture is no shift.
	if t.power > 0 {
		k := product(t.slope, t.look) / t.power
		for i := range t.slope {
			t.slope[i] -= k * t.look[i]
		}
	}
	t.weight = product(t.slope, t.slope)
	if t.weight > 0 {
		t.across = product(other, t.slope) / t.weight
	}
	return t
}

// way is how far a tile lies from where a pose has it, along its direction, px; not
// a number when it lies outside the picture or looks otherwise.
func (s *Sway) way(f *track.Frame, t tile, p Pose) float64 {
	const half = float64(tileSide-1) / 2
	x := float64(t.x0) + p.X - p.Roll*(float64(t.y0)+half-s.cy)
	y := float64(t.y0) + p.Y + p.Roll*(float64(t.x0)+half-s.cx)
	xi, yi := int(math.Floor(x)), int(math.Floor(y))
	if xi < 0 || yi < 0 || xi+tileSide+1 >= f.Width || yi+tileSide+1 >= f.Height {
		return math.NaN()
	}
	fx, fy := x-float64(xi), y-float64(yi)
	w00, w10, w01, w11 := (1-fx)*(1-fy), fx*(1-fy), (1-fx)*fy, fx*fy
	var alike, along, sum, square float64
	for j := range tileSide {
		a := f.Y[(yi+j)*f.Width+xi:]
		b := f.Y[(yi+j+1)*f.Width+xi:]
		for i := range tileSide {
			v := w00*float64(a[i]) + w10*float64(a[i+1]) + w01*float64(b[i]) + w11*float64(b[i+1])
			k := j*tileSide + i
			alike += v * t.look[k]
			along += v * t.slope[k]
			sum, square = sum+v, square+v*v
		}
	}
	power := square - sum*sum/(tileSide*tileSide)
	if alike < leastAlike*math.Sqrt(t.power*power) {
		return math.NaN()
	}
	return clampWay(-along / t.weight * t.power / alike)
}

// clampWay bounds what one look may tell, px: slopes hold no farther.
func clampWay(v float64) float64 { return math.Max(-2, math.Min(2, v)) }

func centre(v []float64) {
	m := 0.0
	for _, x := range v {
		m += x / float64(len(v))
	}
	for i := range v {
		v[i] -= m
	}
}

func product(a, b []float64) float64 {
	s := 0.0
	for i, v := range a {
		s += v * b[i]
	}
	return s
}
