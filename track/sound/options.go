package sound

import "fmt"

// Options say what counts as a click.
type Options struct {
	// Rise is what a putter click leaves far behind (20 dB and more a few metres
	// away in a quiet hall) and noise does not reach within a 0.5 ms step: the
	// mean energy of 24 independent normal samples exceeds its expectation by
	// 6 dB less than once in 10^9 (chi-squared); 4 more are for coloured noise.
	Rise float64 `key:"rise" unit:"dB" help:"how far a click stands out of the noise before it; 10 finds a putt a few metres away; lower it in a loud hall, and expect more false clicks"`
	// Attack tells a click from speech, whose loudness takes 10 ms and more to
	// build up.
	Attack float64 `key:"attack" unit:"s" help:"time within which the loudness must rise; 0.003 lets a click pass and not a voice; raise it for sound that was compressed hard"`
	// Quiet spans two beats of a low voice (100 Hz and more), each of which is as
	// sharp as a click.
	Quiet float64 `key:"quiet" unit:"s" help:"nothing nearly as loud is heard this long before a click; 0.02 keeps out voices; lower it when the ball's click follows another sound closely"`
	// Memory is long against a click (10 ms) and short against a change of
	// the room's noise.
	Memory float64 `key:"memory" unit:"s" help:"how much of the sound before a moment tells the noise; 0.2 follows music or a passing step; raise it in a steady room"`
	// Apart swallows the click's own ringing and its echoes in a hall.
	Apart float64 `key:"apart" unit:"s" help:"shortest time between two clicks; 0.06 swallows the echo of a room; lower it to tell quick clicks apart"`
	// Mask keeps out the shadow that AAC at 128 kbit/s was seen to throw up to
	// 4 ms ahead of made clicks; it reached 11 dB below their peak.
	Mask float64 `key:"mask" unit:"dB" help:"sound this much fainter than the click and just ahead of it is taken for an effect of coding; 8 fits a phone's AAC; raise it for uncompressed sound"`
	// Spread allows for what coding does to an onset; AAC works in blocks of 128
	// samples, 2.7 ms at 48 kHz, and a tenth of a block is left beside the mask.
	Spread float64 `key:"spread" unit:"s" help:"standard uncertainty of an onset due to the coding of sound; 0.0003 was met with AAC at 128 kbit/s; set 0.00005 for uncompressed sound"`
}

// DefaultOptions returns the settings meant for a phone some metres away.
func DefaultOptions() Options {
	return Options{Rise: 10, Attack: 0.003, Quiet: 0.02, Memory: 0.2, Apart: 0.06, Mask: 8, Spread: 0.0003}
}

// Validate reports the first setting that makes no sense.
func (o Options) Validate() error {
	switch {
	case !(o.Rise >= 3 && o.Rise <= 80):
		return fmt.Errorf("rise: must be from 3 to 80 (got %v)", o.Rise)
	case !(o.Attack >= 0.001 && o.Attack <= 0.02):
		return fmt.Errorf("attack: must be from 0.001 to 0.02 (got %v)", o.Attack)
	case !(o.Quiet >= 2*o.Attack && o.Quiet <= 1):
		return fmt.Errorf("quiet: must be from twice the attack to 1 (got %v)", o.Quiet)
	case !(o.Memory >= 0.02 && o.Memory <= 5):
		return fmt.Errorf("memory: must be from 0.02 to 5 (got %v)", o.Memory)
	case !(o.Apart >= 0.005 && o.Apart <= 5):
		return fmt.Errorf("apart: must be from 0.005 to 5 (got %v)", o.Apart)
	case !(o.Mask >= 6 && o.Mask <= 100):
		return fmt.Errorf("mask: must be from 6 to 100 (got %v)", o.Mask)
	case !(o.Spread >= 0 && o.Spread <= 0.01):
		return fmt.Errorf("spread: must be from 0 to 0.01 (got %v)", o.Spread)
	}
	return nil
}
