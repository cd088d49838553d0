package inspect

import (
	"bytes"
	"encoding/csv"
	"image"
	"math"
	"slices"
	"strings"
	"testing"

	"strokereel/pipeline"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/cast"
	"strokereel/track/phase"
)

var made = []track.Glance{
	{Frame: 3, T: 0.05, Finder: track.Putter, ID: 0, X: 100, Y: 200, W: 20, H: 20, Found: true, FX: 101.25, FY: 199.5, Radius: 9, Score: 0.08},
	{Frame: 3, T: 0.05, Finder: track.Putter, ID: track.NoID, X: 10, Y: 20, W: 5, H: 5, Found: true, FX: 11, FY: 21, Radius: 4, Score: 0.31, Why: track.Fault{Text: "misfit %.2f, most %.2f", Got: 0.31, Limit: 0.2}},
	{Frame: 3, T: 0.05, Finder: track.Ball, ID: track.NoID, X: 150, Y: 200, W: 30, H: 10, Why: track.Fault{Text: "nothing round stands out here"}},
	{Frame: 4, T: 0.0667, Finder: track.Putter, ID: track.NoID, X: 10, Y: 20, Why: track.Fault{Text: "misfit %.2f, most %.2f", Got: 0.27, Limit: 0.2}},
}

func TestTable(t *testing.T) {
	var b bytes.Buffer
	if err := (&Inspection{Looks: made}).writeTable(&b); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil || len(rows) != 5 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for k, want := range []string{
		"3 0.050000 sticker 0 100.00 200.00 20.0 20.0 101.25 199.50 9.00 0.080 1 ",
		"3 0.050000 sticker  10.00 20.00 5.0 5.0 11.00 21.00 4.00 0.310 0 misfit 0.31, most 0.20",
		"3 0.050000 ball  150.00 200.00 30.0 10.0     0 nothing round stands out here",
	} {
		if got := strings.Join(rows[k+1], " "); got != want {
			t.Errorf("row %d is %q, want %q", k+1, got, want)
		}
	}
}

func TestSummary(t *testing.T) {
	still := track.Track{Samples: []track.Sample{{Seen: true}, {}, {Seen: true}}}
	i := &Inspection{Looks: made, Result: &pipeline.Result{Spots: []cast.Spot{{ID: 7, Track: still, Radius: 9}}}}
	got := i.Summary(settings.Default())
	for _, want := range []string{"looks for the sticker: 1 taken\n      2  misfit …, most 0.20\n", "looks for the ball: 0 taken\n      1  nothing round stands out here\n",
		"sticker 7, radius 9.0 px, in 2 frames: no part: it never lay beside a ball at rest\n"} {
		if !strings.Contains(got, want) {
			t.Errorf("lacks %q:\n%s", want, got)
		}
	}
}

func event(name string, t float64) track.Event {
	return track.Event{Name: name, T: t, U: 0.001, Status: track.Measured}
}

func TestPhaseOf(t *testing.T) {
	one := phase.Stroke{Events: []track.Event{event(track.Start, 1), event(track.Top, 2), event(track.Impact, 3), event(track.Stop, 4), {Name: track.HoldEnd, Status: track.NotMeasured}}}
	two := phase.Stroke{Index: 1, Events: []track.Event{event(track.Start, 6), event(track.Top, 7)}}
	for _, c := range []struct {
		name    string
		strokes []phase.Stroke
		t       float64
		want    string
	}{
		{"no stroke", nil, 1, "no stroke was found"},
		{"before", []phase.Stroke{one, two}, 0.5, "stroke 1: address"},
		{"going back", []phase.Stroke{one, two}, 1.5, "stroke 1: backstroke"},
		{"coming down", []phase.Stroke{one, two}, 2.5, "stroke 1: downstroke"},
		{"going through", []phase.Stroke{one, two}, 3.5, "stroke 1: follow-through"},
		{"between strokes", []phase.Stroke{one, two}, 5, "stroke 2: address"},
		{"after all", []phase.Stroke{one, two}, 8, "after the stroke"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := phaseOf(c.strokes, c.t); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

// The axis shows every sign; an interval much wider than the impact's runs off it.
func TestReach(t *testing.T) {
	for _, c := range []struct {
		name  string
		signs []sign
		want  float64
	}{
		{"all alike", []sign{{at: 0.5, u95: 1}, {at: -0.5, u95: 1}, {u95: 0.7}}, 1.65},
		{"sound is vague", []sign{{at: 0, u95: 1}, {at: -1, u95: 45}, {u95: 1}}, 8},
		{"sound is late", []sign{{at: 0, u95: 1}, {at: -20, u95: 45}, {u95: 1}}, 26},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := (witnesses{signs: c.signs}).reach(); math.Abs(got-c.want) > 1e-9 {
				t.Errorf("reaches %.2f ms, want %.2f", got, c.want)
			}
		})
	}
}

// A witness that is not among the terms of the impact was set aside.
func TestWitnessesOf(t *testing.T) {
	e := event(track.Impact, 2)
	e.Witnesses = []track.Witness{{Name: "ball", T: 2.001, U: 0.001}, {Name: "sound", T: 2.2, U: 0.02}}
	e.Terms = []track.Term{{Symbol: "t_ball"}}
	w, ok := witnessesOf(phase.Stroke{Events: []track.Event{e}})
	if !ok || len(w.signs) != 3 {
		t.Fatalf("got %+v", w)
	}
	if !w.signs[0].used || w.signs[1].used || math.Abs(w.signs[1].at-200) > 1e-6 || math.Abs(w.signs[0].u95-1.96) > 1e-6 {
		t.Errorf("got %+v", w.signs)
	}
	if _, ok := witnessesOf(phase.Stroke{}); ok {
		t.Error("an impact that was not found has signs")
	}
}

// Whole picture, enlarged part and text fill the square and do not overlap.
func TestLayout(t *testing.T) {
	for _, size := range [][2]int{{1920, 1080}, {1080, 1920}} {
		l := layoutOf(size[0], size[1])
		area, all := 0, []image.Rectangle{l.whole, l.near, l.text}
		for k, r := range all {
			area += r.Dx() * r.Dy()
			if slices.ContainsFunc(all[k+1:], r.Overlaps) {
				t.Errorf("%v: %v overlap", size, all)
			}
		}
		if area != side*side {
			t.Errorf("%v: %v leave room", size, all)
		}
	}
}
