package pipeline

import (
	"fmt"
	"path/filepath"
	"strconv"
	"time"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track/cast"
)

// Version of the product, as reports name it.
const Version = "0.1.0"

// blank fills in what is known of a clip before any stroke is looked for.
func blank(c Reading, w *seen, h heard, s settings.Settings) lesson.Report {
	r := lesson.Report{
		Schema: lesson.ReportSchema,
		Clip: lesson.Clip{
			File: filepath.Base(c.File), Width: w.Info.Width, Height: w.Info.Height, Frames: w.Frames,
			DurationS: *lesson.Number(w.Last + w.Interval), CaptureRate: captureRate(w.Info),
			Handedness: "unknown", HandednessSource: "not known", View: s.Sheet.View,
		},
		Camera: lesson.Camera{
			RollDeg:   lesson.Estimate{Source: "assumed"},
			YawDeg:    lesson.Estimate{Value: lesson.Number(0), U95: lesson.Number(s.Track.Measure.MaxYaw), Source: "assumed"},
			DistanceM: assumed(s.Track.Measure.CameraDistance().Value, s.Track.Measure.CameraDistance().U),
		},
		Warnings: []lesson.Warning{},
		MadeBy:   madeBy(s, c.Fix, c.Sound),
	}
	if !w.Info.Recorded.IsZero() {
		r.Clip.RecordedAt, r.Clip.RecordedAtSource = w.Info.Recorded.Format(time.RFC3339), w.Info.RecordedFrom
	}
	if w.ShiftOK {
		r.Camera.ShakePx = lesson.Estimate{Value: lesson.Number(w.Shift), U95: lesson.Number(0.5), Source: "measured"}
	} else {
		r.Camera.ShakePx = lesson.Estimate{Source: "not known"}
	}
	if !h.silent {
		r.Sound = &lesson.Sound{OffsetS: 0, U95: deviceOffset, Source: "assumed"}
	}
	for _, c := range append(w.Info.Warnings, w.Warnings...) {
		r.Warnings = append(r.Warnings, lesson.Warning{Code: c.Code, Text: c.Text})
	}
	if w.moved(s) {
		r.Warnings = append(r.Warnings, lesson.Warning{Code: "camera_moved",
			Text: fmt.Sprintf("the camera moved by %.1f px: put the phone on a tripod", w.Shift)})
	}
	if w.Interval > 1/45. {
		r.Warnings = append(r.Warnings, lesson.Warning{Code: "low_rate",
			Text: fmt.Sprintf("%.0f frames/s: set the phone to 60 frames/s or more, times are half as sure at 30", 1/w.Interval)})
	}
	return r
}

// captureRate is how many frames a second were filmed.
func captureRate(i clip.Info) string {
	if i.StorageStretch() == 1 {
		return i.AverageRate.String()
	}
	return strconv.FormatFloat(i.CaptureRate, 'f', -1, 64) + "/1"
}

// Versions of the steps: a result of another version is made again.
const (
	TrackVersion   = "14"
	MeasureVersion = "14"
)

func assumed(v, u float64) lesson.Estimate {
	return lesson.Estimate{Value: lesson.Number(v), U95: lesson.Number(lesson.Coverage * u), Source: "assumed"}
}

// handed notes whether the player is right- or left-handed: the sheet's word,
// else where the ball went. Seen from the front, a right-hander putts to the
// picture's right.
func handed(r *lesson.Report, parts cast.Cast, s settings.Settings) {
	seen := ""
	if parts.DirectionKnown {
		seen = "right"
		if parts.DirX < 0 {
			seen = "left"
		}
	}
	switch sheet := s.Sheet.Handedness; {
	case sheet == "right" || sheet == "left":
		r.Clip.Handedness, r.Clip.HandednessSource = sheet, "sheet"
		if seen != "" && seen != sheet {
			r.Warnings = append(r.Warnings, lesson.Warning{Code: "handedness",
				Text: fmt.Sprintf("the sheet says %s-handed but the ball rolls as for a %s-hander: a person must decide", sheet, seen)})
		}
	case seen != "":
		r.Clip.Handedness, r.Clip.HandednessSource = seen, "ball"
	}
}
