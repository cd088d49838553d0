package explain

import (
	"fmt"
	"slices"

	"strokereel/overlay/scene"
	"strokereel/pipeline/lesson"
	"strokereel/track"
	"strokereel/track/measure"
	"strokereel/track/phase"
)

// Scale is the name under which the ruler is explained.
const Scale = "scale"

// Explanation is all there is to say about one number.
type Explanation struct {
	ID, Name string
	Stroke   int // index; -1 for what belongs to the whole clip
	Shown    string
	Value    *float64
	Unit     string
	U95      *float64 // half the interval, nil when it is not symmetric
	Lo95     *float64
	Hi95     *float64
	Status   string
	Reason   string
	Formula  track.Formula
	Why      *lesson.Uncertainty // nil when there is no interval
	Parts    []string            // the numbers a verdict was made of
	Moments  []Moment
	Own      []string // names of inputs that can be explained themselves
}

// Moment is an event whose frames were looked at.
type Moment struct {
	Event string
	T     float64 // s
	U95   float64 // s
	Frame int     // nearest to it, -1 when not known
	Still string  // file that shows it, when there is one
}

// Names lists everything that can be explained.
func Names() []string {
	return append(append([]string{Scale}, track.EventNames...), measure.Names()...)
}

// Check refuses a name that nothing has.
func Check(id string) error {
	if !slices.Contains(Names(), id) {
		return fmt.Errorf("there is no measure or event called %q", id)
	}
	return nil
}

// Number explains an event or measure of a stroke, or the scale. The samples,
// which may be none, tell which frame was when.
func Number(r lesson.Report, stroke int, id string, frames []track.Sample) (Explanation, error) {
	if id == Scale {
		return scale(r)
	}
	if err := Check(id); err != nil {
		return Explanation{}, err
	}
	if stroke < 0 || stroke >= len(r.Strokes) {
		return Explanation{}, fmt.Errorf("explaining %s: stroke %d is not among the %d of %s", id, stroke+1, len(r.Strokes), r.Clip.File)
	}
	s := r.Strokes[stroke]
	e := Explanation{ID: id, Stroke: stroke}
	if slices.Contains(track.EventNames, id) {
		e.event(s)
	} else {
		e.measure(s)
	}
	if w, ok := s.Uncertainty[id]; ok {
		e.Why = &w
		e.own()
	} else if e.U95 != nil && *e.U95 > 0 && s.Uncertainty == nil {
		return Explanation{}, fmt.Errorf("explaining %s: the report was made by version %s, which did not keep what it is made of: measure the clip again", id, r.MadeBy.Version)
	}
	for _, name := range e.Formula.Moments {
		if ev, ok := s.Events[name]; ok && ev.TS != nil {
			m := Moment{Event: name, T: *ev.TS, Frame: nearest(frames, *ev.TS)}
			if ev.U95S != nil {
				m.U95 = *ev.U95S
			}
			e.Moments = append(e.Moments, m)
		}
	}
	return e, nil
}

func (e *Explanation) event(s lesson.Stroke) {
	ev := s.Events[e.ID]
	e.Formula, _ = phase.FormulaOf(e.ID)
	e.Name, e.Unit, e.Value, e.U95, e.Status, e.Reason = scene.EventName(e.ID), "s", ev.TS, ev.U95S, ev.Status, ev.Reason
	switch {
	case ev.TS == nil || ev.U95S == nil:
	case *ev.U95S == 0: // a limit
		e.U95, e.Shown = nil, fmt.Sprintf("at least %.3f s", *ev.TS)
	default:
		e.Shown = scene.Show(track.Measure{Value: *ev.TS, U95: *ev.U95S, Unit: "s", Status: ev.Status}).String()
	}
}

func (e *Explanation) measure(s lesson.Stroke) {
	m := s.Measures[e.ID]
	e.Formula, _ = measure.FormulaOf(e.ID)
	e.Formula.What = m.How
	e.Name, e.Unit, e.Value, e.U95, e.Lo95, e.Hi95, e.Status, e.Reason = scene.MeasureName(e.ID), m.Unit, m.Value, m.U95, m.Lo95, m.Hi95, m.Status, m.Reason
	if m.Status != track.NotMeasured {
		e.Shown = scene.Show(s.Measure(e.ID)).String()
	}
	if m.Word != "" {
		for _, at := range []string{"top", "impact", "finish"} {
			for _, id := range []string{"lead_wrist_" + at, "elbow_spread_" + at} {
				e.Parts = append(e.Parts, id+" "+scene.Show(s.Measure(id)).String())
			}
		}
	}
}

// scale explains the ruler.
func scale(r lesson.Report) (Explanation, error) {
	k := r.Camera.Ruler
	if k == nil || k.Uncertainty == nil {
		return Explanation{}, fmt.Errorf("explaining the scale: nothing gave one in %s, or an older version measured it", r.Clip.File)
	}
	f := track.Formula{What: "pixels for each metre in the plane of the sticker, by the " + k.From, Text: "w / D · z / (z − a)",
		Source: "width of the ball's picture over its diameter; pinhole camera (textbook); the diameter is never below 42.67 mm (Rules of golf, 2016, Appendix III)"}
	if k.From == track.RulerRod {
		f.Text, f.Source = "S · z / (z − a)", "least squares of the places of the rod's bands in a pinhole camera's picture (textbook)"
	}
	return Explanation{ID: Scale, Name: "Scale", Stroke: -1, Shown: fmt.Sprintf("%.1f px/m ± %.1f", k.PxPerM, k.U95),
		Value: &k.PxPerM, U95: &k.U95, Unit: "px/m", Status: track.Measured, Formula: f, Why: k.Uncertainty}, nil
}

// explained are the symbols of inputs that have an explanation of their own.
var explained = map[string]string{
	"s": Scale, "v_ball": "ball_speed", "t_start": track.Start, "t_top": track.Top, "t_impact": track.Impact,
	"t_stop": track.Stop, "t_end": track.HoldEnd, "t_look": track.LookUp,
}

func (e *Explanation) own() {
	for _, t := range e.Why.Terms {
		if name, ok := explained[t.Symbol]; ok && name != e.ID {
			e.Own = append(e.Own, name)
		}
	}
}

// nearest is the frame nearest to a time, -1 when none is known.
func nearest(frames []track.Sample, t float64) int {
	best, at := 0.1, -1
	for _, f := range frames {
		if d := f.T - t; d < best && -d < best {
			best, at = max(d, -d), f.Frame
		}
	}
	return at
}
