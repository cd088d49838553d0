package judge

import (
	"math"
	"slices"
	"testing"
)

// Hours of sleep gained under two drugs, ten patients (Student, 1908, Biometrika
// 6, 20, whose differences these are; he gives 1.58 for their mean). The interval
// and t = 4.06 with 9 degrees of freedom are those of every table since.
func TestPairedOnStudentsSleepers(t *testing.T) {
	d := Paired([]float64{1.2, 2.4, 1.3, 1.3, 0, 1.0, 1.8, 0.8, 4.6, 1.4})
	if math.Abs(d.Mean-1.58) > 1e-9 || math.Abs(d.Half-0.88) > 0.002 || math.Abs(d.P-0.0028) > 0.0001 || d.N != 10 {
		t.Errorf("got %+v, want 1.58 ± 0.88, p 0.0028", d)
	}
}

func TestPairedOfFewOrEqual(t *testing.T) {
	if d := Paired(nil); d.N != 0 || d.P != 1 {
		t.Errorf("none: %+v", d)
	}
	if d := Paired([]float64{3}); !math.IsInf(d.Half, 1) || d.P != 1 {
		t.Errorf("one pair proves nothing: %+v", d)
	}
	if d := Paired([]float64{0, 0, 0}); d.P != 1 || d.Half != 0 {
		t.Errorf("no difference at all: %+v", d)
	}
	if d := Paired([]float64{2, 2, 2}); d.P != 0 || d.Mean != 2 {
		t.Errorf("always the same difference: %+v", d)
	}
}

// Holm's rule by hand: 0.005 against 0.05/4, 0.01 against 0.05/3, 0.03 against
// 0.05/2, which ends it though 0.04 is below 0.05.
func TestStandOutIsCorrectedForTheNumber(t *testing.T) {
	got := standOut([]Difference{{N: 9, Mean: 1, P: 0.01}, {N: 9, Mean: 1, P: 0.04}, {N: 9, P: 1}, {N: 9, Mean: 1, P: 0.03}, {N: 9, Mean: 1, P: 0.005}})
	if want := []bool{true, false, false, false, true}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}
