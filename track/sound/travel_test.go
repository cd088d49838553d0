package sound

import (
	"math"
	"testing"
)

// Common formula pages, the ideal-gas form; values worked out by hand.
func TestSpeed(t *testing.T) {
	for celsius, want := range map[float64]float64{0: 331.300, 10: 337.310, 20: 343.215, 25: 346.129, 30: 349.019} {
		if got := Speed(celsius); math.Abs(got-want) > 1e-3 {
			t.Errorf("at %v C: %.4f m/s, want %.3f", celsius, got, want)
		}
	}
	// The linear form 331.3 + 0.606 T of the same pages differs by 0.20 m/s at 20 C.
	if d := 343.42 - Speed(20); math.Abs(d-0.20) > 0.01 {
		t.Errorf("linear form differs by %.3f m/s", d)
	}
	// Stanford CCRMA, online acoustics book, "Speed of Sound in Air": 1124.1
	// ft/s at 20 C and 1085.1 ft/s at 0 C.
	for celsius, feet := range map[float64]float64{20: 1124.1, 0: 1085.1} {
		if want := feet * 0.3048; math.Abs(Speed(celsius)/want-1) > 2e-3 {
			t.Errorf("at %v C: %.2f m/s, published %.2f", celsius, Speed(celsius), want)
		}
	}
}

func TestTravel(t *testing.T) {
	for metres, ms := range map[float64]float64{2: 5.827, 3: 8.741, 5: 14.568} {
		if got := Travel(metres, 20) * 1e3; math.Abs(got-ms) > 1e-3 {
			t.Errorf("%v m: %.4f ms, want %v", metres, got, ms)
		}
	}
	if d := (Travel(3.2, 20) - Travel(3, 20)) * 1e3; math.Abs(d-0.58) > 0.005 {
		t.Errorf("0.2 m more: %.3f ms", d)
	}
}
