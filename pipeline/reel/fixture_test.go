package reel

import (
	"math"

	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// filmed is how an invented clip was filmed and what was putted in it.
type filmed struct {
	file                           string
	w, h                           int
	perM                           float64 // px
	x, y                           float64 // px, the marker at address
	start, top, impact, stop, over float64 // s
	end                            float64 // s, of the clip
	back, through, ball            float64
	left                           bool
}

// usual is a clip as phones take it.
func usual() filmed {
	return filmed{file: "before.mp4", w: 1920, h: 1080, perM: 520, x: 900, y: 960,
		start: 1.3, top: 2.1, impact: 2.55, stop: 3.2, over: 3.6, end: 6.5, back: 0.36, through: 0.53, ball: 2.24}
}

// second is the same student later, filmed from a little further away.
func second() filmed {
	f := usual()
	f.file, f.perM, f.x, f.y = "after.mp4", 480, 1010, 930
	f.start, f.top, f.impact, f.stop, f.over, f.end = 1.46, 2.08, 2.44, 2.89, 6.05, 6.07
	f.back, f.through, f.ball = 0.24, 0.28, 2.20
	return f
}

func known(v, u95 float64, unit string) lesson.Measure {
	return lesson.MeasureOf(track.Measure{Value: v, U95: u95, Unit: unit, Status: track.Measured})
}

// measured is what measuring the clip would have left.
func (f filmed) measured() Clip {
	s := lesson.Stroke{Kind: track.Putt, Events: map[string]lesson.Event{}, Measures: map[string]lesson.Measure{
		"backstroke_length": known(f.back, 0.007, "m"), "follow_through_length": known(f.through, 0.01, "m"),
		"through_to_back": known(f.through/f.back, 0.02, "1"), "tempo": known((f.top-f.start)/(f.impact-f.top), 0.03, "1"),
		"ball_speed": known(f.ball, 0.05, "m/s"), "hold_time": known(f.over-f.stop, 0.01, "s"),
		"backstroke_time": known(f.top-f.start, 0.005, "s"), "downstroke_time": known(f.impact-f.top, 0.005, "s"),
	}}
	for name, t := range map[string]float64{track.Start: f.start, track.Top: f.top, track.Impact: f.impact, track.Stop: f.stop, track.HoldEnd: f.over} {
		s.Events[name] = lesson.EventOf(track.Event{Name: name, T: t, U: 0.002, Status: track.Measured})
	}
	toward := 1.0
	if f.left {
		toward = -1
	}
	putter := lesson.Observed{Track: track.Track{Object: track.Putter}, Path: track.Path{Object: track.Putter}}
	ball := track.Track{Object: track.Ball}
	for i := 0; float64(i)/60 < f.end; i++ {
		t := float64(i) / 60
		x, y := f.place(t)
		putter.Track.Samples = append(putter.Track.Samples, track.Sample{Frame: i, T: t, X: f.x + toward*x*f.perM, Y: f.y - y*f.perM, U: 0.1, Seen: true})
		putter.Path.Points = append(putter.Path.Points, track.Point{Frame: i, T: t, X: x, Y: y, Seen: true})
		ball.Samples = append(ball.Samples, track.Sample{Frame: i, T: t, Seen: true, U: 0.1, Y: f.y - 0.01*f.perM,
			X: f.x + toward*f.perM*(0.05+max(0, t-f.impact)*f.ball)})
	}
	return Clip{Findings: lesson.Findings{File: f.file, Observed: []lesson.Observed{putter, {Track: ball}},
		Report: lesson.Report{Schema: lesson.ReportSchema, Strokes: []lesson.Stroke{s},
			Clip:   lesson.Clip{File: f.file, Width: f.w, Height: f.h, DurationS: f.end, View: "face-on"},
			Camera: lesson.Camera{Ruler: &lesson.Ruler{PxPerM: f.perM, U95: f.perM * 0.02}}}}}
}

// place is where the marker is, m: out, back and through on an arc.
func (f filmed) place(t float64) (x, y float64) {
	ease := func(from, to, a, b float64) float64 {
		k := math.Max(0, math.Min(1, (t-a)/(b-a)))
		return from + (to-from)*k*k*(3-2*k)
	}
	if t < f.top {
		x = ease(0, -f.back, f.start, f.top)
	} else {
		x = ease(-f.back, f.through, f.top, f.stop)
	}
	return x, x * x / 2
}

// withoutNumbers takes the stroke away from a clip.
func withoutNumbers(c Clip, code string) Clip {
	c.Report.Strokes, c.Report.Camera.Ruler, c.Observed = nil, nil, nil
	c.Report.Warnings = []lesson.Warning{{Code: code}}
	return c
}

func lessonOf(before, after Clip) Lesson {
	return Lesson{Title: "A lesson", Before: []Clip{before}, After: []Clip{after}}
}
