// Package overlay draws on pictures.
//
// An [Element] is one drawn thing. Its look is fixed when it is made; what
// changes from frame to frame arrives as a [Moment]. [Draw] draws elements in
// order on a [Canvas] and then lays out their labels, so that labels avoid one
// another and everything that must stay visible; what an [Avoider] names they
// cover only when there is room nowhere else. The drawn things themselves are in
// package scene.
//
// # Units
//
// Positions are pixels of the canvas: the top-left corner of the picture is
// (0, 0), the centre of its first pixel (0.5, 0.5), x right, y down. Positions
// found in a clip are pixels of that clip's upright picture, as in package
// track, and pass through a [View]. Sizes are a [Share] of the shorter side of
// the frame, so that a drawing looks alike at every resolution and shape.
//
// # Contrast
//
// Text stands on a plate and lines have a casing, both nearly opaque: text has
// a contrast of 4.5:1 or more and lines of 3:1 or more (WCAG 2.1, success
// criteria 1.4.3 and 1.4.11) whatever the picture shows.
//
// # What it refuses
//
// It reads and writes no files and judges nobody: no scores, no gauges, no
// colour that stands for good or bad. A label that cannot be shown without
// hiding another one, the ball, the hands or the putter head is left out and
// reported.
package overlay
