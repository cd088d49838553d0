package lesson

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"strokereel/track"
)

// twoObjects are a putter that is lost for a frame and a ball without metres.
func twoObjects() []Observed {
	return []Observed{
		{
			Track: track.Track{Object: track.Putter, Samples: []track.Sample{
				{Frame: 0, T: 0, X: 100.5, Y: 200.25, U: 0.125, Seen: true}, {Frame: 1, T: 0.0167}, {Frame: 2, T: 0.0334, X: 90, Y: 201, U: 0.2, Seen: true}}},
			Path: track.Path{Object: track.Putter, Points: []track.Point{{Frame: 0, Seen: true}, {Frame: 2, T: 0.0334, X: -0.021, Y: 0.0015, Seen: true}}},
		},
		{Track: track.Track{Object: track.Ball, Samples: []track.Sample{{Frame: 1, T: 0.0167, X: 130, Y: 200, U: 0.1, Seen: true}}}, Path: track.Path{Object: track.Ball}},
	}
}

func TestReadTracks(t *testing.T) {
	var b bytes.Buffer
	want := twoObjects()
	if err := WriteTracks(&b, want); err != nil {
		t.Fatal(err)
	}
	got, err := ReadTracks(&b)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("read back\n%+v\nwant\n%+v", got, want)
	}
}

func TestReadTracksRefuses(t *testing.T) {
	const head = "frame,t_s,object,x_px,y_px,u_px,seen,x_m,y_m\n"
	for _, c := range []struct{ name, in, want string }{
		{"nothing", "", "EOF"},
		{"other columns", "frame,t_s\n", "wrong number of fields"},
		{"renamed column", strings.Replace(head, "t_s", "t", 1), "columns"},
		{"a frame twice", head + "3,0.1,putter,,,,0,,\n3,0.2,putter,,,,0,,\n", "line 3: frame 3 of \"putter\" does not come after frame 3"},
		{"time standing still", head + "3,0.1,putter,,,,0,,\n4,0.1,putter,,,,0,,\n", "does not come after"},
		{"no number", head + "3,0.1,putter,a,2,3,1,,\n", "line 2: x_px"},
		{"no finite number", head + "3,0.1,putter,1,Inf,3,1,,\n", "y_px"},
		{"seen is a word", head + "3,0.1,putter,1,2,3,yes,,\n", "seen: must be 0 or 1"},
		{"half a place in metres", head + "3,0.1,putter,1,2,3,1,0.1,\n", "y_m"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := ReadTracks(strings.NewReader(c.in)); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

func TestReadFindings(t *testing.T) {
	dir := t.TempDir()
	r := Report{Schema: ReportSchema, Clip: Clip{File: "before.mp4", Width: 1920, Height: 1080}}
	data, err := r.Marshal()
	if err != nil {
		t.Fatal(err)
	}
	var tracks bytes.Buffer
	if err := WriteTracks(&tracks, twoObjects()); err != nil {
		t.Fatal(err)
	}
	for name, content := range map[string][]byte{reportFile: data, trackFile: tracks.Bytes()} {
		if err := os.WriteFile(filepath.Join(dir, name), content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	f, err := ReadFindings(dir, "clips/before.mp4")
	if err != nil {
		t.Fatal(err)
	}
	if f.File != "clips/before.mp4" || f.Report.Clip.Width != 1920 || len(Of(f.Observed, track.Ball).Track.Samples) != 1 || len(f.Smooth) != 0 {
		t.Errorf("read %+v", f)
	}
	if err := os.WriteFile(filepath.Join(dir, reportFile), []byte(`{"schema":"strokereel/clip-report/9"}`), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := ReadFindings(dir, "x"); err == nil || !strings.Contains(err.Error(), "measure the clip again") {
		t.Errorf("a report of another version gave %v", err)
	}
}

func TestStrokeReadsBackWhatWasComputed(t *testing.T) {
	for _, m := range []track.Measure{
		{ID: "a", Value: 0.25, Unit: "m", U95: 0.01, Status: track.Measured, How: "x"},
		{ID: "b", Value: 3, Unit: "s", U95: 0.5, Status: track.AtLeast, Reason: "the clip ended"},
		{ID: "c", Value: 2, Lo95: 1, Hi95: 4, Unit: "m", Status: track.Predicted},
		{ID: "d", Word: "yes", Status: track.Measured},
		{ID: "e", Unit: "m", Status: track.NotMeasured, Reason: "no ball"},
	} {
		s := Stroke{Measures: map[string]Measure{m.ID: MeasureOf(m)}}
		if got := s.Measure(m.ID); got != m {
			t.Errorf("read %+v, want %+v", got, m)
		}
	}
	if m := (Stroke{}).Measure("x"); m.Status != track.NotMeasured || m.Reason == "" {
		t.Errorf("a measure that is not there gave %+v", m)
	}
	e := track.Event{Name: track.Top, T: 1.5, U: 0.01, Status: track.Measured}
	s := Stroke{Events: map[string]Event{track.Top: EventOf(e)}}
	if got := s.Event(track.Top); got.T != 1.5 || got.U < 0.0099 || got.U > 0.0101 || !got.Known() {
		t.Errorf("read %+v", got)
	}
	if s.Event(track.Impact).Known() {
		t.Error("an event that is not there is known")
	}
}

func FuzzReadTracks(f *testing.F) {
	var b bytes.Buffer
	if err := WriteTracks(&b, twoObjects()); err != nil {
		f.Fatal(err)
	}
	f.Add(b.String())
	f.Add("frame,t_s,object,x_px,y_px,u_px,seen,x_m,y_m\n1,1e300,\"a\nb\",1,2,3,1,,\n")
	f.Fuzz(func(t *testing.T, in string) {
		got, err := ReadTracks(strings.NewReader(in))
		if err != nil {
			return
		}
		for _, o := range got {
			for i, s := range o.Track.Samples {
				if i > 0 && (s.Frame <= o.Track.Samples[i-1].Frame || s.T <= o.Track.Samples[i-1].T) {
					t.Errorf("%q: sample %d does not come after the one before", o.Track.Object, i)
				}
				if v := s.T + s.X + s.Y + s.U; s.Seen && v != v {
					t.Errorf("%q: sample %d is no number", o.Track.Object, i)
				}
			}
		}
	})
}

func FuzzReadReport(f *testing.F) {
	f.Add(`{"schema":"strokereel/clip-report/1","strokes":[{"kind":"putt","events":{"top":{"t_s":1,"u95_s":0.1,"status":"measured"}}}]}`)
	f.Add(`{"schema":"strokereel/clip-report/1","strokes":[{"measures":{"tempo":{"value":null,"status":"measured"}}}]}`)
	f.Fuzz(func(t *testing.T, in string) {
		r, err := ReadReport(strings.NewReader(in))
		if err != nil {
			return
		}
		for _, s := range r.Strokes {
			for id, m := range s.Measures {
				if got := s.Measure(id); m.Value == nil && m.Word == "" && got.Status == track.Measured {
					t.Errorf("%q has no value and counts as measured", id)
				}
			}
			for name, e := range s.Events {
				if s.Event(name).Known() && e.TS == nil {
					t.Errorf("%q has no time and counts as known", name)
				}
			}
		}
	})
}
