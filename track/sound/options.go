package sound

import (
	"fmt"

	"strokereel/track"
)

// Options say what counts as a click.
type Options struct {
	// Rise is what a putter click leaves far behind (20 dB and more a few metres
	// away in a quiet hall) and noise does not reach within a 0.5 ms step: the
	// mean energy of 24 independent normal samples exceeds its expectation by
	// 6 dB less than once in 10^9 (chi-squared); 4 more are for coloured noise.
	Rise float64 `key:"rise" unit:"dB" range:"3..80" help:"how far a click stands out of the noise before it; 10 finds a putt a few metres away; lower it in a loud hall, and expect more false clicks"`
	// Attack tells a click from speech, whose loudness takes 10 ms and more to
	// build up.
	Attack float64 `key:"attack" unit:"s" range:"0.001..0.02" help:"time within which the loudness must rise; 0.003 lets a click pass and not a voice; raise it for sound that was compressed hard"`
	// Quiet spans two beats of a low voice (100 Hz and more), each of which is as
	// sharp as a click.
	Quiet float64 `key:"quiet" unit:"s" range:"0.002..1" help:"nothing nearly as loud is heard this long before a click; 0.02 keeps out voices; lower it when the ball's click follows another sound closely"`
	// Memory is long against a click (10 ms) and short against a change of
	// the room's noise.
	Memory float64 `key:"memory" unit:"s" range:"0.02..5" help:"how much of the sound before a moment tells the noise; 0.2 follows music or a passing step; raise it in a steady room"`
	// Apart swallows the click's own ringing and its echoes in a hall.
	Apart float64 `key:"apart" unit:"s" range:"0.005..5" help:"shortest time between two clicks; 0.06 swallows the echo of a room; lower it to tell quick clicks apart"`
	// Mask keeps out the shadow that AAC at 128 kbit/s was seen to throw up to
	// 4 ms ahead of made clicks; it reached 11 dB below their peak.
	Mask float64 `key:"mask" unit:"dB" range:"6..100" help:"sound this much fainter than the click and just ahead of it is taken for an effect of coding; 8 fits a phone's AAC; raise it for uncompressed sound"`
	// Spread allows for what coding does to an onset; AAC works in blocks of 128
	// samples, 2.7 ms at 48 kHz, and a tenth of a block is left beside the mask.
	Spread float64 `key:"spread" unit:"s" range:"0..0.01" help:"standard uncertainty of an onset due to the coding of sound; 0.0003 was met with AAC at 128 kbit/s; set 0.00005 for uncompressed sound"`
}

// DefaultOptions returns the settings meant for a phone some metres away.
func DefaultOptions() Options {
	return Options{Rise: 10, Attack: 0.003, Quiet: 0.02, Memory: 0.2, Apart: 0.06, Mask: 8, Spread: 0.0003}
}

// Validate reports the first setting that makes no sense.
func (o Options) Validate() error {
	if err := track.CheckRanges(o); err != nil {
		return err
	}
	if o.Quiet < 2*o.Attack {
		return fmt.Errorf("quiet: must be at least twice the attack, %g (got %g)", 2*o.Attack, o.Quiet)
	}
	return nil
}
