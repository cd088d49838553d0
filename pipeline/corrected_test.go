package pipeline

import (
	"math"
	"strings"
	"testing"

	"strokereel/pipeline/sheet"
	"strokereel/track"
	"strokereel/track/cast"
	"strokereel/track/phase"
)

// strokeFrom is a stroke whose events lie a quarter of a second apart; the stop
// was not found.
func strokeFrom(t float64) phase.Stroke {
	s := phase.Stroke{Kind: track.Putt}
	for k, name := range track.EventNames {
		e := track.Event{Name: name, T: t + 0.25*float64(k), U: 0.01, Status: track.Measured, Witnesses: []track.Witness{{Name: "speed_step", T: t}}}
		if name == track.Stop {
			e = track.Event{Name: name, Status: track.NotMeasured, Reason: "hidden"}
		}
		s.Events = append(s.Events, e)
	}
	return s
}

func TestCorrectStrokes(t *testing.T) {
	r := &Result{Interval: 1 / 60., Strokes: []phase.Stroke{strokeFrom(1), strokeFrom(9)}}
	marks := []sheet.Stroke{
		{At: 9.3, Events: map[string]float64{track.Top: 9.31, track.Stop: 9.8}},
		{At: 1.5, Kind: track.Practice},
		{At: 30, Kind: track.Unusable},
	}
	r.correctStrokes(marks)
	r.correctEvents(marks) // again, after the player was followed
	top, stop := r.Strokes[1].Event(track.Top), r.Strokes[1].Event(track.Stop)
	if top.T != 9.31 || top.Status != track.Measured || len(top.Witnesses) != 2 || top.Witnesses[0].Name != byPerson || top.Witnesses[1].Name != "speed_step" {
		t.Errorf("top %+v", top)
	}
	// A frame either way, evenly: JCGM 100:2008, 4.3.7.
	if want := 1 / 60. / math.Sqrt(3); math.Abs(top.U-want) > 1e-12 {
		t.Errorf("top is sure to %v s, want %v", top.U, want)
	}
	if stop.T != 9.8 || !stop.Known() {
		t.Errorf("stop %+v", stop)
	}
	if e := r.Strokes[1].Event(track.Start); e.T != 9 || len(e.Witnesses) != 1 {
		t.Errorf("an event that nobody marked changed: %+v", e)
	}
	if r.Strokes[0].Kind != track.Practice || r.Strokes[1].Kind != track.Putt {
		t.Errorf("kinds %s and %s", r.Strokes[0].Kind, r.Strokes[1].Kind)
	}
	if len(r.Report.Warnings) != 1 || !strings.Contains(r.Report.Warnings[0].Text, "marked a stroke at 30.00 s, but none was found there") {
		t.Errorf("warnings %+v", r.Report.Warnings)
	}
}

func TestCorrectPlaces(t *testing.T) {
	var seen []track.Sample
	for k := range 10 {
		seen = append(seen, track.Sample{Frame: k, T: float64(k) / 60, X: 100, Y: 200, U: 0.05, Seen: k != 4})
	}
	parts := cast.Cast{Putter: cast.Spot{Track: track.Track{Samples: seen}}}
	r := &Result{Interval: 1 / 60.}
	r.correctPlaces(&parts, []sheet.Point{{Object: track.Putter, T: 4.2 / 60, X: 111, Y: 222}, {Object: track.Putter, T: 3}, {Object: track.Ball, T: 0.1}})
	got := parts.Putter.Track.Samples[4]
	if got.X != 111 || got.Y != 222 || !got.Seen || got.Frame != 4 || got.U < 0.5 {
		t.Errorf("got %+v", got)
	}
	if seen[4].Seen || parts.Putter.Track.Samples[5] != seen[5] {
		t.Error("more than the marked place changed")
	}
	if len(r.Report.Warnings) != 2 {
		t.Errorf("marks where nothing is followed: %+v", r.Report.Warnings)
	}
}
