package demo

import "math"

// Light is how the light changes in a clip.
type Light struct {
	BeatShare float64     `json:"beat_share,omitempty"` // the lamps' ripple: +- share of their light
	BeatHz    float64     `json:"beat_hz,omitempty"`    // twice the mains frequency
	BeatPhase float64     `json:"beat_phase_rad,omitempty"`
	Steps     []LightStep `json:"exposure_steps,omitempty"`
	Shadow    *Shadow     `json:"shadow,omitempty"`
}

// LightStep is a step of the camera's exposure: half done at its moment.
type LightStep struct {
	At  float64 `json:"t_s"`
	For float64 `json:"takes_s"`
	EV  float64 `json:"ev"` // to this, from the one before; the first from 0
}

// Shadow is a soft-edged band of shade that wanders through the picture, as of
// somebody who walks by before the window.
type Shadow struct {
	Depth float64 `json:"depth"`   // share of the light lost
	From  float64 `json:"from_px"` // where its first edge is at the first frame, along the picture's x at its middle row
	Speed float64 `json:"speed_px_s"`
	Width float64 `json:"width_px"`
	Soft  float64 `json:"soft_px"` // width of each edge
	Slant float64 `json:"slant"`   // px sideways per px down
}

// lighting is the light of one frame.
type lighting struct {
	gain   float32
	shadow *Shadow
	moved  float64 // of the shadow, px
}

// lightAt is the mean over the exposure around t.
func (sc *scene) lightAt(t float64) lighting {
	l, v := sc.spec.Light, sc.spec.Video
	gain := 1.0
	if l.BeatShare > 0 {
		// The mean of 1 + a cos(w t) over an exposure of s is 1 + a cos(w t) sinc(w s/2).
		half := math.Pi * l.BeatHz * v.Shutter
		gain += l.BeatShare * math.Cos(2*math.Pi*l.BeatHz*t+l.BeatPhase) * math.Sin(half) / half
	}
	ev := 0.0
	for _, s := range l.Steps {
		ev += (s.EV - ev) * smooth(t, s.At-s.For/2, s.At+s.For/2)
	}
	out := lighting{gain: float32(gain * math.Exp2(ev))}
	if l.Shadow != nil {
		out.shadow, out.moved = l.Shadow, l.Shadow.Speed*t
	}
	return out
}

// shade gives the light that is left in columns from x0 on of a row, as shares.
func (l lighting) shade(out []float32, x0, y int, height int) {
	s := l.shadow
	first := s.From + l.moved + s.Slant*(float64(y)-float64(height)/2)
	for i := range out {
		d := float64(x0+i) - first
		dark := smooth(d, -s.Soft/2, s.Soft/2) * (1 - smooth(d-s.Width, -s.Soft/2, s.Soft/2))
		out[i] = float32(1 - s.Depth*dark)
	}
}
