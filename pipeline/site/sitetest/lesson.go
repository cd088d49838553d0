package sitetest

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/reel"
	"strokereel/track"
)

// Lesson is a lesson to be made.
type Lesson struct {
	Name, Student, Coach, Date string
	Key                        string // of the result, "" for Name
	BallSpeed                  float64
	Tempo                      [2]float64 // before and after
	Wide, Tall                 []byte     // films; nil for a header only
	Clip                       string     // fingerprint of the clips
}

// Write puts a finished lesson into an outbox.
func Write(outbox string, l Lesson) error {
	dir := filepath.Join(outbox, l.Name)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	if l.Clip == "" {
		l.Clip = fmt.Sprintf("%064x", len(l.Name)+1)
	}
	if l.Key == "" {
		l.Key = l.Name
	}
	comparison, err := lesson.Compare([]lesson.Findings{l.clip(0, 0.36)}, []lesson.Findings{l.clip(1, 0.27)}).Marshal()
	if err != nil {
		return err
	}
	result, err := json.Marshal(map[string]any{
		"schema": "strokereel/night-result/1", "key": l.Key, "made": "2026-01-18T02:00:00Z", "lesson": l.Name, "student": l.Student,
		"coach": l.Coach, "date": l.Date, "films": []string{"reel.mp4", "reel.tall.mp4"}, "clips": []map[string]string{{"sha256": l.Clip}},
	})
	if err != nil {
		return err
	}
	files := map[string][]byte{"lesson.json": comparison, "result.json": result}
	for _, f := range []struct {
		base  string
		shape reel.Shape
		w, h  int
		film  []byte
	}{{"reel", reel.Wide, 320, 180, l.Wide}, {"reel.tall", reel.Tall, 180, 320, l.Tall}} {
		if f.film == nil { // nobody will look at it
			f.film, f.w, f.h = Film(l.Name+f.base), 16, 16
		}
		plan, err := Plan(f.shape, f.w, f.h).Marshal()
		if err != nil {
			return err
		}
		files[f.base+".mp4"], files[f.base+".reel.json"] = f.film, plan
		files[f.base+".vtt"] = []byte("WEBVTT\n\n00:00:00.500 --> 00:00:01.500\nTop. Backstroke 36.0 cm ± 0.7\n")
		pictures := map[string]color.Color{"poster": color.Gray{90}}
		for _, moment := range []string{track.Top, track.Impact} {
			pictures["before-"+moment], pictures["after-"+moment] = color.RGBA{200, 80, 80, 255}, color.RGBA{80, 80, 200, 255}
		}
		for name, ink := range pictures {
			name = f.base + "." + name + ".jpg"
			files[name] = append(picture(f.w, f.h, ink), l.Name+name...) // no two alike, what follows a picture nobody reads
		}
	}
	for name, data := range files {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// clip is a clip with one putt, before (0) or after (1).
func (l Lesson) clip(which int, back float64) lesson.Findings {
	speed, tempo := l.BallSpeed, l.Tempo[which]
	if speed == 0 {
		speed = 2.2
	}
	if tempo == 0 {
		tempo = 2.3 - 0.3*float64(which)
	}
	f := lesson.Findings{Report: lesson.Report{Clip: lesson.Clip{File: "clip.mp4", SHA256: l.Clip}}}
	s := lesson.Stroke{Kind: track.Putt, Measures: map[string]lesson.Measure{}}
	for _, m := range []track.Measure{
		{ID: "ball_speed", Value: speed, U95: 0.04, Unit: "m/s"},
		{ID: "backstroke_length", Value: back, U95: 0.006, Unit: "m"},
		{ID: "follow_through_length", Value: 1.5 * back, U95: 0.01, Unit: "m"},
		{ID: "through_to_back", Value: 1.5, U95: 0.03, Unit: "1"},
		{ID: "tempo", Value: tempo, U95: 0.03, Unit: "1"},
		{ID: "hold_time", Value: 1.2 + 0.4*float64(which), U95: 0.02, Unit: "s"},
		{ID: "recoil", Value: 0.008, U95: 0.001, Unit: "m"},
		{ID: "backstroke_time", Value: 0.62, U95: 0.008, Unit: "s"},
		{ID: "downstroke_time", Value: 0.27 + 0.02*float64(which), U95: 0.006, Unit: "s"},
		{ID: "follow_through_time", Value: 0.55, U95: 0.008, Unit: "s"},
		{ID: "impact_speed", Value: speed / 1.3, U95: 0.05, Unit: "m/s"},
		{ID: "ball_to_head", Value: 1.3, U95: 0.04, Unit: "1"},
		{ID: "look_up_after_impact", Value: 0.31 + 0.3*float64(which), U95: 0.03, Unit: "s"},
		{ID: "head_shift", Value: 0.014 - 0.009*float64(which), U95: 0.004, Unit: "m"},
		{ID: "shaft_lean_change", Value: 1.1, U95: 0.4, Unit: "deg"},
		{ID: "lead_wrist_finish", Value: 14.5 - 9*float64(which), U95: 2.2, Unit: "deg"},
		{ID: "elbow_spread_finish", Value: 1.06, U95: 0.02, Unit: "1"},
		{ID: "shoulder_rock_finish", Value: -9.5, U95: 0.9, Unit: "deg"},
	} {
		m.Status = track.Measured
		s.Measures[m.ID] = lesson.MeasureOf(m)
	}
	f.Report.Strokes = []lesson.Stroke{s}
	return f
}

// Plan is the plan of a reel of two seconds with two chapters.
func Plan(shape reel.Shape, w, h int) reel.Plan {
	return reel.Plan{Schema: reel.Schema, Shape: shape, Width: w, Height: h, Rate: 30, Frames: 60, LengthS: 2,
		Segments: []reel.Segment{{Kind: reel.Full, Chapter: "Before, at full speed", Frames: 30}, {Kind: reel.Both, Chapter: "Both, in step at impact", Start: 30, Frames: 30}},
		Stills:   []reel.Still{{Name: "before-top"}, {Name: "after-top"}, {Name: "before-impact"}, {Name: "after-impact"}, {Name: "poster"}}}
}

// Film is a film without pictures: the boxes that a reader of headers sees.
func Film(text string) []byte {
	var b bytes.Buffer
	for _, box := range []struct{ kind, data string }{{"ftyp", "isom\x00\x00\x02\x00"}, {"moov", "mvhd"}, {"mdat", text}} {
		binary.Write(&b, binary.BigEndian, uint32(8+len(box.data)))
		b.WriteString(box.kind + box.data)
	}
	return b.Bytes()
}

func picture(w, h int, c color.Color) []byte {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			if x/20%2 == y/20%2 {
				img.Set(x, y, c)
			} else {
				img.Set(x, y, color.Gray{230})
			}
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		panic(err) // into memory
	}
	return b.Bytes()
}

// Card writes a student's card with consent to measuring and publishing from the
// start of 2026 until a day.
func Card(inbox, student, until string) error {
	dir := filepath.Join(inbox, student)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	card := map[string]any{"student": student, "age": "minor", "consent": map[string]any{}}
	for _, purpose := range []string{"measuring", "publishing"} {
		card["consent"].(map[string]any)[purpose] = map[string]any{"given": "yes", "by": "G-1", "guardian": "yes", "on": "2026-01-01", "until": until}
	}
	data, err := json.Marshal(card) // JSON is YAML
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, "student.yaml"), data, 0o644)
}
