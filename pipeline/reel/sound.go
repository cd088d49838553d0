package reel

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"

	"golang.org/x/sync/errgroup"

	"strokereel/pipeline/clip"
	"strokereel/track/sound"
)

const (
	// loudest is the peak of the kept sound, full scale = 1: -6 dB leaves room
	// for what coding adds.
	loudest = 0.5
	// mostGain keeps a clip in which nothing is heard from becoming noise.
	mostGain = 4
	// fade, s, lets sound come and go without a click of its own.
	fade = 0.05
)

// Click is the moment of the loudest sharp sound of a clip, by which one
// without a sticker can be lined up; nil when there is none.
func Click(ctx context.Context, path string, o Options) (*float64, error) {
	s, err := clip.Sound(ctx, path, o.Clip)
	if errors.Is(err, clip.ErrNoSound) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	clicks, err := sound.Clicks(s, o.Sound)
	if err != nil {
		return nil, fmt.Errorf("finding the click in %q: %w", path, err)
	}
	var at *float64
	loud := math.Inf(-1)
	for i := range clicks {
		if clicks[i].Loudness > loud {
			at, loud = &clicks[i].T, clicks[i].Loudness
		}
	}
	return at, nil
}

// speak writes the sound of a reel: its pieces on silence.
func speak(w io.Writer, p Plan, pieces [][]float32) error {
	written := 0
	silence := func(to int) error {
		n := max(0, to-written)
		written += n
		return writeSilence(w, n)
	}
	for i, piece := range pieces {
		if err := silence(samplesOf(p.Sounds[i].AtS)); err != nil {
			return err
		}
		if err := writeSound(w, piece); err != nil {
			return err
		}
		written += len(piece)
	}
	return silence(samplesOf(p.LengthS))
}

func samplesOf(s float64) int { return int(math.Round(s * soundRate)) }

// pieces are the kept sounds of a reel, which follow each other; of a clip
// without sound they are empty. They are read before the film begins: later the
// decoders of pictures need the memory.
func pieces(ctx context.Context, p Plan, clips []clip.Info) ([][]float32, error) {
	out := make([][]float32, len(p.Sounds))
	var group errgroup.Group
	for i, s := range p.Sounds {
		group.Go(func() error {
			from, err := clips[s.Source].Sound(ctx)
			if errors.Is(err, clip.ErrNoSound) {
				return nil
			}
			if err == nil {
				out[i] = piece(from, s)
			}
			return err
		})
	}
	return out, group.Wait()
}

// piece is a stretch of sound with its ends faded, as loud as loudest allows.
func piece(from sound.Samples, s Sound) []float32 {
	out := make([]float32, samplesOf(s.ToS-s.FromS))
	first := int(math.Round((s.FromS - from.T0) * float64(from.Rate)))
	peak := float32(0)
	for i := range out {
		if k := first + i; k >= 0 && k < len(from.PCM) {
			out[i] = from.PCM[k]
			peak = max(peak, out[i], -out[i])
		}
	}
	if !(peak > 0) {
		return out
	}
	gain := min(loudest/peak, mostGain)
	for i := range out {
		edge := min(1, float64(min(i, len(out)-1-i))/(fade*soundRate))
		out[i] = out[i] * gain * float32(edge)
	}
	return out
}

// writeSilence writes samples of nothing.
func writeSilence(w io.Writer, samples int) error {
	var nothing [1 << 14]float32
	for ; samples > 0; samples -= len(nothing) {
		if err := writeSound(w, nothing[:min(samples, len(nothing))]); err != nil {
			return err
		}
	}
	return nil
}

// writeSound writes samples as 16 bit on both channels.
func writeSound(w io.Writer, samples []float32) error {
	buf := make([]byte, 0, 1<<16)
	for i, v := range samples {
		x := uint16(int16(math.Round(float64(max(-1, min(1, v))) * math.MaxInt16)))
		buf = binary.LittleEndian.AppendUint16(binary.LittleEndian.AppendUint16(buf, x), x)
		if len(buf)+4 > cap(buf) || i == len(samples)-1 {
			if _, err := w.Write(buf); err != nil {
				return err
			}
			buf = buf[:0]
		}
	}
	return nil
}
