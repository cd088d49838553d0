package demo

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
)

const soundRate = 48000

// soundSpeed in air of the given temperature, m/s: 331.3 sqrt(1 + T/273.15),
// from memory.
func soundSpeed(celsius float64) float64 { return 331.3 * math.Sqrt(1+celsius/273.15) }

// clickAt is when the click of a noise at t is on the track.
func (sc *scene) clickAt(t float64) float64 {
	d := sc.view.at.sub(vec{0, sc.spec.Ball.Diameter / 2, 0}).length()
	return t + d/soundSpeed(sc.spec.Sound.Temperature) + sc.spec.Sound.Offset
}

// soundTrack makes mono samples: the room, the click of the impact, decoys.
func (sc *scene) soundTrack() []float64 {
	s := sc.spec.Sound
	rng := rand.New(rand.NewPCG(sc.spec.noiseSeed(), 0x50))
	out := make([]float64, int(sc.spec.Duration*soundRate))
	var low float64
	for i := range out {
		low += 0.03 * (rng.NormFloat64() - low)
		hum := math.Sin(2 * math.Pi * 100 * float64(i) / soundRate)
		out[i] = s.Room * (0.25*rng.NormFloat64() + 4*low + 0.3*hum)
	}
	if sc.putt >= 0 {
		addClick(out, sc.clickAt(sc.motion.swings[sc.putt].contact), s.Click, 1, rng)
	}
	for _, t := range s.Decoys {
		addClick(out, sc.clickAt(t), s.Click*(0.3+0.5*rng.Float64()), 0.5+rng.Float64(), rng)
	}
	return out
}

// addClick adds a sharp burst of damped tones, as of ball on metal. It starts
// between samples exactly at t.
func addClick(out []float64, t, amplitude, pitch float64, rng *rand.Rand) {
	type tone struct{ f, decay, a, phase float64 }
	tones := []tone{{3100, 0.0022, 1, 0}, {5200, 0.0013, 0.7, 0}, {1650, 0.0045, 0.5, 0}, {8700, 0.0006, 0.5, 0}}
	for i := range tones {
		tones[i].f *= pitch * (0.9 + 0.2*rng.Float64())
	}
	first := int(math.Ceil(t * soundRate))
	for i := max(0, first); i < min(len(out), first+soundRate/20); i++ {
		d := float64(i)/soundRate - t
		rise := 1 - math.Exp(-d/0.00008)
		for _, n := range tones {
			out[i] += amplitude * rise * n.a * math.Exp(-d/n.decay) * math.Sin(2*math.Pi*n.f*d)
		}
	}
}

// wave stores mono samples as a 16-bit PCM WAVE file.
func wave(samples []float64) []byte {
	n := len(samples) * 2
	b := append([]byte("RIFF"), binary.LittleEndian.AppendUint32(nil, uint32(36+n))...)
	b = append(b, "WAVEfmt "...)
	b = binary.LittleEndian.AppendUint32(b, 16)
	b = binary.LittleEndian.AppendUint16(b, 1)
	b = binary.LittleEndian.AppendUint16(b, 1)
	b = binary.LittleEndian.AppendUint32(b, soundRate)
	b = binary.LittleEndian.AppendUint32(b, soundRate*2)
	b = binary.LittleEndian.AppendUint16(b, 2)
	b = binary.LittleEndian.AppendUint16(b, 16)
	b = append(b, "data"...)
	b = binary.LittleEndian.AppendUint32(b, uint32(n))
	for _, s := range samples {
		b = binary.LittleEndian.AppendUint16(b, uint16(int16(math.Round(clamp(s, -1, 1)*32767))))
	}
	return b
}
