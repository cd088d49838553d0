package track

// Term is what one independent input adds to the uncertainty of a value.
type Term struct {
	Symbol      string // in the formula
	Name        string
	Unit        string
	Value, U    float64
	DOF         float64 // degrees of freedom of U; 0 means none are needed (known beforehand)
	Sensitivity float64 // change of the value per unit of the input
	Share       float64 // of the variance, 0 to 1
}

// Budget explains the uncertainty of one value (JCGM 100:2008), the largest term
// first: the terms add up in squares to U, and K times U is half the width of
// the 95 % interval.
type Budget struct {
	Value float64
	U     float64 // combined standard uncertainty
	DOF   float64 // effective degrees of freedom; infinite when all inputs are known beforehand
	K     float64 // coverage factor for 95 %
	// Log is set when U and the sensitivities are of the value's logarithm: the
	// interval then reaches from Value/exp(K U) to Value exp(K U).
	Log   bool
	Terms []Term
}

// U95 is the expanded uncertainty, of the logarithm when Log is set.
func (b Budget) U95() float64 { return b.K * b.U }
