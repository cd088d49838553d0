package roll

import (
	"fmt"
	"math"
)

// Deceleration is that of a ball rolling on a level green of a speed (ft): a ball
// that leaves the ramp with the ramp's speed (m/s) stops after the reading,
//
//	a = v^2 / (2 d).
//
// With 6.00 ft/s (Holmes, Dialogue concerning the Stimpmeter, The Physics
// Teacher, 1986, as quoted) it is 18 / reading in feet.
func Deceleration(reading, ramp float64) float64 {
	return ramp * ramp / (2 * FootLength * reading)
}

// LevelSpeed is the speed (ft) a sloping green would have on the level, from its
// readings up and down the slope: their harmonic mean, exact for any constant
// slope (Brede, USGA Green Section Record 28(6), 1990, 10-12).
func LevelSpeed(up, down float64) float64 { return 2 * up * down / (up + down) }

// SlopeFromReadings is the slope (rad) along the line of two readings (ft), for
// a ramp (m/s) and a share of the slope as in Ground:
//
//	share g sin(slope) = (v^2 / 4) (1/up - 1/down).
func SlopeFromReadings(up, down, ramp, share float64) float64 {
	return math.Asin(ramp * ramp / (4 * FootLength * share * Gravity) * (1/up - 1/down))
}

// Classes of a sloping green by its two readings.
const (
	LevelGreen    = "level"
	ModerateGreen = "moderately sloped"
	SteepGreen    = "steep"
)

// SlopeClass names a slope as a course-rating manual does (USGA, section 8):
// moderate when the reading down is twice to three times the one up, steep above.
func SlopeClass(up, down float64) string {
	switch {
	case down > 3*up:
		return SteepGreen
	case down >= 2*up:
		return ModerateGreen
	}
	return LevelGreen
}

// Limits of what is taken for a green, ft, and of what is usual: 7 to 12 ft on
// courses, 6.5 ft as the mean of a survey of 1976-77 (Lemons, USGA Green Section
// Record, Putting green speeds, slopes, and non-conforming hole locations).
const (
	LeastSpeed, MostSpeed           = 3.0, 20.0
	LeastUsualSpeed, MostUsualSpeed = 4.0, 15.0
)

// Limits of a putt's length, m: the longest greens.
const LeastDistance, MostDistance = 0.1, 40.0

// CheckSpeed refuses a green speed (ft) that cannot be.
func CheckSpeed(ft float64) error {
	if !(ft >= LeastSpeed && ft <= MostSpeed) {
		return fmt.Errorf("the green speed must be between %g and %g ft (got %g)", LeastSpeed, MostSpeed, ft)
	}
	return nil
}

// CheckDistance refuses a distance (m) that is no putt.
func CheckDistance(m float64) error {
	if !(m >= LeastDistance && m <= MostDistance) {
		return fmt.Errorf("the distance must be between %g and %g m (got %g)", LeastDistance, MostDistance, m)
	}
	return nil
}
