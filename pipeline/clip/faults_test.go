package clip_test

import (
	"context"
	"errors"
	"io"
	"math"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/clip/cliptest"
	"strokereel/track"
)

// TestFaults reads one clip of every known fault.
func TestFaults(t *testing.T) {
	dir := t.TempDir()
	all, err := cliptest.Make(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range all {
		t.Run(f.Name, func(t *testing.T) {
			t.Parallel()
			ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
			defer cancel()
			frames, last, warnings, err := readAll(ctx, filepath.Join(dir, f.File), f.Rate)
			var no *clip.Refusal
			if errors.As(err, &no) {
				if no.Code != f.Refused || no.Text == "" || no.Hint == "" {
					t.Errorf("refused as %q, want %q: %v", no.Code, f.Refused, no)
				}
				return
			}
			if err != nil || f.Refused != "" {
				t.Fatalf("not refused as %q: %v", f.Refused, err)
			}
			if f.Frames > 0 && frames != f.Frames {
				t.Errorf("%d frames, want %d", frames, f.Frames)
			}
			if f.Last > 0 && math.Abs(last-f.Last) > 2e-5 { // times are stored in ticks of 1/90000 s or finer
				t.Errorf("the last frame is at %.5f s, want %.5f", last, f.Last)
			}
			for _, code := range f.Warnings {
				if !slices.Contains(warnings, code) {
					t.Errorf("warnings %v, %s is missing", warnings, code)
				}
			}
			for _, code := range warnings {
				if f.Clean && code != clip.ColourGuess {
					t.Errorf("warned of %s", code)
				}
			}
		})
	}
}

// readAll reads a clip to its end and checks that its clock rises.
func readAll(ctx context.Context, path string, rate float64) (frames int, last float64, warnings []string, err error) {
	o := clip.DefaultOptions()
	o.CaptureRate = rate
	r, err := clip.Open(ctx, path, o)
	if err != nil {
		return 0, 0, nil, err
	}
	defer r.Close()
	var f track.Frame
	for {
		switch err := r.Next(&f); {
		case err == io.EOF:
			found, err := r.Close()
			for _, w := range found {
				warnings = append(warnings, w.Code)
			}
			return frames, last, warnings, err
		case err != nil:
			return 0, 0, nil, err
		case frames > 0 && f.T <= last:
			return 0, 0, nil, errors.New("the clock stands or goes back")
		}
		frames, last = frames+1, f.T
	}
}
