package pipeline

import (
	"math"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/phase"
	"strokereel/track/sound"
)

// heard is the sound of a clip as a witness.
type heard struct {
	found  []sound.Click
	silent bool
	way    float64 // s, that the sound is taken to have been on its way
	uWay   float64
	told   Delay // by other clips of the device
}

// deviceOffset is how far a phone's sound may lie off its pictures either way,
// s: a rectangular prior until the offset is measured.
const deviceOffset = 0.040

// hear makes a witness of a clip's clicks.
func hear(found clicks, s settings.Settings, told Delay) heard {
	distance := s.Track.Measure.CameraDistance()
	way := sound.Travel(distance.Value, s.Sheet.Temperature)
	return heard{found: found.Found, silent: found.Silent, way: way, uWay: way * distance.U / distance.Value, told: told}
}

// clicks are the clicks while nothing is known of the device.
func (h heard) clicks() []phase.Click {
	var out []phase.Click
	for _, c := range h.found {
		u := math.Sqrt(c.U*c.U + h.uWay*h.uWay + deviceOffset*deviceOffset/3)
		out = append(out, phase.Click{T: c.T - h.way, U: u, Loudness: c.Loudness})
	}
	return out
}

// ears are what the clip's strokes, but those that a person put right, tell of
// the delay of its sound.
func (h heard) ears(strokes []phase.Stroke, put func(k int) bool, mPerPx, reach float64) Ears {
	e := Ears{MPerPx: mPerPx}
	for k, s := range strokes {
		seen, ok := seenImpact(s.Event(track.Impact))
		if !ok || put(k) {
			continue
		}
		l := Lag{Seen: seen.T, U: seen.U}
		for _, c := range h.found {
			if math.Abs(c.T-h.way-seen.T) <= reach {
				l.Clicks = append(l.Clicks, Click{c.T, c.U})
			}
		}
		if len(l.Clicks) > 0 {
			e.Lags = append(e.Lags, l)
		}
	}
	return e
}

// seenImpact is what all signs but the sound say of an impact. Where they
// disagree it is as unsure as that shows (Birge ratio).
func seenImpact(impact track.Event) (track.Witness, bool) {
	var seen []track.Witness
	for _, w := range impact.Witnesses {
		if w.Name != phase.WitnessSound {
			seen = append(seen, w)
		}
	}
	if !impact.Known() || len(seen) == 0 {
		return track.Witness{}, false
	}
	return together(seen), true
}

// timed returns the clicks of a clip of which the delay is known, each stroke's
// by what the other strokes and clips tell, and what is told of the device.
// It is not ok while the delay is not known well enough to help.
func (h heard) timed(e Ears) (clicks []phase.Click, told *lesson.Sound, ok bool) {
	picked, from := agreed(e.Lags, h.told)
	if len(picked) == 0 {
		return nil, nil, false
	}
	clicks = h.clicks()
	for k, p := range picked {
		others := withoutNth(picked, k)
		d, known := delayOf(others, from)
		if !known || !d.Sure() {
			continue
		}
		for i, c := range h.found {
			if c.T == p.at {
				clicks[i].T, clicks[i].U, ok = c.T-d.S, math.Hypot(c.U, d.U), true
			}
		}
	}
	all, known := delayOf(picked, from)
	if !known || from.U == 0 && len(picked) < fewestClicks {
		return clicks, nil, ok
	}
	told = &lesson.Sound{OffsetS: *lesson.Number(all.S - h.way), U95: *lesson.Number(lesson.Coverage * math.Hypot(all.U, h.uWay)), Source: "measured"}
	if from.U > 0 {
		told.Source = "night"
	}
	return clicks, told, ok
}
