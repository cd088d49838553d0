// Package sheet reads what people write beside the clips of a lesson. All three
// files are optional:
//
//	lesson.yaml       the sheet: who, when, how far, what each clip is
//	student.yaml      the student's card: what holds for every lesson
//	corrections.yaml  what a person put right after looking; it always wins
//
// # Units
//
// A key that holds a number ends with its unit: putt_distance_m, green_speed_ft.
//
// # What this package refuses
//
// An unknown key, a key given twice, a value of the wrong kind or out of its
// range: the lesson then waits for a person, since a misspelt word that is
// passed over would be a wrong measurement. The files are only ever read.
package sheet
