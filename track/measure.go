package track

// Measure is one reported number of a stroke, in SI units.
type Measure struct {
	ID     string
	Value  float64
	Unit   string // "m", "s", "m/s", "deg", "1"; "" for words
	Word   string // for measures whose value is a word, e.g. y_kept
	U95    float64
	Lo95   float64 // used instead of U95 when the interval is not symmetric
	Hi95   float64
	Status string
	Reason string
	How    string
}
