package track

import (
	"cmp"
	"math"
	"slices"
)

// Names of the events of a stroke, in the order in which they happen (hold_end
// and look_up may come in either order).
const (
	Start   = "start"
	Top     = "top"
	Impact  = "impact"
	Stop    = "stop"
	HoldEnd = "hold_end"
	LookUp  = "look_up"
)

// EventNames lists all events in report order.
var EventNames = []string{Start, Top, Impact, Stop, HoldEnd, LookUp}

// Status of an event or measure.
const (
	Measured    = "measured"
	AtLeast     = "at_least"     // the clip ended first
	Predicted   = "predicted"    // a model, not a measurement
	NotMeasured = "not_measured" // see Reason
)

// Event is a moment of the stroke, found between frames.
type Event struct {
	Name      string
	T         float64 // s
	U         float64 // s, standard uncertainty
	Status    string
	Reason    string
	Witnesses []Witness
	Terms     []Term // what U is made of; none when the clip ended first
}

// Budget explains the event's uncertainty.
func (e Event) Budget() Budget {
	b := Budget{Value: e.T, U: e.U, DOF: math.Inf(1), K: Coverage, Terms: slices.Clone(e.Terms)}
	for i, t := range b.Terms {
		if part := t.Sensitivity * t.U; e.U > 0 {
			b.Terms[i].Share = part * part / (e.U * e.U)
		}
	}
	slices.SortStableFunc(b.Terms, func(a, b Term) int { return cmp.Compare(b.Share, a.Share) })
	return b
}

// Coverage is the factor from a standard uncertainty to the half width of a
// 95 % interval of a normal distribution (JCGM 100:2008, table G.1).
const Coverage = 1.96

// Known reports whether the event has a time (measured or at least).
func (e Event) Known() bool { return e.Status == Measured || e.Status == AtLeast }

// Witness is one independent sign of an event, kept so that witnesses that
// disagree can be reported.
type Witness struct {
	Name string // e.g. "ball", "speed_step", "contact_place", "sound"
	T    float64
	U    float64
}

// Kinds of stroke.
const (
	Putt     = "putt"
	Practice = "practice"
	Unusable = "unusable"
)
