package clip

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"strokereel/track"
)

// film runs ffmpeg and returns the path of the clip it wrote.
func film(t testing.TB, name string, args ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	ffmpegRun(t, append(args, "file:"+path)...)
	return path
}

func ffmpegRun(t testing.TB, args ...string) {
	t.Helper()
	cmd := exec.Command("ffmpeg", append([]string{"-v", "error", "-nostdin", "-y"}, args...)...)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("ffmpeg %s: %v\n%s", strings.Join(args, " "), err, out)
	}
}

// lavfi splits the usual beginning of a command: one generated source.
func lavfi(source string, rest ...string) []string {
	return append([]string{"-f", "lavfi", "-i", source}, rest...)
}

var x264 = []string{"-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p"}

func join(parts ...[]string) []string {
	var all []string
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

// read returns the times of all frames and copies of the first and last one.
func read(t testing.TB, path string) (times []float64, first, last track.Frame, warnings []Warning) {
	t.Helper()
	r, err := Open(context.Background(), path, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	var f track.Frame
	for {
		err := r.Next(&f)
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if f.Index != len(times) {
			t.Fatalf("frame %d has index %d", len(times), f.Index)
		}
		times = append(times, f.T)
		last = copyFrame(f)
		if f.Index == 0 {
			first = last
		}
	}
	warnings, err = r.Close()
	if err != nil {
		t.Fatal(err)
	}
	return times, first, last, warnings
}

func copyFrame(f track.Frame) track.Frame {
	f.Y, f.U, f.V = bytes.Clone(f.Y), bytes.Clone(f.U), bytes.Clone(f.V)
	return f
}

// shown asks ffprobe for the times of all frames: another program's decoding.
func shown(t testing.TB, path string) []float64 {
	t.Helper()
	out, err := exec.Command("ffprobe", "-v", "quiet", "-select_streams", "V:0", "-show_frames",
		"-show_entries", "frame=best_effort_timestamp_time", "-of", "json", "file:"+path).Output()
	if err != nil {
		t.Fatal(err)
	}
	var p struct {
		Frames []struct {
			T string `json:"best_effort_timestamp_time"`
		} `json:"frames"`
	}
	if err := json.Unmarshal(out, &p); err != nil {
		t.Fatal(err)
	}
	var times []float64
	for _, f := range p.Frames {
		v, err := strconv.ParseFloat(f.T, 64)
		if err != nil {
			t.Fatal(err)
		}
		times = append(times, v)
	}
	return times
}

// sameTimes compares our times with ffprobe's, both counted from the first.
func sameTimes(t *testing.T, got, want []float64) {
	t.Helper()
	if len(got) != len(want) || len(got) == 0 {
		t.Fatalf("%d frames, ffprobe shows %d", len(got), len(want))
	}
	for k := range got {
		if d := got[k] - (want[k] - want[0]); math.Abs(d) > 2e-6 { // ffprobe prints microseconds
			t.Fatalf("frame %d at %.6f s, ffprobe says %.6f", k, got[k], want[k]-want[0])
		}
	}
}

// refusal returns the refusal Open gives.
func refusal(t *testing.T, path string) *Refusal {
	t.Helper()
	r, err := Open(context.Background(), path, DefaultOptions())
	if err == nil {
		_, _ = r.Close()
		t.Fatalf("%q was admitted", path)
	}
	var refused *Refusal
	if !errors.As(err, &refused) {
		t.Fatalf("%q gave no refusal but: %v", path, err)
	}
	return refused
}

func write(t testing.TB, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// hasWarning reports whether a warning of this code is there.
func hasWarning(ws []Warning, code string) bool {
	for _, w := range ws {
		if w.Code == code {
			return true
		}
	}
	return false
}

// mean returns the mean of a plane's rectangle.
func mean(plane []byte, stride, x0, y0, x1, y1 int) float64 {
	sum := 0
	for y := y0; y < y1; y++ {
		for x := x0; x < x1; x++ {
			sum += int(plane[y*stride+x])
		}
	}
	return float64(sum) / float64((x1-x0)*(y1-y0))
}
