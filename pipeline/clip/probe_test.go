package clip

import (
	"context"
	"math"
	"strings"
	"testing"
	"time"
)

func TestProbe(t *testing.T) {
	path := film(t, "a.mp4", join(lavfi("testsrc2=s=96x64:r=60000/1001:d=1"), []string{"-f", "lavfi", "-i", "sine=d=1"}, x264,
		[]string{"-c:a", "aac", "-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709", "-color_range", "tv", "-metadata", "creation_time=2031-02-03T04:05:06Z"})...)
	i, err := Probe(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	if i.Path != path || i.Width != 96 || i.Height != 64 || i.Codec != "h264" || i.PixelFormat != "yuv420p" || i.Bits != 8 {
		t.Errorf("picture: %+v", i)
	}
	if i.AverageRate != (Rate{60000, 1001}) || i.BaseRate != (Rate{60000, 1001}) || i.Frames != 60 || math.Abs(i.Duration-1.001) > 1e-6 {
		t.Errorf("rates %v %v, %d frames, %v s", i.AverageRate, i.BaseRate, i.Frames, i.Duration)
	}
	if i.Matrix != "bt709" || i.Range != "tv" || i.Siting != "left" || i.HDR() || i.Interlaced {
		t.Errorf("colour: %+v", i)
	}
	if i.AudioStreams != 1 || i.RecordedFrom != "container" || !i.Recorded.Equal(time.Date(2031, 2, 3, 4, 5, 6, 0, time.UTC)) {
		t.Errorf("%d sounds, recorded %v from %q", i.AudioStreams, i.Recorded, i.RecordedFrom)
	}
	if len(i.Warnings) != 0 {
		t.Errorf("warnings on a clean clip: %v", i.Warnings)
	}
}

func TestSlowMotionTag(t *testing.T) {
	path := film(t, "a.mp4", join(lavfi(small), x264, []string{"-movflags", "use_metadata_tags", "-metadata", "com.android.capture.fps=240.000000"})...)
	i, err := Probe(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	if i.CaptureRate != 240 || i.StorageStretch() != 8 {
		t.Errorf("captured at %v, stretch %v", i.CaptureRate, i.StorageStretch())
	}
	times, _, _, ws := read(t, path)
	if got := times[len(times)-1]; math.Abs(got-29./240) > 1e-9 || !hasWarning(ws, SlowMotion) {
		t.Errorf("the last frame is at %.5f s; warnings %v", got, ws)
	}
}

// Headers as ffprobe prints them for files that cannot be made here.
func TestParseProbe(t *testing.T) {
	const stream = `{"streams":[{"codec_type":"video","codec_name":"hevc","width":1920,"height":1080,"pix_fmt":"yuv420p10le",
		"sample_aspect_ratio":"1:1","r_frame_rate":"240/1","avg_frame_rate":"160/3","field_order":"progressive"%s}],"format":{%s}}`
	parse := func(inStream, inFormat string) Info {
		t.Helper()
		i, err := parseProbe([]byte(strings.Replace(strings.Replace(stream, "%s", inStream, 1), "%s", inFormat, 1)))
		if err != nil {
			t.Fatal(err)
		}
		return i
	}
	i := parse(`,"side_data_list":[{"side_data_type":"Display Matrix","rotation":-90}]`,
		`"tags":{"com.apple.quicktime.creationdate":"2031-02-03T04:05:06+0100","creation_time":"2031-03-01T00:00:00Z"}`)
	if i.Rotation != 90 || i.Width != 1080 || i.Height != 1920 {
		t.Errorf("turn %d, %dx%d", i.Rotation, i.Width, i.Height)
	}
	if i.RecordedFrom != "phone" || i.Recorded.UTC().Hour() != 3 {
		t.Errorf("recorded %v from %q: the phone's own time wins over the editor's", i.Recorded, i.RecordedFrom)
	}
	if !hasWarning(i.Warnings, UnevenRate) || !hasWarning(i.Warnings, ColourGuess) {
		t.Errorf("warnings %v", i.Warnings)
	}
	if i := parse(`,"color_space":"unknown"`, `"tags":{"creation_time":"1904-01-01T00:00:00Z"}`); !i.Recorded.IsZero() || i.Matrix != "" {
		t.Errorf("recorded %v, matrix %q", i.Recorded, i.Matrix)
	}
	if i := parse(`,"side_data_list":[{"rotation":90}]`, ``); i.Rotation != 270 {
		t.Errorf("turn %d, want 270", i.Rotation)
	}
}

func TestRate(t *testing.T) {
	if r := (Rate{60000, 1001}); r.String() != "60000/1001" || math.Abs(r.Float()-59.94006) > 1e-5 {
		t.Errorf("%v is %v", r, r.Float())
	}
	if (Rate{}).Float() != 0 {
		t.Error("an unknown rate must be 0")
	}
}

func FuzzParseProbe(f *testing.F) {
	f.Add([]byte(`{"streams":[{"codec_type":"video","codec_name":"h264","width":96,"height":64,"sample_aspect_ratio":"4:3","avg_frame_rate":"30/1","side_data_list":[{"rotation":-90}]}],"format":{"duration":"1.0"}}`))
	f.Add([]byte(`{"streams":[{"codec_type":"video","codec_name":"h264","width":1,"height":9,"sample_aspect_ratio":"1:1000000","side_data_list":[{"rotation":1e300}]}]}`))
	f.Add([]byte(`{"streams":null}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		i, err := parseProbe(data)
		if err != nil {
			return
		}
		if i.Width <= 0 || i.Height <= 0 || i.Rotation%90 != 0 || i.Rotation < 0 || i.Rotation > 270 || i.Duration < 0 || i.Frames < 0 {
			t.Errorf("%+v", i)
		}
		if _, _, all := planes(i.Width, i.Height); all <= 0 || all > 1<<40 {
			t.Errorf("%d bytes per picture", all)
		}
	})
}
