// Package demo invents lessons: a golfer figure putts in front of a phone that
// does not exist, and beside every clip lies the exact truth about it. The bench
// measures the product against these truths; the demo lesson shows it off.
//
// # The idea
//
// A Spec defines a clip completely. Case draws one from the ranges of a named
// case; the same case and seed always give the same clip. From the Spec a scene
// is built that answers, for any moment, where everything is:
//
//	motion    the marker along the putt line: random speed profiles before and
//	          after the contact, waggle, pause, tremor, hold, recoil or release
//	putter    the club swung on a tilted pendulum, leaned by the wrists
//	ball      skid and roll, integrated in small steps
//	figure    a body whose hands follow the club
//	view      a pinhole camera
//
// The picture is drawn in linear light with exact area coverage, averaged over
// the shutter time, carried through transfer curve, sharpening, chroma
// subsampling and noise, and encoded by one ffmpeg child. The events and
// measures of the truth are found by walking through the motion in steps of 0.1
// ms and reading the definitions word by word. Nothing is shared with the code
// under test: this package imports nothing that measures.
//
// # Units and axes
//
// Metres, seconds, degrees where a name says so; x along the putt line toward
// the target, y up, z toward the camera, origin on the floor under the ball. A
// left-hander's scene is the same scene in a mirror. Pixels in a Truth are those
// of the upright picture, centre of the top-left pixel (0, 0). A frame's stamp is
// the middle of its exposure.
//
// # What it does not do
//
// No rolling shutter, no lens blur. A camera in the hand shifts and turns the
// picture about its middle; the shadow that wanders lies in the picture, not in
// the room; edges of limbs stay straight under a bending lens, while sticker,
// ball, bands and joints are where the lens puts them. Sensor noise is carried
// through the transfer curve to first order. The figure's trunk does not turn
// about its own axis. Render never leaves half a clip.
package demo
