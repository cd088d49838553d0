// Package explain says how one number of a report came about: its formula and
// where that is from, the inputs with their uncertainties, how these add up to
// the interval, and the frames it rests on.
//
// It computes nothing of the number again: what it tells is in the report, where
// measuring left it. Only the pictures of the frames need the clip.
//
// # What it refuses
//
// A name that is neither an event nor a measure, a stroke that is not there, and a
// report of a version that did not keep what it would need.
package explain
