package path

import "math"

// stationary is the part of the prior that looks the same at every moment: the
// stroke, a Matern process of order 7/2, whose jerk is continuous and whose
// change of jerk is not, and the tremor of the hands, a cosine that forgets its
// phase.
type stationary struct {
	size, span                   float64 // of the stroke, m and s
	tremor, frequency, coherence float64 // m rms, Hz, s
}

// cov returns the covariance of two positions tau apart and its first two
// derivatives by tau (Rasmussen and Williams, Gaussian Processes for Machine
// Learning, 2006, eq. 4.17, from memory).
func (s stationary) cov(tau float64) [3]float64 {
	rate := math.Sqrt(7) / s.span
	z := rate * math.Abs(tau)
	m := s.size * s.size * math.Exp(-z)
	z2 := z * z
	z3 := z2 * z
	k := [3]float64{
		m * (1 + z + 0.4*z2 + z3/15),
		-m * rate * math.Copysign(z/5+z2/5+z3/15, tau),
		-m * rate * rate * (0.2 + z/5 - z3/15),
	}
	if s.tremor == 0 {
		return k
	}
	omega, c2 := 2*math.Pi*s.frequency, s.coherence*s.coherence
	g := s.tremor * s.tremor * math.Exp(-tau*tau/(2*c2))
	sin, cos := math.Sincos(omega * tau)
	k[0] += g * cos
	k[1] -= g * (omega*sin + tau/c2*cos)
	k[2] += g * ((tau*tau/(c2*c2)-1/c2-omega*omega)*cos + 2*omega*tau/c2*sin)
	return k
}

// variance returns that of position, velocity and acceleration.
func (s stationary) variance() [3]float64 {
	rate := math.Sqrt(7) / s.span
	omega, c2 := 2*math.Pi*s.frequency, s.coherence*s.coherence
	m, t := s.size*s.size, s.tremor*s.tremor
	return [3]float64{
		m + t,
		m*rate*rate/5 + t*(omega*omega+1/c2),
		m*math.Pow(rate, 4)/5 + t*(math.Pow(omega, 4)+6*omega*omega/c2+3/(c2*c2)),
	}
}

// trend is the part of the prior that says nothing: a cubic in time whose
// coefficients, position to jerk, are all but free.
var trend = [4]float64{0.5, 2, 10, 100} // m, m/s, m/s^2, m/s^3

// trendAt returns the terms of the trend, or their derivative, a time t from
// its middle.
func trendAt(t float64, order int) (v [4]float64) {
	p := 1.0 // t^j/j!
	for k, j := order, 0; k < len(v); k, j = k+1, j+1 {
		v[k] = trend[k] * p
		p *= t / float64(j+1)
	}
	return v
}

// stepJerk is how far the jerk may jump at a break, m/s^3: as far as it varies
// in a stroke.
const stepJerk = 100

// breakTerms is a break as the prior sees it: velocity, acceleration and jerk begin
// anew with it, the position does not.
type breakTerms struct {
	at    float64    // s
	sizes [3]float64 // m/s, m/s^2, m/s^3, standard deviations
}

// felt returns the terms of a sample exposed for a time e around t: a camera
// shows the mean of the speeds before and after a break that falls into its
// exposure.
func (b breakTerms) felt(t, e float64) (v [3]float64) {
	d := t - b.at
	if math.Abs(d) < e/2 {
		v[0] = b.sizes[0] * (d + e/2) * (d + e/2) / (2 * e)
		return v
	}
	return b.after(t, 0)
}

// after returns the terms at a moment, or their derivative, 0 before the break.
func (b breakTerms) after(t float64, order int) (v [3]float64) {
	d := t - b.at
	if d < 0 {
		return v
	}
	switch order {
	case 0:
		v = [3]float64{d, d * d / 2, d * d * d / 6}
	case 1:
		v = [3]float64{1, d, d * d / 2}
	default:
		v = [3]float64{0, 1, d}
	}
	for k := range v {
		v[k] *= b.sizes[k]
	}
	return v
}
