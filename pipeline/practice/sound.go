package practice

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

// Times are a player's own backstroke and downstroke times, s.
type Times struct{ Back, Down float64 }

const (
	soundRate = 16000 // samples/s: eighteen for a wave of the highest tick, and small on a page
	// Repeats is how often the stroke is repeated in the file: half a minute.
	Repeats = 8
	// rest is the time from impact to the next start, s: enough to set the putter
	// down again, our judgement.
	rest = 2.5
	// leadIn is the silence before the first tick, s.
	leadIn = 1.0
	// tickLength is how long a tick is made, s; it has faded to a thousandth.
	tickLength = 0.15
	// loudness leaves a tick soft at a phone's usual volume, share of full scale.
	loudness = 0.3
)

// ticks are the pitches of start, top and impact, Hz: rising, so that they are
// told apart, and low enough to stay soft.
var ticks = [3]float64{440, 587, 880}

// Check refuses times that no stroke has.
func (t Times) Check() error {
	if !(t.Back >= 0.1 && t.Back <= 5) || !(t.Down >= 0.05 && t.Down <= 3) {
		return fmt.Errorf("making the practice sound: no stroke takes %g s back and %g s down", t.Back, t.Down)
	}
	return nil
}

// WriteSound writes the practice sound, a WAV file (mono, 16 kHz, 16 bits): a tick
// at start, top and impact of each of some strokes.
func (t Times) WriteSound(w io.Writer, strokes int) error {
	if err := t.Check(); err != nil {
		return err
	}
	if strokes < 1 || strokes > 100 {
		return errors.New("making the practice sound: must be 1 to 100 strokes")
	}
	period := t.Back + t.Down + rest
	pcm := make([]int16, samplesIn(leadIn+float64(strokes)*period))
	for k := range strokes {
		start := leadIn + float64(k)*period
		for i, at := range []float64{start, start + t.Back, start + t.Back + t.Down} {
			tick(pcm[samplesIn(at):], ticks[i])
		}
	}
	size := uint32(2 * len(pcm))
	// The chunks RIFF, fmt and data of the WAVE form.
	for _, part := range []any{
		[]byte("RIFF"), 36 + size, []byte("WAVEfmt "), uint32(16), uint16(1), uint16(1), uint32(soundRate), uint32(2 * soundRate), uint16(2), uint16(16),
		[]byte("data"), size, pcm,
	} {
		if err := binary.Write(w, binary.LittleEndian, part); err != nil {
			return fmt.Errorf("making the practice sound: %w", err)
		}
	}
	return nil
}

func samplesIn(s float64) int { return int(math.Round(s * soundRate)) }

// tick adds a tone that swells within 3 ms, so that it does not crack, and fades.
// Ticks of a quick stroke may overlap without reaching full scale.
func tick(pcm []int16, pitch float64) {
	const swell, fade = 0.003, 0.02 // s
	for i := range min(len(pcm), samplesIn(tickLength)) {
		s := float64(i) / soundRate
		a := loudness * math.Min(1, s/swell) * math.Exp(-s/fade)
		pcm[i] += int16(math.Round(a * math.MaxInt16 * math.Sin(2*math.Pi*pitch*s)))
	}
}
