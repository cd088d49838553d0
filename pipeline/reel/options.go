package reel

import (
	"strokereel/pipeline/clip"
	"strokereel/track"
	"strokereel/track/sound"
)

// Options are the settings of a reel.
type Options struct {
	// MaxLength is what a student watches to its end on a phone: our judgement.
	MaxLength float64 `key:"max_length" unit:"s" range:"20..600" help:"longest reel: the slow parts are made less slow until it fits; raise it for a longer look"`
	// Slowest is 2.5: beyond it a clip of 60 frames/s begins to stutter.
	Slowest float64 `key:"slowest" unit:"1" range:"1..8" help:"how many times slower the slow parts may be; 2.5 still looks fluent at 60 frames/s; raise it for clips of 120 or more"`
	Lead    float64 `key:"lead" unit:"s" range:"0..5" help:"shown before the start of the stroke; 1 s shows the address"`
	Tail    float64 `key:"tail" unit:"s" range:"0..5" help:"shown after hold and look-up are over; 1 s lets the eye arrive"`
	// MostTail bounds a very long hold.
	MostTail float64 `key:"most_tail" unit:"s" range:"0.2..20" help:"at most this long is shown after the finish, however long the hold; 3 s is a hold worth showing"`
	Stop     float64 `key:"stop" unit:"s" range:"0..10" help:"how long the picture stops at top, impact and finish; 1.2 s is enough to read one number"`
	Compared float64 `key:"compared" unit:"s" range:"0..20" help:"how long both pictures stand at their end with the lengths below one another; 2.5 s is enough to compare four numbers"`
	Opening  float64 `key:"opening" unit:"s" range:"0.5..20" help:"how long the opening page is shown; 3 s is enough to read its four lines"`
	Closing  float64 `key:"closing" unit:"s" range:"0.5..60" help:"how long the closing page is shown; 7 s is one second a row"`
	// SoundAround is common practice in the trade, no source.
	SoundAround float64 `key:"sound_around" unit:"s" range:"0..5" help:"sound of the clip kept before and after impact; 0.4 s holds the click and no talk; 0 keeps none"`
	// Rate follows the clips: 60 pictures a second show a putter at full speed
	// without jerks, and repeated pictures cost an encoder next to nothing.
	Rate int `key:"rate" unit:"frames/s" range:"24..60" help:"frames a second of the reel; 60 shows all a phone filmed; 30 halves the work"`
	// Quality is x264's constant rate factor; at 20 the difference from the clip
	// is not seen on a phone (SSIM 0.94 on grainy clips, measured).
	Quality int `key:"quality" unit:"crf" range:"10..35" help:"how coarsely the film is coded; 20 is not told from the clip; higher is smaller and coarser"`
	// SendSize is what mail and messengers commonly take, no source.
	SendSize float64 `key:"send_size" unit:"MB" range:"0.1..2000" help:"largest size of the form for sending; 15 MB passes common mail limits; lower it where messengers take less"`

	// Clip and Sound are the settings of those packages, which own them.
	Clip  clip.Options
	Sound sound.Options
}

// DefaultOptions returns the settings for clips of a phone.
func DefaultOptions() Options {
	return Options{
		MaxLength: 75, Slowest: 2.5, Lead: 1, Tail: 1, MostTail: 3, Stop: 1.2, Compared: 2.5, Opening: 3, Closing: 7,
		SoundAround: 0.4, Rate: 60, Quality: 20, SendSize: 15,
		Clip: clip.DefaultOptions(), Sound: sound.DefaultOptions(),
	}
}

// Validate reports the first setting that makes no sense.
func (o Options) Validate() error { return track.CheckRanges(o) }
