// Package reel makes the film of a lesson: before and after, each at full speed
// and slow with what was measured drawn in, then both side by side.
//
// # The idea
//
// A [Plan] is plain data, saved as reel.json: every segment with the stretch of
// the clip it shows, how fast, where it stops, where the picture lies on the
// frame, and every text. [Make] computes it from what was measured; nothing is
// decided later. [Create] carries it out:
//
//	clips -> frames in order -> placed and scaled (4:2:0 planes) -> drawings laid over -> one encoder
//
// Each clip is decoded once per segment, forward only, and never held in
// memory. Pictures stay in their planes: only what is drawn passes through RGB,
// as a layer with its own opacity that is made again when its content changes.
// A frame that stands crosses the pipe once, with its time (Matroska), and the
// encoder's side repeats it. Of a clip only the part that is shown is passed on,
// and the next segment's clip is opened while the present one is shown. Scaling,
// most of the work on a picture, is done in C (rows.c), which takes eight samples
// at a time.
//
// # Units
//
// Seconds of a clip count from its first frame, frames of a reel from 0 at
// Plan.Rate a second. Positions in a clip are px of its upright picture, on the
// reel px of the frame, as in package overlay. A View takes one to the other.
//
// # Text and player
//
// Text stands beside the player. A frame held upright has no room there: its text
// has a band above the picture. Lengths stand below the putt line, for which room
// is kept. The head is shown whole wherever the clip has it, over the whole cut;
// where nothing but the putter was seen, it may be anywhere above the ball
// (scene.AnyHead), and no text stands there either.
//
// # Side by side
//
// Both halves show a metre equally long by their rulers, have the ground at the
// same height and the address at the same place, and reach impact on the same
// frame.
//
// # What it refuses
//
// It claims nothing that was not measured: a clip without numbers is lined up
// by a person's mark, by the ball's first motion or by the click, shown without
// numbers, and the reel says why. Of the clips' sound only what surrounds the
// impact is kept: the rest is other people's talk. Files appear complete or not
// at all.
package reel
