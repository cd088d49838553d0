package lesson

import (
	_ "embed"
	"encoding/json"
	"math"

	"strokereel/track"
)

// ReportSchema names the form of report.json.
const ReportSchema = "strokereel/clip-report/1"

// Schema is the JSON Schema of report.json.
//
//go:embed report.schema.json
var Schema []byte

// Report is what was found in one clip.
type Report struct {
	Schema   string    `json:"schema"`
	Clip     Clip      `json:"clip"`
	Camera   Camera    `json:"camera"`
	Strokes  []Stroke  `json:"strokes"`
	Sound    *Sound    `json:"sound"` // null when the clip has none
	Warnings []Warning `json:"warnings"`
	MadeBy   MadeBy    `json:"made_by"`
}

// Clip is the file the report is about.
type Clip struct {
	File             string  `json:"file"`
	SHA256           string  `json:"sha256"`
	Width            int     `json:"width"` // upright
	Height           int     `json:"height"`
	Frames           int     `json:"frames"`
	DurationS        float64 `json:"duration_s"`
	CaptureRate      string  `json:"capture_rate"` // frames per second as a fraction
	RecordedAt       string  `json:"recorded_at,omitempty"`
	RecordedAtSource string  `json:"recorded_at_source,omitempty"`
	Handedness       string  `json:"handedness"` // right, left or unknown
	HandednessSource string  `json:"handedness_source"`
	View             string  `json:"view"`
}

// Estimate is a value of the camera with its interval and where it is from.
type Estimate struct {
	Value  *float64 `json:"value"`
	U95    *float64 `json:"u95"`
	Source string   `json:"source"` // measured, sheet or assumed
}

// Camera is how the clip was filmed.
type Camera struct {
	RollDeg   Estimate `json:"roll_deg"`
	YawDeg    Estimate `json:"yaw_deg"`
	DistanceM Estimate `json:"distance_m"`
	ShakePx   Estimate `json:"shake_px"`
	Ruler     *Ruler   `json:"ruler"` // null when nothing gives the scale
}

// Ruler is what turns pixels into metres.
type Ruler struct {
	From   string  `json:"from"`
	PxPerM float64 `json:"px_per_m"`
	U95    float64 `json:"u95"`
	Plane  string  `json:"plane"`
	// Uncertainty explains U95.
	Uncertainty *Uncertainty `json:"uncertainty,omitempty"`
}

// Stroke is one stroke of the clip.
type Stroke struct {
	Index    int                `json:"index"`
	Kind     string             `json:"kind"` // putt, practice or unusable
	Events   map[string]Event   `json:"events"`
	Measures map[string]Measure `json:"measures"`
	// Uncertainty explains the interval of each known event and measure.
	Uncertainty map[string]Uncertainty `json:"uncertainty,omitempty"`
}

// Event is a moment of a stroke, seconds from the first frame.
type Event struct {
	TS        *float64  `json:"t_s"`
	U95S      *float64  `json:"u95_s"`
	Status    string    `json:"status"`
	Reason    string    `json:"reason,omitempty"`
	Witnesses []Witness `json:"witnesses,omitempty"`
}

// Witness is one independent sign of an event.
type Witness struct {
	Name string  `json:"name"`
	TS   float64 `json:"t_s"`
	U95S float64 `json:"u95_s"`
}

// Measure is one number of a stroke, SI.
type Measure struct {
	Value  *float64 `json:"value"`
	Word   string   `json:"word,omitempty"`
	Unit   string   `json:"unit,omitempty"`
	U95    *float64 `json:"u95,omitempty"`
	Lo95   *float64 `json:"lo95,omitempty"`
	Hi95   *float64 `json:"hi95,omitempty"`
	Status string   `json:"status"`
	Reason string   `json:"reason,omitempty"`
	How    string   `json:"how,omitempty"`
}

// Sound is the clip's sound as a clock.
type Sound struct {
	OffsetS float64 `json:"offset_s"`
	U95     float64 `json:"u95"`
	Source  string  `json:"source"` // measured, night or assumed
}

// Warning is something a person should know about the result.
type Warning struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

// MadeBy says what made the report, so that it can be repeated.
type MadeBy struct {
	Version  string            `json:"version"`
	Settings string            `json:"settings"`          // fingerprint
	Changed  map[string]string `json:"changed,omitempty"` // settings that were not at their defaults
	Steps    map[string]string `json:"steps"`
}

// Coverage is that of the intervals of events and of the camera.
const Coverage = track.Coverage

// EventOf turns a found event into its report form.
func EventOf(e track.Event) Event {
	out := Event{Status: e.Status, Reason: e.Reason}
	if e.Known() {
		out.TS, out.U95S = number(e.T, 5), number(Coverage*e.U, 5)
	}
	for _, w := range e.Witnesses {
		out.Witnesses = append(out.Witnesses, Witness{Name: w.Name, TS: *number(w.T, 5), U95S: *number(Coverage*w.U, 5)})
	}
	return out
}

// MeasureOf turns a computed measure into its report form.
func MeasureOf(m track.Measure) Measure {
	out := Measure{Unit: m.Unit, Status: m.Status, Reason: m.Reason, How: m.How, Word: m.Word}
	if m.Status == track.NotMeasured {
		return out
	}
	if m.Word == "" {
		out.Value = number(m.Value, 6)
	}
	if m.Lo95 != 0 || m.Hi95 != 0 {
		out.Lo95, out.Hi95 = number(m.Lo95, 6), number(m.Hi95, 6)
	} else if m.Word == "" {
		out.U95 = number(m.U95, 6)
	}
	return out
}

// number rounds to a number of decimals, far below any uncertainty, so that
// reports stay readable.
func number(v float64, decimals int) *float64 {
	p := math.Pow(10, float64(decimals))
	r := math.Round(v*p) / p
	return &r
}

// Number is a rounded pointer to v for the report.
func Number(v float64) *float64 { return number(v, 5) }

// Marshal returns the report as indented JSON.
func (r *Report) Marshal() ([]byte, error) {
	b, err := json.MarshalIndent(r, "", "  ")
	if err != nil {
		return nil, err
	}
	return append(b, '\n'), nil
}
