// Package runs keeps measurings of the same clips with different settings beside
// each other.
//
// # The idea
//
//	DIR/NAME/run.json           what was measured, and with which settings
//	DIR/NAME/settings.yaml      the settings, ready to be used again
//	DIR/NAME/S-014/before.mp4/  the results of one clip, a folder named as the clip
//	DIR/.seen/                  what reading the clips gave, shared by all runs
//
// A result is a folder that is complete or absent, with the key of all it follows
// from: bytes and name of the clip, settings, versions. A run that is repeated
// does what is missing and what has another key. What reading the frames gave is
// kept too, under the settings that reading follows: a run that changes others,
// say those of the events, reads no frame again, and its reports are the same to
// the last digit.
//
// # What it refuses
//
// To touch a folder that it did not make. Clips of a student whose card does not
// allow trying out settings on them are left out, by name.
package runs
