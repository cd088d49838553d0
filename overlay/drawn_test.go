package overlay

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"
)

// background is a random picture: blotches of any colour, from fine to coarse.
func background(r *rand.Rand, w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	side := 1 + r.IntN(40)
	for y := 0; y < h; y += side {
		for x := 0; x < w; x += side {
			c := color.RGBA{uint8(r.IntN(256)), uint8(r.IntN(256)), uint8(r.IntN(256)), 255}
			if r.IntN(3) == 0 {
				c = rgb([]uint32{0, 0xFFFFFF, 0xFFFF00, 0x00FFFF}[r.IntN(4)])
			}
			for j := y; j < min(y+side, h); j++ {
				for i := x; i < min(x+side, w); i++ {
					img.SetRGBA(i, j, c)
				}
			}
		}
	}
	return img
}

func begin(t testing.TB, img *image.RGBA) *Canvas {
	t.Helper()
	c, err := NewCanvas(img.Rect.Dx(), img.Rect.Dy())
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Begin(img); err != nil {
		t.Fatal(err)
	}
	return c
}

// Text is measured on the picture: the brightest pixel of its strokes against
// the brightest of the plate around it, which is the worst pair.
func TestTextContrastOnDrawnPixels(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for trial := range 60 {
		img := background(r, 320, 180)
		c := begin(t, img)
		row := Quiet("IIIII")
		b := Box{100, 60, 240, 110}
		c.Plate(b)
		at := Point{120, 70}
		c.Write(at, row)
		var plate, text float64
		for y := int(b.Y0) + 6; y < int(b.Y1)-6; y++ {
			for x := int(b.X0) + 6; x < int(b.X1)-6; x++ {
				l := Luminance(img.RGBAAt(x, y))
				if inside := float64(x) > at.X-2 && float64(x) < at.X+c.Width(row)+2; inside {
					text = math.Max(text, l)
				} else {
					plate = math.Max(plate, l)
				}
			}
		}
		if k := (text + 0.05) / (plate + 0.05); k < TextContrast {
			t.Fatalf("trial %d: text has a contrast of %.2f", trial, k)
		}
	}
}

// A line is measured across: the middle of it against the middle of its casing.
func TestLineContrastOnDrawnPixels(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	for trial := range 60 {
		img := background(r, 320, 1080)
		c, err := NewCanvas(320, 1080)
		if err != nil {
			t.Fatal(err)
		}
		if err := c.Begin(img); err != nil {
			t.Fatal(err)
		}
		l := DefaultLine()
		l.Width, l.Casing = 0.03, 0.015 // 9.6 px and 4.8 px, so that each has whole pixels
		l.Colour = []color.RGBA{Chalk, Mist, Sky, Yellow, Purple, Vermilion}[r.IntN(6)]
		c.Stroke(l, Point{10, 100.5}, Point{310, 100.5})
		for x := 20; x < 300; x += 7 {
			core := img.RGBAAt(x, 100)
			for _, y := range []int{100 - 7, 100 + 7} {
				if k := Contrast(core, img.RGBAAt(x, y)); k < GraphicContrast {
					t.Fatalf("trial %d: a line of %v has a contrast of %.2f", trial, l.Colour, k)
				}
			}
		}
	}
}

func TestDrawingStaysInsideAPartOfAPicture(t *testing.T) {
	whole := background(rand.New(rand.NewPCG(9, 9)), 400, 300)
	before := append([]uint8(nil), whole.Pix...)
	part := image.Rect(100, 50, 300, 200)
	c, err := NewCanvas(part.Dx(), part.Dy())
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Begin(whole.SubImage(part).(*image.RGBA)); err != nil {
		t.Fatal(err)
	}
	c.Stroke(DefaultLine(), Point{-500, -500}, Point{700, 700})
	c.Plate(Box{-50, 100, 500, 400})
	c.Write(Point{-20, 110}, Say("a text that is longer than the part is wide"))
	c.Mark(Point{200, 0}, Ring, 0.1, DefaultLine())
	c.Fill(Box{150, -40, 160, 600}, Chalk)
	changed := 0
	for y := range 300 {
		for x := range 400 {
			i := whole.PixOffset(x, y)
			if string(whole.Pix[i:i+4]) == string(before[i:i+4]) {
				continue
			}
			changed++
			if !image.Pt(x, y).In(part) {
				t.Fatalf("the pixel %d,%d outside the part was changed", x, y)
			}
		}
	}
	if changed == 0 {
		t.Fatal("nothing was drawn")
	}
}

func TestLineSurvivesPointsThatAreNoNumbers(t *testing.T) {
	img := image.NewRGBA(image.Rect(0, 0, 100, 100))
	c := begin(t, img)
	c.Stroke(DefaultLine(), Point{10, 50}, Point{40, 50}, Point{math.NaN(), 50}, Point{1e12, 50}, Point{60, 50}, Point{90, 50})
	c.Mark(Point{math.Inf(1), 0}, Disc, 0.1, DefaultLine())
	if img.RGBAAt(25, 50).A == 0 || img.RGBAAt(75, 50).A == 0 {
		t.Error("the usable pieces of the line were not drawn")
	}
	if img.RGBAAt(50, 50).A != 0 {
		t.Error("the line was drawn across the gap")
	}
}

func TestCanvasRefusesOtherSizes(t *testing.T) {
	c, err := NewCanvas(100, 80)
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Begin(image.NewRGBA(image.Rect(0, 0, 80, 100))); err == nil {
		t.Error("a picture of another size was taken")
	}
	if _, err := NewCanvas(0, 80); err == nil {
		t.Error("a canvas without width was made")
	}
}

func TestTextKeepsItsWidthWhenDigitsChange(t *testing.T) {
	c := begin(t, image.NewRGBA(image.Rect(0, 0, 320, 180)))
	want := c.Width(Say("0.0 s"))
	for _, text := range []string{"1.1 s", "7.4 s", "8.8 s"} {
		if got := c.Width(Say(text)); math.Abs(got-want) > 0.1 {
			t.Errorf("%q is %.2f px wide, %q is %.2f", text, got, "0.0 s", want)
		}
	}
}

// Every sign that numbers and words need exists in the typeface: a missing one
// is drawn as the same box as any other missing one.
func TestTypefaceHasTheSigns(t *testing.T) {
	face, err := newTypeface()
	if err != nil {
		t.Fatal(err)
	}
	for w, f := range face.fonts {
		for _, r := range "±−–°×…→äéñ" {
			if i, err := f.GlyphIndex(nil, r); err != nil || i == 0 {
				t.Errorf("weight %d has no %q", w, r)
			}
		}
	}
}
