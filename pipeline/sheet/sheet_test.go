package sheet

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"strokereel/pipeline/settings"
)

const whole = `student: S-014
date: "2026-01-17"
handedness: left
view: face-on
putt_distance_m: 3
green_speed_ft: 9.5
camera_distance_m: 3.2
capture_rate: 240
sticker_colour: magenta
clips:
  before.mp4: before
  "last one.mov": after
`

func TestParseSheet(t *testing.T) {
	got, err := ParseSheet([]byte(whole))
	want := Sheet{Student: "S-014", Date: "2026-01-17", Handedness: "left", View: "face-on", StickerColour: "magenta",
		PuttDistance: 3, GreenSpeed: 9.5, CameraDistance: 3.2, CaptureRate: 240, Clips: map[string]Role{"before.mp4": Before, "last one.mov": After}}
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, %v", got, err)
	}
	for _, quiet := range []string{"", "# nothing yet\n", "student:\nclips:\n", "date: 2026-01-17\n"} {
		if _, err := ParseSheet([]byte(quiet)); err != nil {
			t.Errorf("%q: %v", quiet, err)
		}
	}
}

func TestWrongSheets(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"unknown key", "student: S-1\nstudnet: S-2\n", `line 2: "studnet" is not a known key`},
		{"given twice", "student: S-1\nstudent: S-2\n", `line 2: "student" is already given on line 1`},
		{"no number", "putt_distance_m: far\n", `line 1: "putt_distance_m" must be a number from 0.1 to 40 (got "far")`},
		{"not finite", "green_speed_ft: .nan\n", `must be a number from 3 to 20 (got ".nan")`},
		{"out of range", "green_speed_ft: 900\n", `must be a number from 3 to 20 (got "900")`},
		{"no such hand", "handedness: both\n", `must be one of right, left (got "both")`},
		{"no such role", "clips:\n  a.mp4: middle\n", `line 1: "clips" line 2: "a.mp4" must be one of before, after, reference, drill, practice, unusable (got "middle")`},
		{"no such day", "date: 2026-02-30\n", "must be a date as 2026-01-17"},
		{"a list", "- a\n- b\n", "must hold lines of the form key: value"},
		{"a list as value", "student: [a, b]\n", "must have one value"},
		{"another file", "student: *nobody\n", "is not written as key: value lines"},
		{"two documents", "student: a\n---\nstudent: b\n", "more than one document"},
		{"too large", "#" + strings.Repeat("x", longestFile), "more than 256 kB"},
		{"a code over lines", "student: \"a\\nb\"\n", "must be a short code on one line"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := ParseSheet([]byte(c.text)); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

func TestParseCorrections(t *testing.T) {
	got, err := ParseCorrections([]byte("clips:\n  a.mp4: {role: after, impact_s: 2.35}\n  b.mp4:\n    unusable: yes\n"))
	want := Corrections{"a.mp4": {Role: After, Impact: 2.35}, "b.mp4": {Role: Unusable}}
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, %v", got, err)
	}
	got, err = ParseCorrections([]byte(marks))
	want = Corrections{"c.mp4": {Student: "S-014", Role: Practice, Impact: 2.4,
		Strokes: []Stroke{{At: 2, Events: map[string]float64{"start": 1.5, "top": 2.1, "impact": 2.4}}, {At: 9, Kind: "practice", Events: map[string]float64{}}},
		Points:  []Point{{"putter", 1.25, 801.5, 633}, {"ball", 0, 1, 2}}}}
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, %v", got, err)
	}
	for text, says := range map[string]string{
		"{rolle: after}":                                     "is not a known key",
		"{strokes: [{kind: practice}]}":                      "must say which stroke is meant",
		"{strokes: {events_s: {topp: 1}}}":                   "is not a known event",
		"{strokes: {events_s: {start: 2, top: 1}}}":          "top comes too early",
		"{points: [{object: putter, t_s: 1, x_px: 3}]}":      "must say y_px",
		"{points: {object: club, t_s: 1, x_px: 3, y_px: 1}}": "must be one of putter, ball",
	} {
		if _, err := ParseCorrections([]byte("clips:\n  a.mp4: " + text + "\n")); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: got %v, want %q", text, err, says)
		}
	}
}

const marks = `clips:
  c.mp4:
    student: S-014
    role: practice
    strokes:
      - events_s: {start: 1.5, top: 2.1, impact: 2.4}
      - {at_s: 9, kind: practice}
    points:
      - {object: putter, t_s: 1.25, x_px: 801.5, y_px: 633}
      - {object: ball, t_s: 0, x_px: 1, y_px: 2}
`

func TestCard(t *testing.T) {
	card, err := ParseCard([]byte("student: S-014\nhandedness: left\nsticker_colour: blue\n"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := Sheet{StickerColour: "red"}.With(card)
	if err != nil || s.Student != "S-014" || s.Handedness != "left" || s.StickerColour != "red" {
		t.Errorf("the sheet does not win over the card: %+v, %v", s, err)
	}
	if _, err := (Sheet{Student: "S-015"}).With(card); err == nil {
		t.Error("another student's card was taken")
	}
}

func TestSettings(t *testing.T) {
	base := settings.Default()
	got, err := Sheet{Handedness: "left", View: "down-the-line", StickerColour: "blue", CameraDistance: 3, CaptureRate: 240}.Settings(base)
	if err != nil {
		t.Fatal(err)
	}
	if got.Sheet.Handedness != "left" || got.Sheet.View != "other" || got.Track.Marker.Colour != "blue" {
		t.Errorf("got %+v", got.Sheet)
	}
	if got.Clip.CaptureRate != 240 {
		t.Errorf("the rate of filming is %v", got.Clip.CaptureRate)
	}
	d := got.Track.Measure.CameraDistance()
	if d.Value < 2.999 || d.Value > 3.001 || d.U >= base.Track.Measure.CameraDistance().U {
		t.Errorf("camera distance %+v is not surer than the default", d)
	}
	if same, err := (Sheet{}).Settings(base); err != nil || same.Fingerprint() != base.Fingerprint() {
		t.Errorf("an empty sheet changes settings: %v", err)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{whole, marks, "clips:\n  a: {role: after}\n", "a: &a [*a]\n", "? {a: b}\n: c\n", "\x00", "student: !!binary aGk=\n"} {
		f.Add([]byte(s))
	}
	base := settings.Default()
	f.Fuzz(func(t *testing.T, data []byte) {
		if s, err := ParseSheet(data); err == nil {
			if _, err := s.Settings(base); err != nil {
				t.Errorf("a sheet that was taken does not apply: %v", err)
			}
			for _, r := range s.Clips {
				if r != "" && !slices.Contains(Roles(), r) {
					t.Errorf("role %q was taken", r)
				}
			}
		}
		if c, err := ParseCard(data); err == nil && c.Handedness != "" && c.Handedness != "left" && c.Handedness != "right" {
			t.Errorf("handedness %q was taken", c.Handedness)
		}
		if c, err := ParseCorrections(data); err == nil {
			for _, v := range c {
				if v.Impact < 0 {
					t.Errorf("impact at %v s was taken", v.Impact)
				}
			}
		}
	})
}
