package pipeline

import (
	"math"
	"testing"

	"strokereel/track"
	"strokereel/track/phase"
)

// struck is a putt whose impact was seen at t and heard so much later; without a
// click when that is NaN.
func struck(t, later float64) phase.Stroke {
	e := track.Event{Name: track.Impact, T: t, U: 0.0005, Status: track.Measured, Witnesses: []track.Witness{
		{Name: phase.WitnessBall, T: t, U: 0.0006}, {Name: phase.WitnessContact, T: t + 0.001, U: 0.003}}}
	if !math.IsNaN(later) {
		e.Witnesses = append(e.Witnesses, track.Witness{Name: phase.WitnessSound, T: t + later, U: 0.023})
	}
	return phase.Stroke{Kind: track.Putt, Events: []track.Event{e}}
}

func TestOffsetOfTheSound(t *testing.T) {
	for _, c := range []struct {
		name    string
		strokes []phase.Stroke
		want    float64 // NaN when it cannot be told
	}{
		{"three putts", []phase.Stroke{struck(2, 0.0201), struck(7, 0.0196), struck(12, 0.0203)}, 0.020},
		{"one of them not heard", []phase.Stroke{struck(2, -0.0301), struck(7, math.NaN()), struck(12, -0.0299)}, -0.030},
		{"one putt", []phase.Stroke{struck(2, 0.02)}, math.NaN()},
		{"a decoy among two", []phase.Stroke{struck(2, 0.02), struck(7, -0.011)}, math.NaN()},
		{"no sound", []phase.Stroke{struck(2, math.NaN()), struck(7, math.NaN())}, math.NaN()},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, ok := heard{uWay: 0.0004}.offset(c.strokes)
			if ok == math.IsNaN(c.want) {
				t.Fatalf("told %v: %+v, want %g", ok, got, c.want)
			}
			if ok && (math.Abs(got.Value-c.want) > 0.001 || got.U < 0.0004 || got.U > 0.001) {
				t.Errorf("got %+v, want %g s known to a millisecond", got, c.want)
			}
		})
	}
}
