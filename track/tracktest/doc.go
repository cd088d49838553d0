// Package tracktest draws random strokes and balls with exact truth, for the
// tests of the packages that measure them. It shares no formula with those
// packages: motions are splines through random knots or integrated from forces,
// and the truth is found by walking through them in steps of a tenth of a
// millisecond.
//
// Units are metres and seconds; x runs along the line toward the target, y up.
package tracktest
