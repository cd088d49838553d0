package sound

// Samples is mono sound. PCM[k] belongs to time T0 + k/Rate, in seconds on the
// clock of the clip's frames (first frame 0).
type Samples struct {
	Rate int
	T0   float64
	PCM  []float32 // full scale is 1
}

// At returns the time of a sample, which may lie between two.
func (s Samples) At(k float64) float64 { return s.T0 + k/float64(s.Rate) }
