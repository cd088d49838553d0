// Package ball finds the golf ball at address, measures its width as the ruler
// of the clip, and follows it over its first metre after impact.
//
// # The idea
//
// At address a ball lies beside a still sticker and is about twice as wide. It
// is looked for there as a round thing brighter than its surroundings
// (circle.go). While it lies still and the putter is away, its picture is
// averaged and an ellipse with the shading of a sphere is fitted to it in
// linear light (ruler.go): seen from above the outline is taller than wide,
// and only its horizontal width has the scale of the putt line. How far that may be
// off is told by what the fit leaves (scatter.go) and by how soft the edge is. When it is
// gone from its place it is followed along the putt line (finder.go).
//
// # Units
//
// Positions and widths are luma pixels of the upright picture, the centre of
// the top-left pixel being (0, 0).
//
// # What it refuses
//
// A ball that was not seen to lie still is no ruler; a ball that is lost is not
// invented.
package ball
