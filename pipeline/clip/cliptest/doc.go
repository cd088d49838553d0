// Package cliptest makes faulty clips: everything that phones, messengers,
// broken copies and mistaken names are known to leave in a folder of clips. It
// is for tests and benches; each fault says what reading it must come to.
//
// Clips are made at the time of the test with ffmpeg, tiny (64 to 320 px, under
// a second) except where size is the fault.
package cliptest
