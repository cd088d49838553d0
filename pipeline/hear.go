package pipeline

import (
	"math"

	"strokereel/pipeline/settings"
	"strokereel/track/phase"
	"strokereel/track/sound"
)

// heard is the sound of a clip as a witness; nil clicks and silent when there
// is none.
type heard struct {
	clicks []phase.Click
	silent bool
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
	h := heard{silent: found.Silent}
	for _, c := range found.Found {
		u := math.Sqrt(c.U*c.U + uWay*uWay + deviceOffset*deviceOffset/3)
		h.clicks = append(h.clicks, phase.Click{T: c.T - way, U: u, Loudness: c.Loudness})
	}
	return h
}
