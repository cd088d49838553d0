package track

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
}

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
