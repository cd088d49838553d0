package sound

import "math"

// Speed returns the speed of sound in dry air in m/s at a temperature in
// degrees Celsius. It is the ideal-gas form, 331.3 m/s at 0 C.
func Speed(celsius float64) float64 { return 331.3 * math.Sqrt(1+celsius/273.15) }

// Travel returns how long sound takes over a distance in metres, in seconds.
func Travel(metres, celsius float64) float64 { return metres / Speed(celsius) }
