// Package settings gathers the settings of all packages into one file format.
//
// # Idea
//
// Each package owns its Options, its defaults and its checks. [Settings] lists
// those packages once; everything else here, the file format, the commented
// sample, --set and the messages, follows from the tags of the Options' fields:
//
//	key    name in the file, under the section of its package
//	unit   what a number counts
//	range  lowest and highest value
//	help   meaning, why this default, when to change it
//
// A value is found by its dotted key, e.g. track.marker.colour. Later sources
// win: defaults, then the file, then --set. A number may be followed by the unit
// it is in, which must be the setting's own.
//
// # What this package refuses
//
// An unknown key, a key given twice, a value of another kind or unit, a value
// out of its range. Nothing is skipped silently, since a setting that is
// misspelt and ignored would be a wrong measurement.
package settings
