package clip

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track/sound"
)

// clickAt is a source of near silence with one sharp tone burst.
func clickAt(t string) string {
	return "aevalsrc='if(between(t\\," + t + "\\," + t + "+0.005)\\,0.8*cos(2*PI*3000*(t-" + t + "))\\,0)':s=44100:d=2"
}

// onset returns the time of the first sample above a tenth of full scale.
func onset(t *testing.T, s Samples) float64 {
	t.Helper()
	for k, v := range s.PCM {
		if v > 0.1 || v < -0.1 {
			return s.At(float64(k))
		}
	}
	t.Fatal("no click in the sound")
	return 0
}

func TestSoundSharesTheClockOfTheFrames(t *testing.T) {
	pictures := "testsrc2=s=96x64:r=30:d=2"
	late := []string{"-fps_mode", "passthrough"} // else ffmpeg fills the beginning with copies
	pcm := []string{"-c:a", "pcm_s16le"}
	for _, c := range []struct {
		name string
		file string
		args []string
		want float64 // s, click on the clock of the frames
		tol  float64
	}{
		{"both from zero", "a.mov", join(lavfi(pictures), lavfi(clickAt("1.2")), x264, pcm), 1.2, 1e-4},
		{"pictures start late", "a.mov", join([]string{"-itsoffset", "0.7"}, lavfi(pictures), lavfi(clickAt("1.2")), x264, late, pcm), 0.5, 1e-4},
		{"sound starts late", "a.mov", join(lavfi(pictures), []string{"-itsoffset", "0.35"}, lavfi(clickAt("1.2")), x264, pcm), 1.55, 1e-4},
		{"AAC in mp4", "a.mp4", join(lavfi(pictures), lavfi(clickAt("1.2")), x264, []string{"-c:a", "aac", "-b:a", "128k"}), 1.2, 3e-3}, // block of 128 samples smears ahead
		{"AAC, pictures late", "a.mp4", join([]string{"-itsoffset", "0.7"}, lavfi(pictures), lavfi(clickAt("1.2")), x264, late, []string{"-c:a", "aac", "-b:a", "128k"}), 0.5, 3e-3},
		{"transport stream", "a.ts", join(lavfi(pictures), lavfi(clickAt("1.2")), x264, []string{"-c:a", "s302m", "-ar", "48000", "-ac", "2", "-strict", "-2"}), 1.2, 1e-4},
		{"a hole of 0.4 s in the sound", "a.mkv", join(lavfi(pictures), lavfi(clickAt("1.2")+",aselect='not(between(t,0.5,0.9))'"), x264, pcm), 1.2, 1.1e-3}, // matroska times are whole ms
	} {
		t.Run(c.name, func(t *testing.T) {
			s, err := Sound(context.Background(), film(t, c.file, c.args...), DefaultOptions())
			if err != nil {
				t.Fatal(err)
			}
			if s.Rate != 48000 || math.Abs(float64(len(s.PCM))/48000-2) > 0.4 {
				t.Errorf("rate %d, %d samples", s.Rate, len(s.PCM))
			}
			if got := onset(t, s); math.Abs(got-c.want) > c.tol {
				t.Errorf("click at %.5f s, want %.5f", got, c.want)
			}
		})
	}
}

func TestNoSound(t *testing.T) {
	if _, err := Sound(context.Background(), film(t, "a.mp4", join(lavfi(small), x264)...), DefaultOptions()); !errors.Is(err, ErrNoSound) {
		t.Errorf("got %v", err)
	}
}

func TestStartOffset(t *testing.T) {
	path := film(t, "a.mp4", join([]string{"-itsoffset", "0.7"}, lavfi(small), lavfi("sine=d=2"), x264, []string{"-c:a", "aac", "-fps_mode", "passthrough"})...)
	r, err := Open(context.Background(), path, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if d := r.StartOffset() - 0.7; math.Abs(d) > 1e-3 { // the movie's clock counts in ms
		t.Errorf("start at %v", r.StartOffset())
	}
}

// Phones code sound as AAC, which smears an onset ahead of itself. The clicks
// must still be found within their stated uncertainty.
func TestClicksSurviveCoding(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	const rate, n = 48000, 20
	x := make([]float32, rate*(n+1))
	for k := range x {
		x[k] = float32(0.002 * r.NormFloat64())
	}
	var truth []float64
	for k := range n {
		at := float64(k) + 0.5 + 0.4*r.Float64()
		strength := 0.1 + 0.4*r.Float64()
		truth = append(truth, at)
		for j := int(math.Ceil(at * rate)); j < int((at+0.04)*rate); j++ {
			s := float64(j)/rate - at
			x[j] += float32(strength * math.Exp(-s/0.004) * math.Sin(2*math.Pi*3400*s+0.6))
		}
	}
	var raw bytes.Buffer
	if err := binary.Write(&raw, binary.LittleEndian, x); err != nil {
		t.Fatal(err)
	}
	source := write(t, "room.f32", raw.Bytes())
	path := film(t, "a.mp4", join(lavfi("color=gray:s=64x64:r=30:d=21"), []string{"-f", "f32le", "-ar", "48000", "-ac", "1", "-i", source}, x264, []string{"-c:a", "aac", "-b:a", "128k"})...)
	s, err := Sound(context.Background(), path, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	clicks, err := sound.Clicks(s, sound.DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	if len(clicks) != n {
		t.Fatalf("%d clicks, want %d", len(clicks), n)
	}
	outside, mean := 0, 0.0
	for k, c := range clicks {
		d := c.T - truth[k]
		mean += d / n
		if math.Abs(d) > 1.96*c.U {
			outside++
		}
	}
	if outside > 3 || math.Abs(mean) > 2.5e-4 { // 1 of 20 expected
		t.Errorf("%d of %d outside their 95 %% interval, mean error %.3f ms", outside, n, mean*1e3)
	}
}
