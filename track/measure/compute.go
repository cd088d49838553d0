package measure

import (
	"fmt"
	"math"

	"strokereel/track"
	"strokereel/track/path"
	"strokereel/track/phase"
	"strokereel/track/roll"
)

// Clip is what Compute knows besides the stroke: the same input the stroke was
// found in, and the scales its paths were made with.
type Clip struct {
	phase.Input
	Joint       path.Joint  // of sticker and shaft; empty when only the sticker was followed
	MarkerScale track.Scale // of the putter's path
	BallScale   track.Scale // of the ball's path
	Offset      Quantity    // m, sticker nearer to the camera than the ball; zero takes the settings
	Distance    Quantity    // m, camera to ball; zero takes the settings
	Yaw         Quantity    // rad, turn of the camera from square, the picture shrinking toward the target positive; zero takes the settings
	Green       roll.Green  // what is known of it; zero when nothing is
	Body        Body        // what was seen of the player
	BallX       float64     // m in the frame of the paths, the ball's place at address
	BallY       float64
	BallKnown   bool
	PuttY       float64 // m in the frame of the paths, where the putter lay at address of the putt
	PuttKnown   bool
	MiddleX     float64 // m in the frame of the paths, the middle of the picture
}

// Result is the measures of one stroke, in report order, and their budgets by
// measure id.
type Result struct {
	Measures []track.Measure
	Budgets  map[string]track.Budget
}

// Compute returns every measure of the report: those of the putter and the ball
// with value and uncertainty, all others as not measured with a reason.
func Compute(s phase.Stroke, in Clip, o Options) (Result, error) {
	if err := o.Validate(); err != nil {
		return Result{}, err
	}
	if !(in.MarkerScale.PxPerM > 0) && s.Kind != track.Unusable {
		return Result{}, fmt.Errorf("measuring stroke %d: the scale of the marker must be above zero (got %g px/m)", s.Index, in.MarkerScale.PxPerM)
	}
	w := newWork(s, in, o)
	w.lengths()
	w.times()
	if err := w.speeds(); err != nil {
		return Result{}, err
	}
	w.after()
	w.body()
	w.roll()
	return Result{Measures: w.inOrder(), Budgets: w.budgets}, nil
}

// newWork fills in what was left to the settings.
func newWork(s phase.Stroke, in Clip, o Options) *work {
	if in.Offset == (Quantity{}) {
		in.Offset = o.StickerOffset()
	}
	if in.Distance == (Quantity{}) {
		in.Distance = o.CameraDistance()
	}
	if in.Yaw == (Quantity{}) {
		in.Yaw = o.Yaw()
	}
	if in.Smoothing == (path.Options{}) {
		in.Smoothing = path.DefaultOptions()
	}
	in.Putter = s.Toward(path.WithoutStrays(in.Putter, in.Smoothing))
	if s.Reversed {
		in.Yaw.Value = -in.Yaw.Value
		in.BallX, in.MiddleX = -in.BallX, -in.MiddleX
	}
	return &work{stroke: s, in: in, o: o, budgets: map[string]track.Budget{}, done: map[string]track.Measure{}}
}

// work is the measuring of one stroke.
type work struct {
	stroke  phase.Stroke
	in      Clip
	o       Options
	budgets map[string]track.Budget
	done    map[string]track.Measure
}

// add records a measured value.
func (w *work) add(id, unit, how string, inputs []Input, f func([]float64) float64) {
	b := Propagate(inputs, f)
	w.budgets[id] = b
	w.done[id] = track.Measure{ID: id, Value: b.Value, Unit: unit, U95: b.U95(), Status: track.Measured, How: how}
}

func (w *work) refuse(id, reason string) {
	w.done[id] = track.Measure{ID: id, Status: track.NotMeasured, Reason: reason}
}

func (w *work) inOrder() []track.Measure {
	var out []track.Measure
	for _, d := range order {
		m, ok := w.done[d.id]
		if !ok {
			m = track.Measure{ID: d.id, Status: track.NotMeasured, Reason: d.reason}
		}
		if w.stroke.Kind == track.Unusable {
			m = track.Measure{ID: d.id, Status: track.NotMeasured, Reason: w.stroke.Reason}
		}
		m.Unit = d.unit
		out = append(out, m)
	}
	return out
}

// needs refuses a measure for the first event that is missing.
func (w *work) needs(id string, events ...string) bool {
	for _, name := range events {
		if e := w.stroke.Event(name); e.Status != track.Measured {
			w.refuse(id, fmt.Sprintf("needs the %s: %s", spoken(name), e.Reason))
			return false
		}
	}
	return true
}

func spoken(event string) string {
	switch event {
	case track.Start:
		return "start of the stroke"
	case track.Top:
		return "end of the backstroke"
	case track.Stop:
		return "stop of the putter"
	case track.HoldEnd:
		return "end of the hold"
	}
	return event
}

func (w *work) time(name string) Input {
	e := w.stroke.Event(name)
	return Input{Symbol: timeSymbol[name], Name: "time of the " + spoken(name), Unit: "s", Value: e.T, U: e.U}
}

var timeSymbol = map[string]string{
	track.Start: "t_start", track.Top: "t_top", track.Impact: "t_impact", track.Stop: "t_stop", track.HoldEnd: "t_end", track.LookUp: "t_look",
}

func relative(s track.Scale) float64 {
	if !(s.PxPerM > 0) {
		return 0
	}
	return s.U / s.PxPerM
}

// scaleTerms are the inputs by which a length along the line is scaled.
const (
	iScale = iota
	iYaw
	iTilt
	iDistance
	iRadius
	scaleTermCount
)

func (w *work) scaleTerms() []Input {
	plane, scale := w.plane(), relative(w.in.MarkerScale)
	tilt := rectangular(w.o.TiltMin*math.Pi/180, w.o.TiltMax*math.Pi/180)
	return []Input{
		iScale: {Symbol: "s", Name: "scale of the sticker's plane, over the value used", Unit: "1", Value: plane.Value, U: math.Hypot(scale*plane.Value, plane.U)},
		iYaw:   {Symbol: "ψ", Name: "turn of the camera from square", Unit: "rad", Value: w.in.Yaw.Value, U: w.in.Yaw.U},
		iTilt:  {Symbol: "τ", Name: "lean of the stroke's plane", Unit: "rad", Value: tilt.Value, U: tilt.U},
		// Both only size a correction.
		iDistance: {Symbol: "z", Name: "distance of the camera", Unit: "m", Value: w.in.Distance.Value},
		iRadius:   {Symbol: "R", Name: "radius of the putter's arc", Unit: "m", Value: w.o.ArcRadius},
	}
}

// along turns a position read along the line (from the address, with the sign
// of x) into metres: the scale; the depth the arc gains as the putter rises; and
// the camera's turn, which shows the near end larger and takes some of that
// depth for length.
func along(x float64, v []float64) float64 {
	x /= v[iScale]
	depth := x * x / (2 * v[iRadius]) * math.Sin(v[iTilt])
	turn, z := math.Sin(v[iYaw]), v[iDistance]
	return (x*(1+x*turn/z+depth/z) + depth*turn) / math.Cos(v[iYaw])
}
