package bench

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
	"time"

	"strokereel/pipeline"
	"strokereel/pipeline/demo"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/measure"
)

// Value is one reported number beside its truth.
type Value struct {
	Name     string  `json:"name"`
	Stroke   int     `json:"stroke"`
	Got      float64 `json:"got"`
	U95      float64 `json:"u95"`
	Truth    float64 `json:"truth"`
	Reported bool    `json:"reported"` // the product gave a number
}

// Error is what was got less the truth.
func (v Value) Error() float64 { return v.Got - v.Truth }

// Covered reports whether the 95 % interval holds the truth.
func (v Value) Covered() bool { return math.Abs(v.Error()) <= v.U95 }

// Clip is the score of one clip.
type Clip struct {
	Case     string    `json:"case"`
	Seed     int       `json:"seed"`
	Interval float64   `json:"frame_interval_s"`
	Whole    int       `json:"frames_marker_whole"` // frames in which the truth shows the whole sticker
	Seen     int       `json:"frames_marker_seen"`  // of those
	SumSq    float64   `json:"marker_error_sq_px2"` // per axis
	Worst    float64   `json:"marker_worst_px"`
	Strokes  int       `json:"strokes"`
	Wanted   int       `json:"strokes_wanted"`
	Events   []Value   `json:"events"`
	Measures []Value   `json:"measures"`
	Y        []Verdict `json:"y_kept"`
	Warnings []string  `json:"warnings"`
	MSFrame  float64   `json:"ms_per_frame"`

	Bands  bool    `json:"bands"`                  // bands and stickers are worn
	Turn   float64 `json:"head_turn_deg"`          // how far the head turns in the end
	Absent []Value `json:"not_measured,omitempty"` // of arms and head: true values for which nothing was reported

	WorstPart float64 `json:"marker_worst_px_hidden_in_part"` // where it was seen though not whole
	Bound     *Bound  `json:"bound,omitempty"`
	Others    []Other `json:"other_trackers,omitempty"`

	errors map[int][2]float64 // px, of the marker by frame, where it was whole and seen
}

// RMS is the marker's error per axis, px.
func (c Clip) RMS() float64 { return math.Sqrt(c.SumSq / math.Max(1, float64(c.Seen))) }

// ReadTruth reads what really happened in a rendered clip.
func ReadTruth(path string) (demo.Truth, error) {
	raw, err := os.ReadFile(path)
	if err != nil {
		return demo.Truth{}, fmt.Errorf("reading the truth: %w", err)
	}
	var truth demo.Truth
	if err := json.Unmarshal(raw, &truth); err != nil {
		return demo.Truth{}, fmt.Errorf("reading the truth %q: %w", path, err)
	}
	return truth, nil
}

// Score measures one clip and compares it with its truth.
func Score(ctx context.Context, clip, truthPath string, s settings.Settings) (Clip, error) {
	return score(ctx, pipeline.Reading{File: clip}, truthPath, s)
}

func score(ctx context.Context, clip pipeline.Reading, truthPath string, s settings.Settings) (Clip, error) {
	truth, err := ReadTruth(truthPath)
	if err != nil {
		return Clip{}, err
	}
	began := time.Now()
	r, err := clip.Measure(ctx, WithSheet(s, truth))
	if err != nil {
		return Clip{}, err
	}
	took := time.Since(began)
	for _, s := range r.Report.Strokes {
		if err := s.AddsUp(); err != nil {
			return Clip{}, fmt.Errorf("stroke %d: %w", s.Index+1, err)
		}
	}
	var tracks []track.Track
	for _, o := range r.Observed {
		tracks = append(tracks, o.Track)
	}
	c := Against(truth, &r.Report, tracks)
	c.MSFrame = took.Seconds() * 1000 / math.Max(1, float64(r.Report.Clip.Frames))
	return c, nil
}

// Against compares what was found in a clip with its truth.
func Against(truth demo.Truth, report *lesson.Report, tracks []track.Track) Clip {
	c := Clip{Case: truth.Case, Seed: truth.Seed, Wanted: len(truth.Strokes), Bands: truth.Bands}
	for _, f := range truth.Frames {
		c.Turn = math.Max(c.Turn, f.HeadTurn)
	}
	for _, s := range report.Strokes {
		if s.Kind != track.Unusable {
			c.Strokes++
		}
	}
	if n := len(truth.Frames); n > 1 {
		c.Interval = (truth.Frames[n-1].T - truth.Frames[0].T) / float64(n-1)
	}
	for _, w := range report.Warnings {
		c.Warnings = append(c.Warnings, w.Code)
	}
	c.positions(tracks, truth)
	if truth.Sticker == "" || !truth.Spec.Ball.Present {
		c.Wanted = 0 // a stroke is drawn, but nothing can be measured in it
		return c
	}
	for i, want := range truth.Strokes {
		got := Pair(report.Strokes, want.Kind, want.Events)
		c.stroke(i, want, got, truth.Bands)
		c.y(want, got)
	}
	return c
}

