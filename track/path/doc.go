// Package path turns observations of one object into its motion: positions in
// metres, speed and acceleration at any moment, a smoothed path, and the launch
// of a struck ball.
//
// # Idea
//
// Everything rests on one tool, the local polynomial: around the moment asked
// for, a low polynomial in time is fitted to the samples that were seen, each
// weighted by 1/U^2. On even spacing and equal weights this is the filter of
// Savitzky and Golay (Anal. Chem. 36, 1964, 1627); unlike the filter it needs no
// even spacing and fills no holes. Windows are in seconds, so 30 and 240 frames
// per second are treated alike.
//
// A fit has two kinds of doubt. Noise: the stated U of the samples, enlarged
// when the residuals are larger than U allows. Model: motion that the polynomial
// cannot follow inside its window, found by sending a stroke and a tremor of
// stated size through the very weights of the fit. A Curve takes, at each
// moment, the window and degree for which the two together are smallest. The
// choice depends on times and uncertainties only, never on the positions, so it
// cannot favour a result.
//
// A break is a moment at which the speed may jump (impact). No window reaches
// across one.
//
// # Units
//
// Seconds, metres, metres per second; U is a standard uncertainty.
//
// # What it refuses
//
// Fewer samples than the polynomial needs, a hole longer than the stated limit,
// and a moment farther outside the samples than the stated limit are errors. A
// ball that never leaves its place has no launch.
package path
