package reel

import (
	"bytes"
	"encoding/binary"
	"math"
	"reflect"
	"strings"
	"testing"

	"strokereel/track/sound"
)

func TestEncodeArgs(t *testing.T) {
	got := encodeArgs(Plan{Width: 1920, Height: 1080, Rate: 60}, 20, parts{"c", "v"}, "o.mp4")
	want := strings.Fields("-nostdin -hide_banner -nostats -loglevel error" +
		" -f matroska -probesize 32 -color_range tv -colorspace bt709 -thread_queue_size 2 -i pipe:0" +
		" -f s16le -ar 48000 -ac 2 -i pipe:3 -f ffmetadata -i file:c -f webvtt -i file:v" +
		" -map 0:v -map 1:a -map 3:s -map_chapters 2 -vf fps=60" +
		" -c:v libx264 -preset veryfast -profile:v high -level:v 4.2 -pix_fmt yuv420p -g 120 -flags +cgop -threads 3 -x264-params rc-lookahead=5:sync-lookahead=2" +
		" -colorspace bt709 -color_primaries bt709 -color_trc bt709 -color_range tv" +
		" -c:a aac -b:a 128k -ar 48000 -ac 2 -c:s mov_text -map_metadata:g -1 -movflags +faststart" +
		" -crf 20 -metadata:s:s:0 language=eng -f mp4 -y file:o.mp4")
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

// The first step writes no film and no sound; both steps aim at one rate.
func TestSendArgs(t *testing.T) {
	first := strings.Join(sendArgs("in.mp4", "out.mp4", "log", 1, 900000), " ")
	second := strings.Join(sendArgs("in.mp4", "out.mp4", "log", 2, 900000), " ")
	for _, c := range []struct {
		name, args string
		has, lacks []string
	}{
		{"first", first, []string{"-pass 1", "-b:v 900000", "-an", "-f null", "/dev/null"}, []string{"out.mp4", "aac"}},
		{"second", second, []string{"-pass 2", "-b:v 900000", "-c:a aac", "-c:s mov_text", "+faststart", "-map_metadata:g -1", "file:out.mp4"}, []string{"-an", "null"}},
	} {
		for _, want := range c.has {
			if !strings.Contains(c.args, want) {
				t.Errorf("the %s step lacks %q: %s", c.name, want, c.args)
			}
		}
		for _, not := range c.lacks {
			if strings.Contains(c.args, not) {
				t.Errorf("the %s step has %q: %s", c.name, not, c.args)
			}
		}
	}
}

func TestCaptionsAndChapters(t *testing.T) {
	p := Plan{Rate: 60, Segments: []Segment{
		{Chapter: "a=b; #1 \\", Start: 0, Frames: 100, Texts: []Caption{{0, 100, "1 < 2 & 3"}}},
		{Chapter: "Äpfel", Start: 100, Frames: 220000},
		{Chapter: "z", Start: 220100, Frames: 1, Texts: []Caption{{220100, 1, "end"}}},
	}}
	var b bytes.Buffer
	if err := writeCaptions(&b, p); err != nil {
		t.Fatal(err)
	}
	if want := "WEBVTT\n\n00:00:00.000 --> 00:00:01.667\n1 &lt; 2 &amp; 3\n\n01:01:08.333 --> 01:01:08.350\nend\n"; b.String() != want {
		t.Errorf("captions %q, want %q", b.String(), want)
	}
	b.Reset()
	if err := writeChapters(&b, p); err != nil {
		t.Fatal(err)
	}
	want := ";FFMETADATA1\n[CHAPTER]\nTIMEBASE=1/60\nSTART=0\nEND=100\ntitle=a\\=b\\; \\#1 \\\\\n"
	if !strings.HasPrefix(b.String(), want) || !strings.Contains(b.String(), "START=100\nEND=220100\ntitle=Äpfel\n") {
		t.Errorf("chapters %q", b.String())
	}
}

// A click comes to lie at its time, is as loud as allowed, and what is further
// away is silent.
func TestSpeak(t *testing.T) {
	for _, c := range []struct {
		name string
		loud float32
		want float64
	}{{"a faint click is raised, but not without bound", 0.01, 0.04}, {"a click", 0.3, 0.5}, {"a loud click is lowered", 1, 0.5}} {
		t.Run(c.name, func(t *testing.T) {
			from := sound.Samples{Rate: 48000, T0: -0.1, PCM: make([]float32, 5*48000)}
			from.PCM[int(math.Round(2.6*48000))] = c.loud // at 2.5 s of the clip
			from.PCM[int(math.Round(1.1*48000))] = 1      // at 1 s: someone talks
			s := Sound{FromS: 2.1, ToS: 2.9, AtS: 7}
			var b bytes.Buffer
			if err := speak(&b, Plan{Sounds: []Sound{s}, LengthS: 10}, [][]float32{piece(from, s)}); err != nil {
				t.Fatal(err)
			}
			if b.Len() != 4*10*48000 {
				t.Fatalf("%d bytes for ten seconds", b.Len())
			}
			for i := range 10 * 48000 {
				v := float64(int16(binary.LittleEndian.Uint16(b.Bytes()[4*i:]))) / math.MaxInt16
				if i == int(math.Round(7.4*48000)) {
					if math.Abs(v-c.want) > 1.0/math.MaxInt16 {
						t.Errorf("the click is %g loud, want %g", v, c.want)
					}
				} else if v != 0 {
					t.Fatalf("sound %g at %g s", v, float64(i)/48000)
				}
			}
		})
	}
	beyond := piece(sound.Samples{Rate: 48000, PCM: []float32{1, 1, 1}}, Sound{FromS: -1, ToS: 1})
	if len(beyond) != 2*48000 || beyond[47999] != 0 || beyond[48000] == 0 || beyond[48003] != 0 {
		t.Errorf("%d samples of a clip of three, %v around its beginning", len(beyond), beyond[47998:48005])
	}
}

func TestWriteSound(t *testing.T) {
	var b bytes.Buffer
	if err := writeSound(&b, []float32{0, 1, -1, 2}); err != nil {
		t.Fatal(err)
	}
	if want := []byte{0, 0, 0, 0, 0xff, 0x7f, 0xff, 0x7f, 0x01, 0x80, 0x01, 0x80, 0xff, 0x7f, 0xff, 0x7f}; !bytes.Equal(b.Bytes(), want) {
		t.Errorf("wrote % x", b.Bytes())
	}
	b.Reset()
	if err := writeSound(&b, make([]float32, 100000)); err != nil || b.Len() != 400000 {
		t.Errorf("wrote %d bytes, %v", b.Len(), err)
	}
}
