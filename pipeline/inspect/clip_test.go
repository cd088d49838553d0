package inspect

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"strokereel/pipeline"
	"strokereel/pipeline/clip"
	"strokereel/pipeline/demo/demotest"
	"strokereel/pipeline/settings"
	"strokereel/track"
)

// TestInspect looks into a short clip.
func TestInspect(t *testing.T) {
	if testing.Short() {
		return
	}
	ctx, s := context.Background(), settings.Default()
	file, truth := demotest.Film(t, demotest.CloseUp(t, "clean"))
	i, err := Look(ctx, pipeline.Reading{File: file}, s)
	if err != nil {
		t.Fatal(err)
	}
	// Listening changes nothing of what is found.
	plain, err := pipeline.Measure(ctx, file, s, nil)
	if err != nil {
		t.Fatal(err)
	}
	plain.Report.Clip.SHA256 = i.Result.Report.Clip.SHA256
	if !reflect.DeepEqual(plain.Report, i.Result.Report) {
		t.Error("the report differs when somebody listens")
	}
	taken := 0
	for _, g := range i.Looks {
		if g.Finder == track.Putter && g.ID == i.Result.Parts.Putter.ID && g.Taken() {
			taken++
		}
	}
	if seen := seen(i.Result.Parts.Putter.Track); taken < seen-1 || seen < len(truth.Frames)*9/10 {
		t.Errorf("%d looks at the putter were taken, it was seen in %d of %d frames", taken, seen, len(truth.Frames))
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "stroke-3-plane.svg"), []byte("of an earlier run"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := i.Save(ctx, s, dir, nil); err != nil {
		t.Fatal(err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	want := []string{"looks.csv", "looks.mp4", "stroke-1-impact.png", "stroke-1-impact.svg", "stroke-1-motion.png", "stroke-1-motion.svg", "stroke-1-plane.png", "stroke-1-plane.svg"}
	if !reflect.DeepEqual(names, want) {
		t.Fatalf("left %v, want %v", names, want)
	}
	filmIsWhole(t, filepath.Join(dir, FilmFile), len(truth.Frames))
	for _, kind := range chartKinds {
		chartIsDrawn(t, filepath.Join(dir, "stroke-1-"+kind))
	}
}

// filmIsWhole reads the film as any clip.
func filmIsWhole(t *testing.T, file string, frames int) {
	t.Helper()
	r, err := clip.Open(context.Background(), file, settings.Default().Clip)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var f track.Frame
	n := 0
	for ; ; n++ {
		if err := r.Next(&f); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	if n != frames || f.Width != side || f.Height != side {
		t.Errorf("the film has %d frames of %dx%d, want %d", n, f.Width, f.Height, frames)
	}
}

// chartIsDrawn checks both forms of a chart: the pictures decode, and neither is
// blank.
func chartIsDrawn(t *testing.T, base string) {
	t.Helper()
	data, err := os.ReadFile(base + ".png")
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	dark := 0
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			if r, g, b, _ := img.At(x, y).RGBA(); r+g+b < 3*0x8000 {
				dark++
			}
		}
	}
	if dark < 2000 {
		t.Errorf("%s.png shows %d dark pixels", base, dark)
	}
	svg, err := os.ReadFile(base + ".svg")
	if err != nil {
		t.Fatal(err)
	}
	paths, d := 0, xml.NewDecoder(bytes.NewReader(svg))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		if e, ok := token.(xml.StartElement); ok && (e.Name.Local == "path" || e.Name.Local == "text") {
			paths++
		}
	}
	if paths < 20 {
		t.Errorf("%s.svg has %d paths and texts", base, paths)
	}
}
