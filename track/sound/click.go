package sound

import (
	"math"
	"slices"
)

// Click is a sharp onset.
type Click struct {
	T        float64 // s, when the sound leaves the noise
	U        float64 // s, standard uncertainty of T
	Loudness float64 // dB of the loudest step above the noise before it
}

const (
	// step is the width of the loudness curve: short against the attack of a
	// click, long enough to average the noise.
	step = 0.0005
	// quietest is the energy of sound that changes by one 16-bit step per
	// sample, the floor of what a phone records.
	quietest = 1.0 / (32768 * 32768)
)

// Clicks finds the sharp onsets in the order in which they happen. Setting
// errors are those of Validate.
func Clicks(s Samples, o Options) ([]Click, error) {
	if err := o.Validate(); err != nil {
		return nil, err
	}
	if s.Rate <= 0 || len(s.PCM) < s.Rate/50 {
		return nil, nil
	}
	d := differences(s.PCM)
	width := max(1, int(math.Round(step*float64(s.Rate))))
	loud := loudness(d, width)
	var clicks []Click
	for _, at := range onsets(loud, o) {
		attack := int(o.Attack * float64(s.Rate))
		first := at.step * width // may be the shadow: the click is up to two attacks later
		k, u := leaves(d, max(0, first-2*attack), min(len(d), first+2*attack), at.noise, o.Mask)
		clicks = append(clicks, Click{
			T:        s.At(k + 0.5), // a difference lies between its samples
			U:        math.Hypot(u/float64(s.Rate), o.Spread),
			Loudness: at.rise,
		})
	}
	return clicks, nil
}

// differences removes hum and rumble: d[k] = pcm[k+1] - pcm[k].
func differences(pcm []float32) []float64 {
	d := make([]float64, len(pcm)-1)
	for k := range d {
		d[k] = float64(pcm[k+1]) - float64(pcm[k])
		if math.IsNaN(d[k]) || math.IsInf(d[k], 0) {
			d[k] = 0
		}
	}
	return d
}

// loudness returns the mean energy of each step in dB.
func loudness(d []float64, width int) []float64 {
	loud := make([]float64, len(d)/width)
	for k := range loud {
		var sum float64
		for _, v := range d[k*width : (k+1)*width] {
			sum += v * v
		}
		loud[k] = 10 * math.Log10(sum/float64(width)+quietest)
	}
	return loud
}

type onset struct {
	step  int
	rise  float64 // dB, of the loudest step
	noise float64 // dB
}

// onsets returns the first step of each click: one that stands Rise above every
// step of the quiet before its attack.
func onsets(loud []float64, o Options) []onset {
	quiet, memory, attack, apart := steps(o.Quiet), steps(o.Memory), steps(o.Attack), steps(o.Apart)
	var found []onset
	for k := quiet; k < len(loud); k++ {
		if loud[k]-slices.Max(loud[k-quiet:k-attack]) < o.Rise {
			continue
		}
		if n := len(found); n > 0 && k-found[n-1].step < apart {
			continue
		}
		noise := typical(loud[max(0, k-attack-memory) : k-attack])
		found = append(found, onset{k, slices.Max(loud[k:min(len(loud), k+2*attack)]) - noise, noise})
	}
	return found
}

func steps(seconds float64) int { return max(1, int(math.Round(seconds/step))) }

func typical(loud []float64) float64 {
	s := slices.Clone(loud)
	slices.Sort(s)
	return s[len(s)/2]
}

// deviations is how many standard deviations of the noise make a sample of the
// click: 1 sample in 10^6 of normal noise lies beyond 5.
const deviations = 5

// leaves returns where in d[lo:hi] the sound leaves the noise, and the standard
// uncertainty, both in samples. That is the first sample above the noise and
// above the mask, a level below the peak (dB) under which coding throws the
// click's shadow ahead of it. The uncertainty is that of a moment anywhere
// between this sample and twice its level: how slowly the click sets in.
func leaves(d []float64, lo, hi int, noise, mask float64) (k, u float64) {
	peak := 0.0
	for _, v := range d[lo:hi] {
		peak = max(peak, math.Abs(v))
	}
	level := max(peak*math.Pow(10, -mask/20), deviations*math.Pow(10, noise/20))
	level = min(level, peak)
	first := exceeds(d[lo:hi], level)
	rising := exceeds(d[lo:hi], min(2*level, peak)) - first
	return float64(lo + first), math.Hypot(float64(rising), 1) / math.Sqrt(12)
}

// exceeds returns the first sample that is as strong as level.
func exceeds(d []float64, level float64) int {
	return slices.IndexFunc(d, func(v float64) bool { return math.Abs(v) >= level })
}
