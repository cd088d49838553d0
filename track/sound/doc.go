// Package sound finds the click of a struck ball in a clip's sound.
//
// # Idea
//
// A click is a rise out of the room's noise within a few milliseconds. Speech,
// steps and hum rise slowly or often; the click stands out in the differences
// between neighbouring samples, where low notes vanish. The moment is taken
// where the sound stops being noise, not where it is loudest: the loudest
// sample comes later by however the room rings.
//
// # Units and clock
//
// Seconds on the clock of the clip's frames, metres, degrees Celsius, decibels
// above the room's noise.
//
// # What this package refuses
//
// It does not say which click is the ball's, nor correct for the way of the
// sound or the device's delay: [Travel] gives the first, the second is measured
// elsewhere. Silence has no noise to rise from, so a click in digital silence
// is judged against the smallest step of 16-bit sound.
package sound
