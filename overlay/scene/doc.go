// Package scene holds the things drawn on a lesson's pictures: lengths on the
// ground, the path of the putter head, the hold timer, captions, marks, notices
// and pages of text.
//
// Each thing is an element of package overlay, made from what was measured
// (types of package track) and checked when made. Values are SI and are shown
// in cm, s, m/s and degrees with as many digits as their uncertainty allows. A
// value that was not measured is a dash with its reason, never a zero. A time
// that the end of the clip cut short is told as "at least".
//
// Every word shown is in words.go.
//
// # What it refuses
//
// It makes no verdicts. A change inside its uncertainty is said to be so and
// gets no word for a direction.
package scene
