package scene

import (
	"flag"
	"image"
	"image/color"
	"image/png"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"strokereel/overlay"
)

var regen = flag.Bool("regen", false, "rewrite the golden pictures; look at them before committing")

// golden compares a picture with its golden one. Glyphs and curves are
// rasterised with floating point numbers, which processors round differently:
// a pixel may be 6 of 255 off, and one in two thousand more than that.
func golden(t *testing.T, name string, got *image.RGBA) {
	t.Helper()
	path := filepath.Join("testdata", name+"_golden.png")
	if *regen {
		writePNG(t, path, got)
		return
	}
	want, err := readPNG(path)
	if err != nil {
		t.Fatalf("%v (make it with -regen)", err)
	}
	if want.Bounds() != got.Bounds() {
		t.Fatalf("%s is %v, want %v", name, got.Bounds(), want.Bounds())
	}
	diff, off := image.NewGray(got.Rect), 0
	for y := range got.Rect.Dy() {
		for x := range got.Rect.Dx() {
			d := apart(got.RGBAAt(x, y), color.RGBAModel.Convert(want.At(x, y)).(color.RGBA))
			diff.SetGray(x, y, color.Gray{uint8(255 - d)})
			if d > 6 {
				off++
			}
		}
	}
	if off > got.Rect.Dx()*got.Rect.Dy()/2000 {
		fresh := filepath.Join("testdata", name+"_fresh.png")
		writePNG(t, fresh, got)
		writePNG(t, filepath.Join("testdata", name+"_diff_fresh.png"), diff)
		t.Errorf("%s: %d pixels differ from the golden picture; see %s and the difference beside it", name, off, fresh)
	}
}

// apart is the largest difference of two colours' channels.
func apart(a, b color.RGBA) int {
	d := 0
	for _, p := range [3][2]uint8{{a.R, b.R}, {a.G, b.G}, {a.B, b.B}} {
		d = max(d, int(p[0])-int(p[1]), int(p[1])-int(p[0]))
	}
	return d
}

func writePNG(t *testing.T, path string, img image.Image) {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(f, img); err != nil {
		t.Fatal(err)
	}
}

func readPNG(path string) (image.Image, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return png.Decode(f)
}

// plain is a picture of one colour.
func plain(w, h int, c color.RGBA) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for i := 0; i < len(img.Pix); i += 4 {
		img.Pix[i], img.Pix[i+1], img.Pix[i+2], img.Pix[i+3] = c.R, c.G, c.B, 255
	}
	return img
}

// noisy is a picture of blotches of every brightness, the worst a drawing can
// stand on.
func noisy(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	r := rand.New(rand.NewPCG(1, 2))
	const side = 12
	row := make([]color.RGBA, w/side+1)
	for y := range h {
		if y%side == 0 {
			for i := range row {
				v := uint8(r.IntN(8) * 36)
				row[i] = color.RGBA{v, uint8(r.IntN(8) * 36), v / 2, 255}
			}
		}
		for x := range w {
			img.SetRGBA(x, y, row[x/side])
		}
	}
	return img
}

// room is a plain indoor picture: a wall, a mat, and a ball where it lies at
// address.
func room(w, h int) *image.RGBA {
	img := plain(w, h, color.RGBA{0xB9, 0xB4, 0xA6, 255})
	for y := h * 6 / 10; y < h; y++ {
		for x := range w {
			img.SetRGBA(x, y, color.RGBA{0x3C, 0x6B, 0x45, 255})
		}
	}
	return img
}

// canvas begins a canvas on a picture.
func canvas(t testing.TB, img *image.RGBA) *overlay.Canvas {
	t.Helper()
	c, err := overlay.NewCanvas(img.Rect.Dx(), img.Rect.Dy())
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Begin(img); err != nil {
		t.Fatal(err)
	}
	return c
}
