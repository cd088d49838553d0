// Package path turns observations of one object into its motion: positions in
// metres, speed and acceleration at any moment, a smoothed path, and the launch
// of a struck ball.
//
// # Idea
//
// A motion is a Gaussian process: a stroke, which is smooth, the tremor of the
// hands, and a trend that is free. Conditioned on what was seen, each sample with
// its own uncertainty, it gives position, speed and acceleration at any moment
// and how well each is known (Rasmussen and Williams, Gaussian Processes for
// Machine Learning, 2006, chapter 2, from memory). Samples need not be even and
// holes are not filled with anything but doubt; spans are in seconds, so 30 and
// 240 frames per second are treated alike. The trend alone is the filter of
// Savitzky and Golay (Anal. Chem. 36, 1964, 1627).
//
// How well a moment is known depends on times and uncertainties only, never on
// the positions, so it cannot favour a result; where the samples scatter more
// than stated, all of it is enlarged (Birge, Phys. Rev. 40, 1932, 207, from
// memory).
//
// A break is a moment at which the speed may jump (impact). The prior then has a
// free step of the speed there, and a small one of the acceleration: nothing is
// smoothed across it, and yet what happens after it tells of the motion before.
// Where the step explains the samples best is a witness of impact.
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
