package clip

import "fmt"

// Codes of a Refusal.
const (
	NotAFile       = "not_a_file"       // a folder, a named pipe, a device
	EmptyFile      = "empty_file"       // no bytes, or nothing but zeros
	NotAClip       = "not_a_clip"       // text, playlist, picture or an unknown format
	Incomplete     = "incomplete"       // cut off before its index: half copied
	NoPictures     = "no_pictures"      // no video stream, or one with nothing to show
	UnknownCodec   = "unknown_codec"    // this ffmpeg cannot decode it
	Unreadable     = "unreadable"       // the container is damaged
	TooLarge       = "too_large"        // beyond Options.MaxSize or MaxSide
	TooLong        = "too_long"         // beyond Options.MaxLength
	TooShort       = "too_short"        // one picture is no film
	TimesNotRising = "times_not_rising" // a frame is not later than the one before
	NoTimes        = "no_times"         // a frame without a time
	WrongSize      = "wrong_size"       // the pictures are not of the size the file announces
)

// Refusal says why a clip is not read, in words for a coach.
type Refusal struct {
	Code string // one of the codes above
	File string
	Text string // what is wrong, e.g. "is cut off before its index"
	Hint string // what to do about it
}

func (r *Refusal) Error() string {
	s := fmt.Sprintf("clip %q %s", r.File, r.Text)
	if r.Hint != "" {
		s += ": " + r.Hint
	}
	return s
}

// Codes of a Warning.
const (
	Damaged     = "damaged"      // the decoder reported errors
	CutOff      = "cut_off"      // the file ends before its container says
	TimeGap     = "time_gap"     // frames are missing in time
	SizeChanges = "size_changes" // pictures change size on the way and were scaled
	SlowMotion  = "slow_motion"  // filmed at another rate than it is stored
	RateChanges = "rate_changes" // a slow-motion ramp: the file's clock is not the world's
	UnevenRate  = "uneven_rate"  // the stored rates differ: slow-motion ramp or dropped frames
	ColourGuess = "colour_guess" // no colour tags; the usual rule was applied
)

// Warning is something a person should know about a clip that can still be
// shown.
type Warning struct {
	Code  string
	Text  string
	Frame int     // where, -1 for the whole clip
	T     float64 // s, time of that frame
	// Spoils is true when positions or times measured around Frame cannot be
	// trusted.
	Spoils bool
}

func (w Warning) String() string { return w.Code + ": " + w.Text }
