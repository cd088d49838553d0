package practice

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"
	"testing"
)

// Ticks begin at the player's own times: the sound is silent before each and not
// within 5 ms after.
func TestWriteSound(t *testing.T) {
	times := Times{Back: 0.62, Down: 0.31}
	var b bytes.Buffer
	if err := times.WriteSound(&b, 2); err != nil {
		t.Fatal(err)
	}
	head, pcm := b.Bytes()[:44], make([]int16, (b.Len()-44)/2)
	if err := binary.Read(bytes.NewReader(b.Bytes()[44:]), binary.LittleEndian, pcm); err != nil {
		t.Fatal(err)
	}
	le := binary.LittleEndian
	if string(head[:4]) != "RIFF" || int(le.Uint32(head[4:])) != b.Len()-8 || le.Uint16(head[22:]) != 1 || le.Uint32(head[24:]) != 16000 ||
		le.Uint16(head[34:]) != 16 || int(le.Uint32(head[40:])) != b.Len()-44 {
		t.Errorf("head % x", head)
	}
	loudest := func(from, to float64) float64 {
		m := 0.0
		for _, v := range pcm[int(from*16000):int(to*16000)] {
			m = math.Max(m, math.Abs(float64(v))/32768)
		}
		return m
	}
	second := 1 + 0.62 + 0.31 + 2.5
	for _, at := range []float64{1, 1.62, 1.93, second, second + 0.62, second + 0.93} {
		if before, after := loudest(at-0.05, at-0.001), loudest(at, at+0.005); before > 0 || after < 0.1 || after > 0.31 {
			t.Errorf("at %.2f s: %.3f before and %.3f after", at, before, after)
		}
	}
	if late := loudest(2.2, second-0.001); late != 0 {
		t.Errorf("%.3f between two strokes", late)
	}
}

func TestTimes(t *testing.T) {
	for _, bad := range []Times{{}, {0.6, 0}, {-0.6, 0.3}, {math.NaN(), 0.3}, {0.6, math.Inf(1)}, {60, 0.3}} {
		if err := bad.WriteSound(io.Discard, 1); err == nil {
			t.Errorf("%v was made", bad)
		}
	}
	if err := (Times{0.6, 0.3}).WriteSound(io.Discard, 0); err == nil {
		t.Error("no stroke was made")
	}
}
