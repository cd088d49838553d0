package sitetest

import (
	"bytes"
	"image/color"
	"io"
	"os"
	"path/filepath"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/practice"
	"strokereel/track"
	"strokereel/track/roll"
)

// Practice adds a practice sheet to a finished lesson, with as much on it as there
// can be: every drill of the program and four distances.
func Practice(dir string) error {
	drills, err := practice.Load(practice.DefaultOptions())
	if err != nil {
		return err
	}
	putt := lesson.Stroke{Kind: track.Putt, Measures: map[string]lesson.Measure{}}
	for _, m := range []track.Measure{
		{ID: "ball_speed", Value: 2.2, U95: 0.04, Unit: "m/s"}, {ID: "impact_speed", Value: 1.4, U95: 0.03, Unit: "m/s"},
		{ID: "backstroke_length", Value: 0.271, U95: 0.006, Unit: "m"}, {ID: "follow_through_length", Value: 0.338, U95: 0.01, Unit: "m"},
		{ID: "backstroke_time", Value: 0.62, U95: 0.01, Unit: "s"}, {ID: "downstroke_time", Value: 0.31, U95: 0.01, Unit: "s"},
		{ID: "hold_time", Value: 1.2, U95: 0.02, Unit: "s"}, {ID: "look_up_after_impact", Value: 0.12, U95: 0.03, Unit: "s"},
	} {
		m.Status = track.Measured
		putt.Measures[m.ID] = lesson.MeasureOf(m)
	}
	clips := []lesson.Findings{{Report: lesson.Report{Clip: lesson.Clip{File: "clip.mp4"}, Strokes: []lesson.Stroke{putt}}}}
	o := roll.DefaultOptions()
	green, err := roll.NewGreen(roll.Facts{Speed: 9}, o)
	if err != nil {
		return err
	}
	c := lesson.Compare(clips, clips)
	c.Rolling = lesson.RollOut(nil, clips, lesson.Putting{Green: green, Distances: []float64{2, 4, 6, 8}, ToBack: 0.22, Options: o})
	s := drills.Choose(c)
	s.Title, s.Lines = "S-014", []string{"2026-01-17", "putt of 2 m, green speed 9 ft"}
	s.Picture = picture(1080, 864, color.RGBA{60, 107, 69, 255})
	for name, write := range map[string]func(io.Writer) error{
		practice.PageFile:    s.WritePage,
		practice.SoundFile:   func(w io.Writer) error { return s.Times.WriteSound(w, practice.Repeats) },
		practice.PictureFile: func(w io.Writer) error { _, err := w.Write(s.Picture); return err },
	} {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(dir, name), b.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}
