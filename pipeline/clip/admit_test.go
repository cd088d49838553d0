package clip

import (
	"bytes"
	"context"
	"errors"
	"os"
	"strings"
	"testing"
)

// What the table of faults does not have.
func TestRefusals(t *testing.T) {
	for _, c := range []struct{ name, path, code string }{
		{"index of noise", write(t, "a.mp4", append([]byte("\x00\x00\x00\x10ftypisom\x00\x00\x00\x00\x00\x00\x00\x20moov"), bytes.Repeat([]byte{0xA5}, 24)...)), NoPictures},
		{"noise behind a matroska head", write(t, "a.mkv", append([]byte("\x1a\x45\xdf\xa3"), bytes.Repeat([]byte{0xA5, 0x17}, 2000)...)), Unreadable},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := refusal(t, c.path)
			if r.Code != c.code {
				t.Errorf("code %q, want %q: %v", r.Code, c.code, r)
			}
			if r.Text == "" || r.Hint == "" || r.File != c.path {
				t.Errorf("incomplete refusal %+v", r)
			}
		})
	}
}

func TestRefusalInWords(t *testing.T) {
	path := write(t, "lesson.mp4", nil)
	_, err := Probe(context.Background(), path)
	want := `clip "` + path + `" is empty: copy it from the phone again`
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
}

func TestBoundsOfTheOptions(t *testing.T) {
	path := film(t, "a.mp4", join(lavfi(small), x264)...)
	for _, c := range []struct {
		name string
		set  func(*Options)
		code string
	}{
		{"file", func(o *Options) { o.MaxSize = 0.001 }, TooLarge},
		{"side", func(o *Options) { o.MaxSide = 90 }, TooLarge},
		{"length", func(o *Options) { o.MaxLength = 0.9 }, TooLong},
	} {
		o := DefaultOptions()
		c.set(&o)
		_, err := Open(context.Background(), path, o)
		var r *Refusal
		if !errors.As(err, &r) || r.Code != c.code {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

func TestOptionsValidate(t *testing.T) {
	if err := DefaultOptions().Validate(); err != nil {
		t.Error(err)
	}
	for _, c := range []struct {
		want string
		set  func(*Options)
	}{
		{"max_size: must be between 0.001 and 1e+06 (got 0)", func(o *Options) { o.MaxSize = 0 }},
		{"max_length: must be between 0.1 and 36000 (got -1)", func(o *Options) { o.MaxLength = -1 }},
		{"max_side: must be between 16 and 16384 (got 0)", func(o *Options) { o.MaxSide = 0 }},
		{"ramp: must be between 2.1 and 100 (got 2)", func(o *Options) { o.Ramp = 2 }},
		{"gap: must be between 1.1 and 100 (got 1)", func(o *Options) { o.Gap = 1 }},
		{"read_ahead: must be between 1 and 64 (got 0)", func(o *Options) { o.ReadAhead = 0 }},
	} {
		o := DefaultOptions()
		c.set(&o)
		if err := o.Validate(); err == nil || err.Error() != c.want {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
}

// A clip whose copy was broken off behind its index still shows its first part.
func TestCutOffClipIsReadAsFarAsItGoes(t *testing.T) {
	whole := film(t, "a.mp4", join(lavfi("testsrc2=s=192x128:r=30:d=2"), x264, []string{"-movflags", "+faststart"})...)
	data, err := os.ReadFile(whole)
	if err != nil {
		t.Fatal(err)
	}
	path := write(t, "cut.mp4", data[:len(data)*2/3])
	times, _, _, ws := read(t, path)
	sameTimes(t, times, shown(t, path))
	if len(times) >= 60 || len(times) < 20 {
		t.Errorf("%d of 60 frames from two thirds of the file", len(times))
	}
	if !hasWarning(ws, CutOff) || !hasWarning(ws, Damaged) {
		t.Errorf("warnings %v", ws)
	}
}

func TestDamagedClipIsReadToItsEnd(t *testing.T) {
	whole := film(t, "a.mp4", join(lavfi("testsrc2=s=192x128:r=30:d=2"), x264)...)
	data, err := os.ReadFile(whole)
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(data, []byte("mdat")) + len(data)/3
	for k := range 300 {
		data[at+k] ^= byte(37*k + 11)
	}
	times, _, _, ws := read(t, write(t, "bad.mp4", data))
	if len(times) < 50 || times[len(times)-1] < 1.9 {
		t.Errorf("%d frames up to %.2f s", len(times), times[len(times)-1])
	}
	found := false
	for _, w := range ws {
		if w.Code == Damaged {
			found = w.Spoils && strings.Contains(w.Text, "faults, first: ") && !strings.Contains(w.Text, "0x")
		}
	}
	if !found {
		t.Errorf("warnings %v", ws)
	}
}

func TestSizeChangeIsReported(t *testing.T) {
	a := film(t, "a.ts", join(lavfi(small), x264)...)
	b := film(t, "b.ts", join(lavfi("testsrc2=s=128x96:r=30:d=1"), x264)...)
	one, err := os.ReadFile(a)
	if err != nil {
		t.Fatal(err)
	}
	two, err := os.ReadFile(b)
	if err != nil {
		t.Fatal(err)
	}
	times, first, last, ws := read(t, write(t, "c.ts", append(one, two...)))
	if len(times) != 60 {
		t.Errorf("%d frames, want 60", len(times))
	}
	if len(last.Y) != len(first.Y) || !hasWarning(ws, SizeChanges) {
		t.Errorf("planes %d and %d, warnings %v", len(first.Y), len(last.Y), ws)
	}
}

func TestWalkBoxes(t *testing.T) {
	box := func(name string, body int) []byte {
		n := 8 + body
		return append([]byte{byte(n >> 24), byte(n >> 16), byte(n >> 8), byte(n), name[0], name[1], name[2], name[3]}, make([]byte, body)...)
	}
	large := append([]byte{0, 0, 0, 1, 'm', 'd', 'a', 't', 0, 0, 0, 0, 0, 0, 0, 20}, make([]byte, 4)...)
	rest := append([]byte{0, 0, 0, 0, 'm', 'd', 'a', 't'}, make([]byte, 9)...)
	for _, c := range []struct {
		name         string
		data         []byte
		whole, index bool
	}{
		{"index last", bytes.Join([][]byte{box("ftyp", 8), box("mdat", 30), box("moov", 5)}, nil), true, true},
		{"long box length", bytes.Join([][]byte{box("moov", 5), large}, nil), true, true},
		{"last box to the end", bytes.Join([][]byte{box("moov", 5), rest}, nil), true, true},
		{"pictures cut off", append(box("moov", 5), box("mdat", 30)[:20]...), false, true},
		{"no index yet", append(box("ftyp", 8), box("mdat", 30)[:20]...), false, false},
		{"half a box head", append(box("moov", 5), 0, 0, 0), false, true},
		{"long length broken off", append(box("moov", 5), 0, 0, 0, 1, 'm', 'd', 'a', 't', 0, 0), false, true},
		{"length shorter than its head", append(box("moov", 5), 0, 0, 0, 4, 'm', 'd', 'a', 't'), false, true},
	} {
		whole, index := walkBoxes(bytes.NewReader(c.data), int64(len(c.data)))
		if whole != c.whole || index != c.index {
			t.Errorf("%s: whole %v, index %v", c.name, whole, index)
		}
	}
}
