package sheet

import (
	"fmt"
	"strconv"

	"strokereel/pipeline/settings"
)

// cameraSlack is how well a distance is known that was paced or taped by eye,
// m either way: common practice, no source.
const cameraSlack = 0.15

// Settings returns the settings that hold for the lesson: those given, changed
// by what the sheet says.
func (s Sheet) Settings(base settings.Settings) (settings.Settings, error) {
	out := base
	set := func(key, value string) error {
		if value == "" {
			return nil
		}
		return out.Set(key, value)
	}
	view := s.View
	if view == "down-the-line" {
		view = "other" // shown, not measured
	}
	near, far := "", ""
	if d := s.CameraDistance; d > 0 {
		near = strconv.FormatFloat(max(d-cameraSlack, 1), 'g', -1, 64)
		far = strconv.FormatFloat(min(d+cameraSlack, 20), 'g', -1, 64)
	}
	speed, slope, err := s.green(base.Track.Roll)
	if err != nil {
		return base, fmt.Errorf("applying the sheet: %w", err)
	}
	rate := ""
	if r := s.CaptureRate; r > 0 {
		rate = strconv.FormatFloat(r, 'g', -1, 64)
	}
	left, right := "", ""
	if len(s.Rod) == 2 {
		left, right = strconv.FormatFloat(s.Rod[0], 'g', -1, 64), strconv.FormatFloat(s.Rod[1], 'g', -1, 64)
	}
	for _, v := range []struct{ key, value string }{
		{"clip.capture_rate", rate},
		{"sheet.handedness", s.Handedness},
		{"sheet.view", view},
		{"sheet.grip", s.Grip},
		{"track.marker.colour", s.StickerColour},
		{"track.measure.camera_distance_min", near},
		{"track.measure.camera_distance_max", far},
		{"sheet.rod_left_to_middle", left},
		{"sheet.rod_middle_to_right", right},
		{"sheet.green_speed", speed},
		{"sheet.putt_slope", slope},
	} {
		if err := set(v.key, v.value); err != nil {
			return base, fmt.Errorf("applying the sheet: %w", err)
		}
	}
	for _, place := range bandPlaces {
		if err := set("track.body."+place, s.Bands[place]); err != nil {
			return base, fmt.Errorf("applying the sheet: %w", err)
		}
	}
	if err := out.Validate(); err != nil {
		return base, fmt.Errorf("applying the sheet: %w", err)
	}
	return out, nil
}
