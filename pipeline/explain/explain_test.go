package explain

import (
	"math"
	"strings"
	"testing"

	"strokereel/pipeline/lesson"
	"strokereel/track"
	"strokereel/track/measure"
	"strokereel/track/phase"
)

// report is a made-up report of one practice stroke and one putt, with a number
// of every kind.
func report() lesson.Report {
	tempo := measure.Propagate([]measure.Input{
		{Symbol: "t_start", Name: "time of the start of the stroke", Unit: "s", Value: 1, U: 0.004},
		{Symbol: "t_top", Name: "time of the end of the backstroke", Unit: "s", Value: 1.67, U: 0.003},
		{Symbol: "t_impact", Name: "time of the impact", Unit: "s", Value: 1.987, U: 0.001},
	}, measure.Tempo)
	top := track.Event{Name: track.Top, T: 1.67, U: 0.005, Status: track.Measured, Terms: []track.Term{
		{Symbol: "t_1", Name: "going back", Unit: "s", Value: 1.65, U: 0.008, Sensitivity: 0.5},
		{Symbol: "t_2", Name: "coming down", Unit: "s", Value: 1.69, U: 0.006, Sensitivity: 0.5}}}
	impact := track.Event{Name: track.Impact, T: 1.987, U: 0.001, Status: track.Measured, Terms: []track.Term{
		{Symbol: "t_ball", Name: "the ball", Unit: "s", Value: 1.987, U: 0.001, Sensitivity: 1}}}
	hold := track.Event{Name: track.HoldEnd, T: 4, Status: track.AtLeast, Reason: "the clip ended"}
	roll := track.Budget{Value: 3, U: 0.1, DOF: math.Inf(1), K: 1.96, Log: true, Terms: []track.Term{{Symbol: "e", Name: "scatter", Unit: "1", U: 0.1, Sensitivity: 1, Share: 1}}}
	putt := lesson.Stroke{Index: 1, Kind: track.Putt,
		Events: map[string]lesson.Event{track.Top: lesson.EventOf(top), track.Impact: lesson.EventOf(impact), track.HoldEnd: lesson.EventOf(hold),
			track.LookUp: {Status: track.NotMeasured, Reason: "no cap"}},
		Measures: map[string]lesson.Measure{
			"tempo":           lesson.MeasureOf(track.Measure{Value: tempo.Value, U95: tempo.U95(), Unit: "1", Status: track.Measured, How: "one over the other"}),
			"roll_distance":   lesson.MeasureOf(track.Measure{Value: 3, Lo95: 3 / math.Exp(0.196), Hi95: 3 * math.Exp(0.196), Unit: "m", Status: track.Predicted}),
			"y_kept":          lesson.MeasureOf(track.Measure{Word: "yes", Status: track.Measured}),
			"lead_wrist_top":  lesson.MeasureOf(track.Measure{Value: 2, U95: 1, Unit: "deg", Status: track.Measured}),
			"shoulder_rock_x": {},
		},
		Uncertainty: map[string]lesson.Uncertainty{"tempo": lesson.UncertaintyOf(tempo), "roll_distance": lesson.UncertaintyOf(roll),
			track.Top: lesson.UncertaintyOf(top.Budget()), track.Impact: lesson.UncertaintyOf(impact.Budget())},
	}
	return lesson.Report{Clip: lesson.Clip{File: "before.mp4"}, Strokes: []lesson.Stroke{{Kind: track.Practice}, putt}}
}

func TestNumberText(t *testing.T) {
	frames := []track.Sample{{Frame: 99, T: 1.65}, {Frame: 100, T: 1.6667}, {Frame: 119, T: 1.9833}}
	for _, c := range []struct {
		name, id string
		want     []string // in this order
	}{
		// u of the tempo by hand: sensitivities −1/0.317, 1/0.317 + 0.67/0.317² and
		// −0.67/0.317² times 4, 3 and 1 ms.
		{"a ratio of times that share one", "tempo", []string{"Tempo (tempo) of stroke 2", "(t_top − t_start) / (t_impact − t_top)",
			"t_top", "9.82 1/s", "0.0295", "81.0 %", "t_start", "−3.15 1/s", "0.0126", "t_impact", "−6.67 1/s", "0.00667",
			"root of the sum of squares: u = 0.03", "k = 1.960", "top", "1.6700 s ± 0.0098", "frame 100", "explained on their own: top, start, impact"}},
		{"an event", track.Top, []string{"t = (t_1 + t_2) / 2", "0.00400 s", "64.0 %", "0.00300 s", "36.0 %", "u = 0.005000 s"}},
		{"a prediction", "roll_distance", []string{"predicted", "of the logarithm", "100.0 %", "exp(k u) = 1.217"}},
		{"a verdict", "y_kept", []string{"with its whole interval", "lead_wrist_top 2.0° ± 1.0", "elbow_spread_top –"}},
		{"an event that is a limit", track.HoldEnd, []string{"at least 4.000 s", "the clip ended"}},
		{"an event that was not measured", track.LookUp, []string{"not measured: no cap", "formula"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			e, err := Number(report(), 1, c.id, frames)
			if err != nil {
				t.Fatal(err)
			}
			text := e.Text()
			rest := text
			for _, w := range c.want {
				i := strings.Index(rest, w)
				if i < 0 {
					t.Fatalf("lacks %q in its place:\n%s", w, text)
				}
				rest = rest[i+len(w):]
			}
		})
	}
}

func TestNumberRefuses(t *testing.T) {
	old := report()
	old.Strokes[1].Uncertainty = nil
	for _, c := range []struct {
		name   string
		report lesson.Report
		stroke int
		id     string
		want   string
	}{
		{"no such measure", report(), 1, "tempi", "no measure or event called \"tempi\""},
		{"no such stroke", report(), 2, "tempo", "stroke 3 is not among the 2 of before.mp4"},
		{"an older report", old, 1, "tempo", "measure the clip again"},
		{"no scale", report(), 1, Scale, "nothing gave one"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := Number(c.report, c.stroke, c.id, nil); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v", err)
			}
		})
	}
}

// Every event and measure has a formula, a source and the moments it is read at.
func TestFormulas(t *testing.T) {
	for _, name := range Names() {
		f, ok := phase.FormulaOf(name)
		if !ok {
			f, ok = measure.FormulaOf(name)
		}
		if name == Scale {
			continue
		}
		if !ok || f.Text == "" || f.Source == "" || len(f.Moments) == 0 || len(f.Objects) == 0 || strings.Contains(f.Text, "%") {
			t.Errorf("%s: %+v", name, f)
		}
	}
}
