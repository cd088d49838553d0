package explain

import (
	"context"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"strokereel/pipeline"
	"strokereel/pipeline/bench"
	"strokereel/pipeline/demo"
	"strokereel/pipeline/demo/demotest"
	"strokereel/pipeline/settings"
	"strokereel/track"
)

// TestEveryNumberOfAClip films a player with bands and explains all there is.
func TestEveryNumberOfAClip(t *testing.T) {
	if testing.Short() {
		return
	}
	ctx := context.Background()
	spec, err := demo.Case("low-rate", 1)
	if err != nil {
		t.Fatal(err)
	}
	spec.Player.Bands, spec.Player.Cap, spec.Player.LongSleeve = true, true, false
	st := &spec.Strokes[0]
	st.Waggles, st.Onset, st.Pause, st.BackTime, st.DownTime, st.Hold, spec.Duration = nil, 0.7, 0, 0.65, 0.3, 0.3, 3.2
	spec.Video.RateNum, spec.Video.BitRate = spec.Video.RateNum/2, 8e6
	file, truth := demotest.Film(t, spec)
	s := settings.Default()
	s.Sheet.GreenSpeed = 9
	r, err := pipeline.Measure(ctx, file, bench.WithSheet(s, truth), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Report.Strokes) != 1 {
		t.Fatalf("strokes %+v, warnings %v", r.Report.Strokes, r.Report.Warnings)
	}
	if err := r.Report.Strokes[0].AddsUp(); err != nil {
		t.Error(err)
	}
	explained := 0
	for _, name := range Names() {
		e, err := Number(r.Report, 0, name, r.Parts.Putter.Track.Samples)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if e.Why != nil {
			explained++
		} else if e.U95 != nil && e.Status == track.Measured {
			t.Errorf("%s has an interval that is not explained", name)
		}
		if text := e.Text(); !strings.Contains(text, "formula") || strings.Contains(text, "NaN") {
			t.Errorf("%s:\n%s", name, text)
		}
	}
	if explained < 25 {
		t.Errorf("%d numbers are explained, wanted 25 or more", explained)
	}
	draws(t, ctx, r, file)
}

// draws makes the picture of the frames of one number.
func draws(t *testing.T, ctx context.Context, r *pipeline.Result, file string) {
	t.Helper()
	e, err := Number(r.Report, 0, "tempo", r.Parts.Putter.Track.Samples)
	if err != nil {
		t.Fatal(err)
	}
	name, err := Frames(ctx, e, file, r, settings.Default().Clip, filepath.Join(t.TempDir(), "why"))
	if err != nil {
		t.Fatal(err)
	}
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	if b := img.Bounds(); b.Dx() != 3*tileWidth || b.Dy() != 3*tileHeight {
		t.Errorf("the picture is %v, wanted three frames of each of three moments", b)
	}
	// The putter is in the middle of each moment's nearest frame: its cross is yellow.
	for row := range 3 {
		if !yellowNear(img.At, tileWidth+tileWidth/2, row*tileHeight+tileHeight/2) {
			t.Errorf("row %d shows no mark", row+1)
		}
	}
}

// yellowNear looks for the colour of the marks in the middle part of a tile.
func yellowNear(at func(x, y int) color.Color, x, y int) bool {
	for dy := -120; dy <= 120; dy++ {
		for dx := -200; dx <= 200; dx++ {
			r, g, b, _ := at(x+dx, y+dy).RGBA()
			if r>>8 > 200 && g>>8 > 200 && b>>8 < 110 {
				return true
			}
		}
	}
	return false
}
