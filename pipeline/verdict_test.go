package pipeline

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/cast"
	"strokereel/track/phase"
)

// result has strokes of these kinds; every event of them is measured.
func result(kinds ...string) *Result {
	r := &Result{}
	r.Report.Clip.View = "face-on"
	for i, kind := range kinds {
		s := phase.Stroke{Index: i, Kind: kind}
		for _, name := range track.EventNames {
			s.Events = append(s.Events, track.Event{Name: name, T: 1, Status: track.Measured})
		}
		r.Strokes = append(r.Strokes, s)
		r.Measures = append(r.Measures, []track.Measure{{ID: "hold_time", Value: 1, Status: track.Measured}})
	}
	return r
}

func TestVerdict(t *testing.T) {
	struck := cast.Cast{ClearBall: true, Struck: []cast.Ball{{Left: true}}}
	for _, c := range []struct {
		name, want string
		of         func() *Result
	}{
		{"a putt", "usable", func() *Result { return result(track.Putt) }},
		{"a practice stroke, then the putt", "usable", func() *Result { return result(track.Practice, track.Putt) }},
		{"only a practice stroke", "film again", func() *Result { return result(track.Practice) }},
		{"nothing at all", "film again: nothing moves in the clip", func() *Result {
			r := result()
			r.warn("nothing_moves", "nothing moves in the clip")
			return r
		}},
		{"a ball was struck, the stroke is lost", "usable without numbers", func() *Result {
			r := result(track.Unusable)
			r.Parts = struck
			return r
		}},
		{"filmed from another side", "usable without numbers", func() *Result {
			r := result()
			r.Report.Clip.View = "other"
			return r
		}},
		{"an event is missing", "usable: hold end is not measured: the sticker is hidden", func() *Result {
			r := result(track.Putt)
			r.Strokes[0].Events[4] = track.Event{Name: track.HoldEnd, Status: track.NotMeasured, Reason: "the sticker is hidden"}
			return r
		}},
		{"an event of a practice stroke is missing", "usable", func() *Result {
			r := result(track.Practice, track.Putt)
			r.Strokes[0].Events[2] = track.Event{Name: track.Impact, Status: track.NotMeasured, Reason: "no ball"}
			return r
		}},
		{"looking up is not measured yet", "usable", func() *Result {
			r := result(track.Putt)
			r.Strokes[0].Events[5] = track.Event{Name: track.LookUp, Status: track.NotMeasured, Reason: "no cap"}
			return r
		}},
		{"the clip is cut short", "usable: the camera moved by 9.0 px; the clip ends before the hold does: leave the camera running three seconds after the finish", func() *Result {
			r := result(track.Putt)
			r.Measures[0][0].Status = track.AtLeast
			r.Report.Warnings = []lesson.Warning{{Code: "camera_moved", Text: "the camera moved by 9.0 px"}}
			return r
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.of().Verdict().String(); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

func TestCheckOfAFileThatIsNoClip(t *testing.T) {
	file := filepath.Join(t.TempDir(), "before.mp4")
	if err := os.WriteFile(file, []byte("not a film"), 0o644); err != nil {
		t.Fatal(err)
	}
	v, err := Reading{File: file}.Check(context.Background(), settings.Default())
	if err != nil {
		t.Fatal(err)
	}
	if v.Usability != FilmAgain || len(v.Reasons) != 1 || !strings.HasPrefix(v.Reasons[0], "the file ") || !strings.Contains(v.Reasons[0], ": ") {
		t.Errorf("verdict %v", v)
	}
}
