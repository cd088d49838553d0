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
	// ReelTime is a hundred times what the films of a lesson take.
	ReelTime float64 `key:"reel_time" unit:"min" range:"0.01..6000" help:"films of a lesson that take longer are given up for this night; 120 is far more than they need; raise it on a very slow machine"`
	// Cards is how long a coach takes to press the button and lower the card: our
	// judgement.
	Cards float64 `key:"cards" unit:"s" range:"0..60" help:"a card may be shown so long after a clip begins; 5 leaves time to lower it; 0 looks for none, which saves a second or two for each clip"`
	// Arrived is longer than the pauses of a copy over a weak radio link: our
	// judgement.
	Arrived float64 `key:"arrived" unit:"s" range:"0.5..600" help:"a file that has not changed for so long has arrived; 5 is longer than copies pause; raise it for slow or broken links"`
	// Settle keeps a night from starting between two clips of one lesson: our
	// judgement.
	Settle float64 `key:"settle" unit:"min" range:"0..1440" help:"watch starts a night when nothing has arrived for so long; 10 lets a coach copy phone after phone; 0 starts at once"`
	// StartHour is for a machine that others use in the daytime.
	StartHour int `key:"start_hour" unit:"h" range:"-1..23" help:"watch starts nights only from this hour on, for six hours; -1 at any time"`
	// Keep is no business of the program unless a person wants it.
	Keep int `key:"keep" unit:"days" range:"0..3650" help:"films and stills of lessons made longer ago are removed, as they can be made again from the clips; numbers stay, originals always; 0 keeps all; films removed also leave the pages that are published"`
	// LeastFree is what a lesson of two 4K clips in both shapes takes, doubled.
	LeastFree float64 `key:"least_free" unit:"GB" range:"0..10000" help:"watch starts no night with less room on the disk of the outbox; 2 holds several lessons; raise it for many clips a night"`
}

// DefaultNight returns what suits a laptop.
func DefaultNight() Night {
	return Night{Lanes: 0, ClipMemory: 400, ClipTime: 20, ReelTime: 120, Cards: 5, Arrived: 5, Settle: 10, StartHour: -1, LeastFree: 2}
}

// Validate reports the first setting that makes no sense.
func (n Night) Validate() error { return track.CheckRanges(n) }
