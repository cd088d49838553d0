// Package track holds the plain types that everything measured is expressed in.
//
// # Coordinates and units
//
// Pixels are those of the upright picture (the phone's rotation applied): the
// centre of the top-left pixel is (0, 0), x runs right, y runs down.
//
// Metres are those of the putt: x along the putt line toward the target, y up,
// origin at the marker's mean position at address. Lengths of a stroke are
// reported as positive magnitudes.
//
// Times are seconds since the presentation time of the clip's first frame. A
// frame's stamp is taken as the middle of its exposure.
//
// # Uncertainty
//
// U in a name is a standard uncertainty (JCGM 100:2008, 2.3.1); U95 is the
// half-width of a 95 % coverage interval.
//
// # What this package refuses
//
// A missing observation is Seen == false, a missing number is NotMeasured with
// a reason. Nothing is zero by default.
package track
