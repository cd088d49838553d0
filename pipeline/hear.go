package pipeline

import (
	"context"
	"errors"
	"math"

	"strokereel/pipeline/clip"
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

// hear finds the clicks of a clip and takes the way of the sound off them.
func hear(ctx context.Context, file string, s settings.Settings) (heard, error) {
	samples, err := clip.Sound(ctx, file, s.Clip)
	if errors.Is(err, clip.ErrNoSound) {
		return heard{silent: true}, nil
	}
	if err != nil {
		return heard{}, err
	}
	found, err := sound.Clicks(samples, s.Track.Sound)
	if err != nil {
		return heard{}, err
	}
	distance := s.Track.Measure.CameraDistance()
	way := sound.Travel(distance.Value, s.Sheet.Temperature)
	uWay := way * distance.U / distance.Value
	var h heard
	for _, c := range found {
		u := math.Sqrt(c.U*c.U + uWay*uWay + deviceOffset*deviceOffset/3)
		h.clicks = append(h.clicks, phase.Click{T: c.T - way, U: u, Loudness: c.Loudness})
	}
	return h, nil
}
