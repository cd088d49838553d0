package reel

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"

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

// speak writes the sound of a reel. The silence before the first of it goes ahead,
// so that nobody waits for it while the clips' sound is read.
func speak(ctx context.Context, w io.Writer, p Plan, clips []clip.Info) error {
	silent := samplesOf(p.LengthS)
	for _, s := range p.Sounds {
		silent = max(0, min(silent, samplesOf(s.AtS)))
	}
	if err := writeSound(w, make([]float32, silent)); err != nil {
		return err
	}
	all, err := mix(ctx, p, clips)
	if err != nil {
		return err
	}
	return writeSound(w, all[silent:])
}

func samplesOf(s float64) int { return int(math.Round(s * soundRate)) }

// mix lays the kept sounds of a reel on silence of its length. The clips' sound
// is read one after the other; a clip without sound stays silent.
func mix(ctx context.Context, p Plan, clips []clip.Info) ([]float32, error) {
	out := make([]float32, samplesOf(p.LengthS))
	for _, s := range p.Sounds {
		from, err := clips[s.Source].Sound(ctx)
		if errors.Is(err, clip.ErrNoSound) {
			continue
		}
		if err != nil {
			return nil, err
		}
		lay(out, from, s)
	}
	return out, nil
}

// lay copies a stretch of sound with its ends faded, as loud as loudest allows.
func lay(out []float32, from sound.Samples, s Sound) {
	n := samplesOf(s.ToS - s.FromS)
	first := int(math.Round((s.FromS - from.T0) * float64(from.Rate)))
	at := samplesOf(s.AtS)
	piece := make([]float32, n)
	peak := float32(0)
	for i := range piece {
		if k := first + i; k >= 0 && k < len(from.PCM) {
			piece[i] = from.PCM[k]
			peak = max(peak, piece[i], -piece[i])
		}
	}
	if !(peak > 0) {
		return
	}
	gain := min(loudest/peak, mostGain)
	for i, v := range piece {
		edge := min(1, float64(min(i, n-1-i))/(fade*soundRate))
		if k := at + i; k >= 0 && k < len(out) {
			out[k] += v * gain * float32(edge)
		}
	}
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
