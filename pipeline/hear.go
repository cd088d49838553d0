package pipeline

import (
	"math"

	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/measure"
	"strokereel/track/phase"
	"strokereel/track/sound"
)

// heard is the sound of a clip as a witness; nil clicks and silent when there
// is none.
type heard struct {
	clicks []phase.Click
	silent bool
	uWay   float64 // s, of the time the sound was on its way
}

// deviceOffset is how far a phone's sound may lie off its pictures either way,
// s: a rectangular prior until the offset is measured.
const deviceOffset = 0.040

// hear makes witnesses of a clip's clicks: the way of the sound is taken off
// them.
func hear(found clicks, s settings.Settings) heard {
	distance := s.Track.Measure.CameraDistance()
	way := sound.Travel(distance.Value, s.Sheet.Temperature)
	uWay := way * distance.U / distance.Value
	h := heard{silent: found.Silent, uWay: uWay}
	for _, c := range found.Found {
		u := math.Sqrt(c.U*c.U + uWay*uWay + deviceOffset*deviceOffset/3)
		h.clicks = append(h.clicks, phase.Click{T: c.T - way, U: u, Loudness: c.Loudness})
	}
	return h
}

// fewestClicks are needed to tell a device's offset: one click may be another's.
const fewestClicks = 2

// offset is how far the device's sound lags its pictures, by the strokes whose
// impact was both seen and heard; false when they are too few or do not agree.
func (h heard) offset(strokes []phase.Stroke) (measure.Quantity, bool) {
	var lags []track.Witness
	for _, s := range strokes {
		if lag, ok := lagOf(s.Event(track.Impact)); ok {
			lags = append(lags, lag)
		}
	}
	if len(lags) < fewestClicks {
		return measure.Quantity{}, false
	}
	mean := phase.Mean(lags)
	for _, l := range lags {
		if math.Abs(l.T-mean.T) > 3*math.Hypot(l.U, mean.U) {
			return measure.Quantity{}, false
		}
	}
	return measure.Quantity{Value: mean.T, U: math.Hypot(mean.U, h.uWay)}, true
}

// clickU is how well a click's onset is heard, s.
const clickU = 0.0003

// lagOf is how much later than by the other witnesses an impact was heard.
func lagOf(impact track.Event) (track.Witness, bool) {
	var seen []track.Witness
	heard := math.NaN()
	for _, w := range impact.Witnesses {
		if w.Name == phase.WitnessSound {
			heard = w.T
		} else {
			seen = append(seen, w)
		}
	}
	if math.IsNaN(heard) || len(seen) == 0 {
		return track.Witness{}, false
	}
	m := phase.Mean(seen)
	return track.Witness{T: heard - m.T, U: math.Hypot(m.U, clickU)}, true
}