// positions compares the putter's track with the truth, frame by frame. The
// middle of a blurred sticker is the mean over the exposure.
func (c *Clip) positions(tracks []track.Track, truth demo.Truth) {
	got := map[int]track.Sample{}
	for _, tr := range tracks {
		if tr.Object == track.Putter {
			for _, s := range tr.Samples {
				got[s.Frame] = s
			}
		}
	}
	c.errors = map[int][2]float64{}
	for i, f := range truth.Frames {
		if f.MarkerMean == nil {
			continue
		}
		s, ok := got[i]
		if !f.MarkerWhole {
			if ok && s.Seen {
				c.WorstPart = math.Max(c.WorstPart, math.Hypot(s.X-f.MarkerMean[0], s.Y-f.MarkerMean[1]))
			}
			continue
		}
		c.Whole++
		if !ok || !s.Seen {
			continue
		}
		c.Seen++
		dx, dy := s.X-f.MarkerMean[0], s.Y-f.MarkerMean[1]
		c.SumSq += (dx*dx + dy*dy) / 2
		c.Worst = math.Max(c.Worst, math.Hypot(dx, dy))
		c.errors[i] = [2]float64{dx, dy}
	}
}

// Pair finds the reported stroke of a kind (any when it is empty) whose start,
// top or impact is nearest to the true one's.
func Pair(strokes []lesson.Stroke, kind string, events map[string]*float64) *lesson.Stroke {
	var best *lesson.Stroke
	distance := 1.0 // s; farther is another stroke
	for i := range strokes {
		if kind != "" && strokes[i].Kind != kind {
			continue
		}
		for _, name := range []string{track.Start, track.Top, track.Impact} {
			w, g := events[name], strokes[i].Events[name].TS
			if w == nil || g == nil {
				continue
			}
			if d := math.Abs(*w - *g); d < distance {
				best, distance = &strokes[i], d
			}
		}
	}
	return best
}

// stroke compares one stroke's events and measures.
func (c *Clip) stroke(i int, want demo.StrokeTruth, got *lesson.Stroke, bands bool) {
	for _, name := range track.EventNames {
		truth := want.Events[name]
		if truth == nil || (name == track.HoldEnd && want.HoldOpen) {
			continue
		}
		v := Value{Name: name, Stroke: i, Truth: *truth}
		if name == track.LookUp && !bands {
			v.Name += byModel
		}
		if got != nil {
			if e := got.Events[name]; e.TS != nil && e.Status == track.Measured {
				v.Got, v.U95, v.Reported = *e.TS, *e.U95S, true
			}
		}
		if v.Reported || Plain(v.Name) == v.Name {
			c.Events = append(c.Events, v)
		} else {
			c.Absent = append(c.Absent, v)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(want.Measures)) {
		truth := want.Measures[name]
		if got == nil || truth.AtLeast {
			continue
		}
		v := Value{Name: name, Stroke: i, Truth: truth.Value}
		if !bands && ofBody[name] {
			v.Name += byModel
		}
		m, ok := got.Measures[name]
		if ok && m.Value != nil && m.U95 != nil && m.Status == track.Measured {
			v.Got, v.U95, v.Reported = *m.Value, *m.U95, true
			c.Measures = append(c.Measures, v)
		} else if ofBody[name] {
			c.Absent = append(c.Absent, v)
		}
	}
}

// byModel marks the measures that the body model told, since nothing was worn.
const byModel = " by model"

// Plain is the name of an event or measure without the mark of how it was told.
func Plain(name string) string { return strings.TrimSuffix(name, byModel) }

// Wearing reports whether a measure can only be told well from something worn.
func Wearing(measure string) bool { return ofBody[measure] }

// ofBody are the measures that bands and stickers, or else the model, tell.
var ofBody = map[string]bool{
	"elbow_spread_top": true, "elbow_spread_impact": true, "elbow_spread_finish": true, "shoulder_rock_top": true, "shoulder_rock_finish": true,
	"lead_wrist_top": true, "lead_wrist_impact": true, "lead_wrist_finish": true, "head_shift": true, "head_rise": true, "head_over_ball": true,
	"elbow_bend_lead": true, "elbow_bend_trail": true,
}

// y compares the verdict on the Y with the one that follows from the truth.
func (c *Clip) y(want demo.StrokeTruth, got *lesson.Stroke) {
	o := measure.DefaultOptions()
	kept := true
	for _, at := range []string{"top", "impact", "finish"} {
		wrist, ok1 := want.Measures["lead_wrist_"+at]
		elbow, ok2 := want.Measures["elbow_spread_"+at]
		if !ok1 || !ok2 || got == nil {
			return
		}
		kept = kept && math.Abs(wrist.Value) <= o.YWrist && math.Abs(elbow.Value-1) <= o.YElbow
	}
	m := got.Measures["y_kept"]
	if m.Status != track.Measured {
		return
	}
	c.Y = append(c.Y, Verdict{Got: m.Word, Kept: kept})
}

// Verdict is the reported word on the Y beside the truth.
type Verdict struct {
	Got  string `json:"got"`
	Kept bool   `json:"kept"`
}

// Right reports whether the word is the truth's, or says that it is too close.
func (v Verdict) Right() bool {
	return v.Got == "too_close" || v.Kept == (v.Got == "yes")
}
