package clip

import "fmt"

// Options bound what is admitted.
type Options struct {
	// MaxSize keeps a wrong file (a film, a disk image) from taking the night:
	// a 10 s phone clip at 4K120 is about 150 MB.
	MaxSize float64 `key:"max_size" unit:"MB" help:"largest clip file that is read; 2000 holds a minute of the best phone quality; raise it for long takes"`
	// MaxLength bounds memory of the tracks; a putt with its routine lasts well
	// under a minute.
	MaxLength float64 `key:"max_length" unit:"s" help:"longest clip that is read; 300 holds a whole routine several times over; raise it to keep long takes"`
	// MaxSide is the longer side of an 8K phone picture.
	MaxSide int `key:"max_side" unit:"px" help:"largest width or height that is read; 8192 holds 8K film; lower it on a machine with little memory"`
	// Gap is in frame intervals: 2 is one dropped frame, which every phone has
	// now and then; 2.5 leaves that alone and reports two in a row.
	Gap float64 `key:"gap" unit:"frames" help:"a longer pause between two frames, in typical intervals, is reported as a hole; 2.5 lets a single dropped frame pass; raise it for very uneven phones"`
	// ReadAhead hides the reader's own work behind the decoder's.
	ReadAhead int `key:"read_ahead" unit:"frames" help:"frames decoded ahead of their use; 3 keeps the decoder busy; each costs one picture of memory"`
}

// DefaultOptions returns the settings meant for phone clips of a putt.
func DefaultOptions() Options {
	return Options{MaxSize: 2000, MaxLength: 300, MaxSide: 8192, Gap: 2.5, ReadAhead: 3}
}

// Validate reports the first setting that makes no sense.
func (o Options) Validate() error {
	switch {
	case !(o.MaxSize > 0):
		return fmt.Errorf("max_size: must be above zero (got %v)", o.MaxSize)
	case !(o.MaxLength > 0):
		return fmt.Errorf("max_length: must be above zero (got %v)", o.MaxLength)
	case o.MaxSide < 16:
		return fmt.Errorf("max_side: must be 16 or more (got %d)", o.MaxSide)
	case !(o.Gap > 1):
		return fmt.Errorf("gap: must be above 1 (got %v)", o.Gap)
	case o.ReadAhead < 1 || o.ReadAhead > 64:
		return fmt.Errorf("read_ahead: must be from 1 to 64 (got %d)", o.ReadAhead)
	}
	return nil
}
