package lesson

import (
	"encoding/csv"
	"errors"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"strokereel/track"
)

func names(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

func TestWriteFileLeavesNothingOnFailure(t *testing.T) {
	full := errors.New("no space left")
	half := func(w io.Writer) error {
		// More than a buffer holds, so that some of it reaches the disk.
		if _, err := io.WriteString(w, strings.Repeat("half", 1<<16)); err != nil {
			return err
		}
		return full
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "report.json")
	err := WriteFile(path, half)
	if !errors.Is(err, full) || !strings.Contains(err.Error(), `report.json"`) {
		t.Errorf("got %v, want the cause and the file", err)
	}
	if got := names(t, dir); len(got) != 0 {
		t.Errorf("left behind: %v", got)
	}
	if err := os.WriteFile(path, []byte("earlier"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := WriteFile(path, half); !errors.Is(err, full) {
		t.Errorf("got %v", err)
	}
	if data, err := os.ReadFile(path); err != nil || string(data) != "earlier" || len(names(t, dir)) != 1 {
		t.Errorf("the earlier file is %q, %v, beside it %v", data, err, names(t, dir))
	}
}

func TestWriteFileReplaces(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "report.json")
	for _, text := range []string{"a longer first text", "second"} {
		if err := WriteFile(path, func(w io.Writer) error { _, err := io.WriteString(w, text); return err }); err != nil {
			t.Fatal(err)
		}
		if data, err := os.ReadFile(path); err != nil || string(data) != text {
			t.Errorf("read %q, %v, want %q", data, err, text)
		}
	}
	if got := names(t, dir); !reflect.DeepEqual(got, []string{"report.json"}) {
		t.Errorf("in the folder: %v", got)
	}
	if err := WriteFile(filepath.Join(dir, "gone", "report.json"), func(io.Writer) error { return nil }); err == nil {
		t.Error("a folder that is not there was taken")
	}
}

func TestWriteTracks(t *testing.T) {
	putter := Observed{
		Track: track.Track{Object: track.Putter, Samples: []track.Sample{
			{Frame: 0, T: 0, X: 800.12345, Y: 600, U: 0.05, Seen: true},
			{Frame: 1, T: 1 / 60., X: 7, Y: 7, U: 7}, // not seen: the numbers mean nothing
			{Frame: 3, T: 0.05, X: 801, Y: 600.5, U: 0.1, Seen: true}}},
		Path: track.Path{Points: []track.Point{{Frame: 0, X: -0.001, Y: 0.25, Seen: true}, {Frame: 3, X: 9, Y: 9}}},
	}
	ball := Observed{Track: track.Track{Object: track.Ball, Samples: []track.Sample{{Frame: 0, X: 850, Y: 610, U: 0.12, Seen: true}}}}
	var text strings.Builder
	if err := WriteTracks(&text, []Observed{putter, ball}); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(text.String())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := [][]string{
		{"frame", "t_s", "object", "x_px", "y_px", "u_px", "seen", "x_m", "y_m"},
		{"0", "0.000000", "putter", "800.123", "600.000", "0.050", "1", "-0.001000", "0.250000"},
		{"1", "0.016667", "putter", "", "", "", "0", "", ""},
		{"3", "0.050000", "putter", "801.000", "600.500", "0.100", "1", "", ""},
		{"0", "0.000000", "ball", "850.000", "610.000", "0.120", "1", "", ""},
	}
	if !reflect.DeepEqual(rows, want) {
		t.Errorf("got\n%s\nwant %v", text.String(), want)
	}
}

func TestWriteTracksTellsOfFailure(t *testing.T) {
	r, w := io.Pipe()
	r.Close()
	if err := WriteTracks(w, nil); !errors.Is(err, io.ErrClosedPipe) {
		t.Errorf("got %v", err)
	}
}
