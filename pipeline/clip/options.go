package clip

import "strokereel/track"

// Options bound what is admitted.
type Options struct {
	// MaxSize keeps a wrong file (a film, a disk image) from taking the night:
	// a 10 s phone clip at 4K120 is about 150 MB.
	MaxSize float64 `key:"max_size" unit:"MB" range:"0.001..1000000" help:"largest clip file that is read; 2000 holds a minute of the best phone quality; raise it for long takes"`
	// MaxLength bounds memory of the tracks; a putt with its routine lasts well
	// under a minute.
	MaxLength float64 `key:"max_length" unit:"s" range:"0.1..36000" help:"longest clip that is read; 300 holds a whole routine several times over; raise it to keep long takes"`
	// MaxSide is the longer side of an 8K phone picture.
	MaxSide int `key:"max_side" unit:"px" range:"16..16384" help:"largest width or height that is read; 8192 holds 8K film; lower it on a machine with little memory"`
	// Gap is in frame intervals: 2 is one dropped frame, which every phone has
	// now and then; 2.5 leaves that alone and reports two in a row.
	Gap float64 `key:"gap" unit:"frames" range:"1.1..100" help:"a longer pause between two frames, in typical intervals, is reported as a hole; 2.5 lets a single dropped frame pass; raise it for very uneven phones"`
	// CaptureRate is for slow motion whose file does not say so; phones that tag
	// it need no setting.
	CaptureRate float64 `key:"capture_rate" unit:"frames/s" range:"0..2000" help:"frames a second while filming, for slow motion stored slower; 0 believes the file; set it to what the phone was set to, such as 240"`
	// Ramp is what tells slow motion in parts of a clip from a phone that halves
	// its rate in the dark, where the times stay true.
	Ramp float64 `key:"ramp" unit:"1" range:"2.1..100" help:"times between frames that grow or shrink by more than this, and stay so, are a slow-motion ramp; 2.5 leaves a rate halved in the dark alone; raise it for phones that go from 60 to 15"`
	// ReadAhead hides the reader's own work behind the decoder's.
	ReadAhead int `key:"read_ahead" unit:"frames" range:"1..64" help:"frames decoded ahead of their use; 3 keeps the decoder busy; each costs one picture of memory"`
	// Kept is how many frames stay valid beyond the present one. Like Threads it
	// changes no picture, so it is no setting.
	Kept int
	// Threads of the decoder, each of which holds pictures; 0 leaves them to
	// ffmpeg. Who opens several clips at a time asks for few.
	Threads int
}

// DefaultOptions returns the settings meant for phone clips of a putt.
func DefaultOptions() Options {
	return Options{MaxSize: 2000, MaxLength: 300, MaxSide: 8192, Gap: 2.5, Ramp: 2.5, ReadAhead: 3}
}

// Validate reports the first setting that makes no sense.
func (o Options) Validate() error { return track.CheckRanges(o) }
