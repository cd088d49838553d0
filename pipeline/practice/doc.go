// Package practice makes what a student takes home after a lesson: one page of
// drills and a sound of the player's own rhythm.
//
// # The idea
//
// The drills are a text file, a [Book], that a coach can edit. Each says in which
// case it is given; [Choose] looks at what was measured after the lesson, takes
// those whose case is met and puts the student's own numbers into their texts. A
// drill whose numbers were not measured is left out, never filled in. The lengths
// of the drills are also lines on the ground of the player's own picture, which
// package reel draws (Sheet.Wanted).
//
// # Units
//
// SI inside; centimetres and seconds on the page. Lengths are those of the putter
// head along the putt line from its place at address. Tees stand at whole
// centimetres; the interval that is known is written below.
//
// # What it refuses
//
// It gives no marks and passes no verdict: a case is only a reason to practise.
// The cautions on the page are not part of the text file and cannot be left out. A
// sound is made only from times that were measured and that a stroke can have.
package practice
