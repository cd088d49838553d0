package demo

import "math"

// Shake is how a camera held in the hand moves, as the picture shows it: a slow
// drift, the hands' tremor and a little roll about the picture's middle.
type Shake struct {
	DriftX  []Knot `json:"drift_x,omitempty"` // px at 1080 lines, times as shares of the clip
	DriftY  []Knot `json:"drift_y,omitempty"`
	TremorX []Wave `json:"tremor_x,omitempty"` // amplitudes in px
	TremorY []Wave `json:"tremor_y,omitempty"`
	Roll    []Wave `json:"roll,omitempty"` // amplitudes in degrees
}

func (s Shake) any() bool { return len(s.DriftX) > 0 || len(s.TremorX) > 0 || len(s.Roll) > 0 }

// held is a Shake made ready.
type held struct {
	x, y curve
	s    Shake
}

func newHeld(s Shake, duration float64) held {
	drift := func(knots []Knot) curve {
		var t, v []float64
		for _, k := range knots {
			t, v = append(t, k.At*duration), append(v, k.Speed)
		}
		return newCurve(t, v)
	}
	h := held{s: s}
	if s.any() {
		h.x, h.y = drift(s.DriftX), drift(s.DriftY)
	}
	return h
}

func sum(w []Wave, t float64) float64 {
	var total float64
	for _, k := range w {
		total += k.Amplitude * math.Sin(2*math.Pi*k.Frequency*t+k.Phase)
	}
	return total
}

// viewAt is the camera at t.
func (sc *scene) viewAt(t float64) view {
	v := sc.view
	if !sc.spec.Camera.Shake.any() {
		return v
	}
	h := sc.held
	v.shift = point{h.x.at(t) + sum(h.s.TremorX, t), h.y.at(t) + sum(h.s.TremorY, t)}
	v.spin = sum(h.s.Roll, t) * degree
	return v
}

// resample draws the room as a moved camera sees it: from a picture of twice the
// size every pixel takes the four by four samples that lie nearest, weighted so
// that a still camera would see the mean of its own four.
func (p *patch) resample(double *patch, v view) {
	s, c := math.Sincos(-v.spin)
	for y := range p.h {
		for x := range p.w {
			dx, dy := float64(x)-v.cx-v.shift.x, float64(y)-v.cy-v.shift.y
			p.pix[y*p.w+x] = double.around(2*(v.cx+c*dx-s*dy)+0.5, 2*(v.cy+s*dx+c*dy)+0.5)
		}
	}
}

// around is the mean over a square of two by two samples about a place.
func (p *patch) around(x, y float64) rgb {
	fx, fy := math.Floor(x-0.5), math.Floor(y-0.5)
	ix, iy := int(fx), int(fy)
	ux, uy := float32(x-0.5-fx), float32(y-0.5-fy)
	wx, wy := [3]float32{1 - ux, 1, ux}, [3]float32{1 - uy, 1, uy}
	var sum rgb
	for j, a := range wy {
		row := p.pix[min(max(iy+j, 0), p.h-1)*p.w:][:p.w]
		for i, b := range wx {
			k := a * b / 4
			q := row[min(max(ix+i, 0), p.w-1)]
			sum[0] += k * q[0]
			sum[1] += k * q[1]
			sum[2] += k * q[2]
		}
	}
	return sum
}
