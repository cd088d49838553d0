package clip

import (
	"strings"
	"testing"
)

func TestStamps(t *testing.T) {
	var s stamps
	const head = "[Parsed_showinfo_0 @ 0x55f0] "
	for _, c := range []struct {
		name, line string
		want       stamp
		ok         bool
	}{
		{"time base", head + "config in time_base: 1/90000, frame_rate: 30/1", stamp{}, false},
		{"frame", head + "n:   7 pts:  45001 pts_time:0.500011 pos:  1234 fmt:yuv420p sar:1/1 s:320x240 i:P iskey:1 type:I ", stamp{7, 45001.0 / 90000, true, true, 320, 240}, true},
		{"before zero", head + "n:   0 pts:  -9000 pts_time:-0.1 pos: 48 fmt:yuv420p sar:1/1 s:8x4 i:P iskey:1 type:I ", stamp{0, -0.1, true, true, 8, 4}, true},
		{"no time", head + "n:   3 pts: NOPTS pts_time:NOPTS pos:  1 fmt:gray sar:0/1 s:8x4 i:P iskey:1 type:I ", stamp{3, 0, false, true, 8, 4}, true},
		{"a second graph", head + "config in time_base: 1/10, frame_rate: 30/1", stamp{}, false},
		{"counts on", head + "n:   0 pts:  6 pts_time:0.6 pos: 1 fmt:gray sar:0/1 s:8x4 i:P iskey:0 type:P ", stamp{4, 0.6, true, false, 8, 4}, true},
		{"colour line", head + "color_range:tv color_space:bt709 color_primaries:bt709 color_trc:bt709", stamp{}, false},
		{"side data", head + "  side data - User Data Unregistered:", stamp{}, false},
		{"a title that looks like a frame", "    title           : n:   7 pts:  4 pts_time:0.5 s:320x240", stamp{}, false},
		{"broken off", head + "n:   8 pts:  45001 pts_time:0.5", stamp{}, false},
		{"absurd size", head + "n:   8 pts:  1 pts_time:0.5 fmt:x s:99999999x4 ", stamp{}, false},
	} {
		if got, ok := s.read(c.line); ok != c.ok || got != c.want {
			t.Errorf("%s: %+v %v", c.name, got, ok)
		}
	}
}

func FuzzStamps(f *testing.F) {
	f.Add("[Parsed_showinfo_0 @ 0x1] n:   0 pts:      0 pts_time:0 pos: 48 fmt:yuv420p sar:1/1 s:320x240 i:P iskey:1 type:I ")
	f.Add("[Parsed_showinfo_0 @ 0x1] config in time_base: 1/15360, frame_rate: 30/1")
	f.Add("[Parsed_showinfo_0 @ 0x1] config in time_base: ")
	f.Fuzz(func(t *testing.T, line string) {
		s := stamps{base: Rate{1, 90000}}
		got, ok := s.read(line)
		if ok && (!strings.HasPrefix(line, showinfo) || got.index < 0 || got.width <= 0 || got.height <= 0) {
			t.Errorf("%+v from %q", got, line)
		}
		if s.base.Float() < 0 || s.before < 0 {
			t.Errorf("%+v from %q", s, line)
		}
	})
}

func TestSeverity(t *testing.T) {
	for _, c := range []struct{ line, level, text string }{
		{"[h264 @ 0x5] [error] error while decoding MB 3 4", "error", "[h264 @ 0x5] error while decoding MB 3 4"},
		{"[warning] corrupt input packet", "warning", "corrupt input packet"},
		{"  Duration: 00:00:01.00", "", "  Duration: 00:00:01.00"},
	} {
		if level, text := severity(c.line); level != c.level || text != c.text {
			t.Errorf("%q: %q, %q", c.line, level, text)
		}
	}
}
