package pipeline

import (
	"strokereel/pipeline/clip"
	"strokereel/track/ball"
	"strokereel/track/cast"
	"strokereel/track/marker"
	"strokereel/track/measure"
	"strokereel/track/path"
	"strokereel/track/phase"
	"strokereel/track/sound"
	"strokereel/track/steady"
)

type Settings struct {
	Clip  clip.Options
	Track struct {
		Marker  marker.Options
		Ball    ball.Options
		Cast    cast.Options
		Steady  steady.Options
		Path    path.Options
		Phase   phase.Options
		Measure measure.Options
		Sound   sound.Options
	}
	Sheet SheetOptions
}

type SheetOptions struct {
	Handedness  string
	View        string
	Temperature float64
}

func DefaultSettings() Settings {
	var s Settings
	s.Clip = clip.DefaultOptions()
	s.Track.Marker = marker.DefaultOptions()
	s.Track.Ball = ball.DefaultOptions()
	s.Track.Cast = cast.DefaultOptions()
	s.Track.Steady = steady.DefaultOptions()
	s.Track.Path = path.DefaultOptions()
	s.Track.Phase = phase.DefaultOptions()
	s.Track.Measure = measure.DefaultOptions()
	s.Track.Sound = sound.DefaultOptions()
	s.Sheet = SheetOptions{"auto", "face-on", 20}
	return s
}
