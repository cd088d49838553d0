package settings

import "strokereel/track"

// Night bounds what a night may use.
type Night struct {
	// Lanes is chosen from the machine when 0: measuring a clip keeps about one
	// core busy, half with decoding, half with following.
	Lanes int `key:"lanes" unit:"clips" range:"0..64" help:"clips measured at the same time; 0 takes one per core as far as memory reaches; lower it to keep the machine free for other work"`
	// ClipMemory was 120 MB for 720p clips of 60 frames/s (largest resident size
	// of the process); a clip of 4K has nine times the pixels in a few frames.
	ClipMemory float64 `key:"clip_memory" unit:"MB" range:"50..16000" help:"memory set aside for each clip that is measured; 400 holds one of 4K; raise it for larger pictures"`
	// ClipTime is a hundred times what a clip of ten seconds takes.
	ClipTime float64 `key:"clip_time" unit:"min" range:"0.01..600" help:"a clip that takes longer is given up for this night; 20 is far more than any usable clip needs; raise it on a very slow machine"`
}

// DefaultNight returns what suits a laptop.
func DefaultNight() Night { return Night{Lanes: 0, ClipMemory: 400, ClipTime: 20} }

// Validate reports the first setting that makes no sense.
func (n Night) Validate() error { return track.CheckRanges(n) }
