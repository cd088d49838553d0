// Package clip reads one phone clip: what it is, its frames and its sound.
//
// # Idea
//
// One ffmpeg child decodes the clip and hands over every frame exactly once,
// upright, with square pixels, as 4:2:0 planes in BT.709 limited range. The
// pictures come through a pipe as YUV4MPEG2, an open format that repeats a mark
// before each frame, so a lost byte is noticed. The time of each frame comes
// from the same child's log (ffmpeg's showinfo filter) and is paired with the
// picture by counting; when the two counts differ the clip is in error.
//
// The frame rate in a file's header is never used for timing: phones store
// variable rates. ffmpeg is told to pass frames through, since by default it
// invents and drops frames to reach a constant rate.
//
// # Units and clock
//
// Times are seconds. A frame's T counts from the first frame's presentation
// time. Sound is placed on the same clock by [Sound].
//
// Slow motion stored slower than it was filmed is brought back to the world's
// clock when the phone tagged its rate of filming or a person gave it
// ([Options].CaptureRate). A clip that is slow only in part has frames whose
// distance changes by more than [Options].Ramp and stays so; which part is real is
// not written in the file, so every change is a [Warning] that spoils times.
//
// # What this package refuses
//
// Anything but a regular file (a pipe could block for ever), playlists, concat
// scripts, pictures and unknown formats whatever their name says, files that
// are cut off before their index, pictures or lengths beyond the [Options],
// frames whose times do not rise. A refusal is a [*Refusal]: a code for
// programs, a text and a hint for people. Damage that leaves usable frames is
// no refusal: it is a [Warning], and says whether measures can still be trusted.
package clip
