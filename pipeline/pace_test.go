package pipeline

import (
	"bytes"
	"context"
	"encoding/binary"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track"
)

// slower stores a clip at a fraction of its pace, as a phone stores slow motion:
// the same ticks, fewer a second (ISO/IEC 14496-12, 8.2.2 and 8.4.2).
func slower(t *testing.T, file string, times uint32) string {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, box := range []string{"mvhd", "mdhd"} {
		for from := 0; ; {
			at := bytes.Index(data[from:], []byte(box))
			if at < 0 {
				break
			}
			from += at + len(box)
			ticks := data[from+12 : from+16] // after version, flags and two dates of 4 bytes
			binary.BigEndian.PutUint32(ticks, binary.BigEndian.Uint32(ticks)/times)
		}
	}
	out := filepath.Join(t.TempDir(), "slow.mp4")
	if err := os.WriteFile(out, data, 0o644); err != nil {
		t.Fatal(err)
	}
	return out
}

// measuresSlow measures a clip that is stored four times slower than life, told
// so by the sheet, against the truth of life.
func measuresSlow(t *testing.T, file string, want func(*Result)) {
	t.Helper()
	s := settings.Default()
	s.Clip.CaptureRate = 60
	r, err := Measure(context.Background(), slower(t, file, 4), s, nil)
	if err != nil {
		t.Fatal(err)
	}
	keepsToSchema(t, r)
	want(r)
	if r.Report.Clip.CaptureRate != "60/1" {
		t.Errorf("capture rate %q", r.Report.Clip.CaptureRate)
	}
	if !slices.ContainsFunc(r.Report.Warnings, func(w lesson.Warning) bool { return w.Code == clip.SlowMotion }) {
		t.Errorf("slow motion is not said: %v", r.Report.Warnings)
	}
}

func TestSpareClock(t *testing.T) {
	all := func() []track.Measure {
		return []track.Measure{
			{ID: "backstroke_length", Unit: "m", Status: track.Measured}, {ID: "through_to_back", Unit: "1", Status: track.Measured},
			{ID: "lead_wrist_top", Unit: "deg", Status: track.Measured}, {ID: "y_kept", Status: track.Measured},
			{ID: "tempo", Unit: "1", Status: track.Measured}, {ID: "backstroke_time", Unit: "s", Status: track.Measured},
			{ID: "hold_time", Unit: "s", Status: track.AtLeast}, {ID: "ball_speed", Unit: "m/s", Status: track.Measured},
			{ID: "recoil", Unit: "m", Status: track.Measured}, {ID: "roll_distance", Unit: "m", Status: track.Predicted},
			{ID: "still_time", Unit: "s", Status: track.NotMeasured, Reason: "the clip begins too late"},
		}
	}
	const kept = 4 // lengths and angles come first
	ramp := &seen{Warnings: []clip.Warning{{Code: clip.TimeGap, T: 0.4}, {Code: clip.RateChanges, T: 0.7}}}
	got := all()
	spareClock(got, changesOfPace(ramp))
	for i, m := range got {
		switch gone := m.Status == track.NotMeasured; {
		case gone != (i >= kept), gone && m.Reason == "":
			t.Errorf("%s is %s: %q", m.ID, m.Status, m.Reason)
		}
	}
	if last := got[len(got)-1]; last.Reason != "the clip begins too late" {
		t.Errorf("%s lost its own reason: %q", last.ID, last.Reason)
	}
	got = all()
	if spareClock(got, changesOfPace(&seen{Warnings: ramp.Warnings[:1]})); got[kept].Status != track.Measured {
		t.Errorf("a hole in the times took %s away", got[kept].ID)
	}
}
