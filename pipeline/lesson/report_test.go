package lesson

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"strokereel/track"
)

// schema is report.schema.json, read by a validator of the standard.
func schema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("report.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("report.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// full is a report in which every part is there, and every kind of number.
func full() Report {
	return Report{
		Schema: ReportSchema,
		Clip: Clip{File: "before.mp4", SHA256: strings.Repeat("0a", 32), Width: 1920, Height: 1080, Frames: 375, DurationS: 6.25,
			CaptureRate: "60/1", RecordedAt: "2026-01-17T19:05:00Z", RecordedAtSource: "container", Handedness: "left", HandednessSource: "ball", View: "face-on"},
		Camera: Camera{
			RollDeg: Estimate{Source: "assumed"}, YawDeg: Estimate{Number(0), Number(3), "assumed"},
			DistanceM: Estimate{Number(3.5), Number(1), "sheet"}, ShakePx: Estimate{Number(0.1), Number(0.5), "measured"},
			Ruler: &Ruler{From: track.RulerBall, PxPerM: 470.1, U95: 5, Plane: "marker"},
		},
		Strokes: []Stroke{{Kind: track.Putt,
			Events: map[string]Event{
				track.Impact:  EventOf(track.Event{Name: track.Impact, T: 2.3879, U: 0.002, Status: track.Measured, Witnesses: []track.Witness{{Name: "ball", T: 2.388, U: 0.002}}}),
				track.HoldEnd: EventOf(track.Event{Name: track.HoldEnd, T: 6.2, U: 0.01, Status: track.AtLeast}),
				track.LookUp:  EventOf(track.Event{Name: track.LookUp, Status: track.NotMeasured, Reason: "no cap"}),
			},
			Measures: map[string]Measure{
				"backstroke_length": MeasureOf(track.Measure{Value: 0.28, U95: 0.005, Unit: "m", Status: track.Measured, How: "ball"}),
				"tempo":             MeasureOf(track.Measure{Value: 2, Lo95: 1.9, Hi95: 2.2, Unit: "1", Status: track.Measured}),
				"y_kept":            MeasureOf(track.Measure{Word: "yes", Status: track.Measured}),
				"ball_speed":        MeasureOf(track.Measure{Unit: "m/s", Status: track.NotMeasured, Reason: "no ball rolled"}),
			}}},
		Sound:    &Sound{OffsetS: 0.01, U95: 0.04, Source: "assumed"},
		Warnings: []Warning{{"low_rate", "30 frames/s"}},
		MadeBy:   MadeBy{Version: "0.1.0", Settings: "0123456789abcdef", Steps: map[string]string{"track": "1"}},
	}
}

// bare is the report of a clip in which nothing was found.
func bare() Report {
	r := full()
	r.Clip.RecordedAt, r.Clip.RecordedAtSource, r.Clip.Handedness = "", "", "unknown"
	r.Camera.Ruler, r.Camera.ShakePx, r.Sound, r.Strokes, r.Warnings = nil, Estimate{Source: "not known"}, nil, []Stroke{}, []Warning{}
	return r
}

// document is a report as a reader of the file sees it.
func document(t *testing.T, r Report) any {
	t.Helper()
	data, err := r.Marshal()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func TestReportKeepsToItsSchema(t *testing.T) {
	for name, r := range map[string]Report{"everything found": full(), "nothing found": bare()} {
		if err := schema(t).Validate(document(t, r)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The schema must also refuse, or keeping to it says nothing.
func TestSchemaRefuses(t *testing.T) {
	for name, spoil := range map[string]func(*Report){
		"another form":           func(r *Report) { r.Schema = "strokereel/clip-report/9" },
		"a hash that is none":    func(r *Report) { r.Clip.SHA256 = "abc" },
		"an unknown event":       func(r *Report) { r.Strokes[0].Events["sneeze"] = Event{Status: track.Measured} },
		"an unknown status":      func(r *Report) { r.Strokes[0].Measures["tempo"] = Measure{Status: "perhaps"} },
		"a scale of nothing":     func(r *Report) { r.Camera.Ruler.PxPerM = 0 },
		"no list of strokes":     func(r *Report) { r.Strokes = nil },
		"a picture without size": func(r *Report) { r.Clip.Width = 0 },
	} {
		r := full()
		spoil(&r)
		if schema(t).Validate(document(t, r)) == nil {
			t.Errorf("%s: the schema takes it", name)
		}
	}
}

// What was not measured is null with a reason, whatever the number fields hold.
func TestNotMeasuredIsNull(t *testing.T) {
	r := full()
	r.Strokes[0].Measures["ball_speed"] = MeasureOf(track.Measure{Value: 2.4, U95: 0.1, Unit: "m/s", Status: track.NotMeasured, Reason: "no ball rolled"})
	r.Strokes[0].Events[track.LookUp] = EventOf(track.Event{Name: track.LookUp, T: 3.1, U: 0.1, Status: track.NotMeasured, Reason: "no cap"})
	data, err := r.Marshal()
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Strokes []struct {
			Events, Measures map[string]map[string]any
		}
	}
	if err := json.Unmarshal(data, &doc); err != nil {
		t.Fatal(err)
	}
	speed, look := doc.Strokes[0].Measures["ball_speed"], doc.Strokes[0].Events[track.LookUp]
	if v, there := speed["value"]; !there || v != nil || speed["reason"] != "no ball rolled" {
		t.Errorf("a measure not measured is %v", speed)
	}
	if _, there := speed["u95"]; there {
		t.Errorf("a measure not measured has an interval: %v", speed)
	}
	if v, there := look["t_s"]; !there || v != nil || look["u95_s"] != nil || look["reason"] != "no cap" {
		t.Errorf("an event not measured is %v", look)
	}
}

// A measured zero is a number: a putter that does not come back has a recoil of 0.
func TestMeasuredZeroIsZero(t *testing.T) {
	m := MeasureOf(track.Measure{Value: 0, U95: 0.002, Unit: "m", Status: track.Measured})
	if m.Value == nil || *m.Value != 0 || m.U95 == nil || *m.U95 != 0.002 {
		t.Errorf("got %+v", m)
	}
}

// 1.96 standard uncertainties on either side hold 95 % of a normal distribution
// (JCGM 100:2008, table G.1).
func TestEventIntervalHolds95Percent(t *testing.T) {
	e := EventOf(track.Event{T: 1, U: 0.01, Status: track.Measured})
	if share := math.Erf(*e.U95S / 0.01 / math.Sqrt2); math.Abs(share-0.95) > 1e-4 {
		t.Errorf("the interval holds %.4f", share)
	}
}
