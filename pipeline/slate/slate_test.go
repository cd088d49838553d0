package slate

import (
	"bytes"
	"context"
	"image"
	"image/png"
	"strings"
	"testing"

	qrcode "github.com/piglig/go-qr"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/sheet"
	"strokereel/track"
	"strokereel/track/qr"
)

func TestParse(t *testing.T) {
	for _, s := range []Slate{{"S-014", sheet.Before}, {"S-014", ""}, {"a:b", sheet.Practice}, {"Ä 7", sheet.Reference}} {
		if got, ok := Parse(s.Text()); !ok || got != s {
			t.Errorf("%q gives %+v, %v", s.Text(), got, ok)
		}
	}
	for _, text := range []string{"", "SR:", "SR::BEFORE", "SR:S-014", "S-014:BEFORE", "https://club.example/?SR:S-014:", "SR:S-014:MIDDLE", "SR:a\nb:", "SR:" + strings.Repeat("x", 41) + ":"} {
		if s, ok := Parse(text); ok {
			t.Errorf("%q was taken as %+v", text, s)
		}
	}
}

func FuzzParse(f *testing.F) {
	f.Add("SR:S-014:BEFORE")
	f.Add("SR:a:b:")
	f.Fuzz(func(t *testing.T, text string) {
		s, ok := Parse(text)
		if !ok {
			return
		}
		if again, ok := Parse(s.Text()); !ok || again != s {
			t.Errorf("%q gives %+v, whose text gives %+v", text, s, again)
		}
	})
}

// ways are how coaches hold a card: a little turned, leaning, out of focus, in
// the shade.
var ways = []held{
	{blur: 0.6, light: 0.9, noise: 2},
	{turn: 5, lean: 10, blur: 0.7, light: 0.7, noise: 3},
	{turn: -8, lean: 20, blur: 0.7, light: 0.5, noise: 3},
	{turn: 12, lean: -15, blur: 0.8, light: 0.8, noise: 4},
	{blur: 1.0, light: 0.9, noise: 2},
}

// TestReach shows cards to the detector at the distances that are promised.
func TestReach(t *testing.T) {
	reader, err := qr.New()
	if err != nil {
		t.Fatal(err)
	}
	defer reader.Close()
	s := Slate{"S-014", sheet.Before}
	for _, c := range []struct {
		on       string
		distance float64
	}{{"a4", Usual}, {"a4", reach(t, s, "a4")}, {"a5", reach(t, s, "a5")}, {"a4", 1}} {
		for k, h := range ways {
			h.slate, h.on, h.distance = s, c.on, c.distance
			at := []image.Point{{960, 420}, {701, 503}}[k%2]
			img := h.picture(t, at)
			if got := reader.Read(&track.Frame{Width: img.Rect.Dx(), Height: img.Rect.Dy(), Y: img.Pix}); got != s.Text() {
				t.Errorf("%s at %.2f m, way %d at %v: read %q", c.on, c.distance, k, at, got)
			}
		}
	}
}

func reach(t *testing.T, s Slate, on string) float64 {
	t.Helper()
	r, err := s.Reach(on)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestRead reads cards in coded clips of 1080p.
func TestRead(t *testing.T) {
	ctx := context.Background()
	s := Slate{"S-014", sheet.After}
	h := ways[1]
	h.slate, h.on, h.distance = s, "a4", Usual
	img := h.picture(t, image.Pt(701, 503))
	if got, ok, err := Read(ctx, film(t, img), clip.DefaultOptions(), 5); err != nil || !ok || got != s {
		t.Errorf("got %+v, %v, %v", got, ok, err)
	}
	f, err := room()
	if err != nil {
		t.Fatal(err)
	}
	bare := &image.Gray{Pix: f.Y, Stride: f.Width, Rect: image.Rect(0, 0, f.Width, f.Height)}
	if got, ok, err := Read(ctx, film(t, bare), clip.DefaultOptions(), 5); err != nil || ok {
		t.Errorf("without a card: got %+v, %v, %v", got, ok, err)
	}
	if got, ok, err := Read(ctx, film(t, foreign(t)), clip.DefaultOptions(), 5); err != nil || ok {
		t.Errorf("a poster's code: got %+v, %v, %v", got, ok, err)
	}
	if _, _, err := Read(ctx, t.TempDir(), clip.DefaultOptions(), 5); err == nil {
		t.Error("a folder was read")
	}
}

// foreign is the picture of a code that is not ours.
func foreign(t *testing.T) *image.Gray {
	t.Helper()
	q, err := qrcode.EncodeText("https://club.example/winter", qrcode.Medium)
	if err != nil {
		t.Fatal(err)
	}
	img := image.NewGray(image.Rect(0, 0, 640, 480))
	for k := range img.Pix {
		img.Pix[k] = 200
	}
	for y := range 10 * q.Size() {
		for x := range 10 * q.Size() {
			if q.Module(x/10, y/10) {
				img.Pix[(y+80)*img.Stride+x+150] = 30
			}
		}
	}
	reader, err := qr.New()
	if err != nil {
		t.Fatal(err)
	}
	defer reader.Close()
	if got := reader.Read(&track.Frame{Width: 640, Height: 480, Y: img.Pix}); got != "https://club.example/winter" {
		t.Fatalf("the poster itself cannot be read: %q: this test would prove nothing", got)
	}
	return img
}

func TestCards(t *testing.T) {
	s := Slate{"S-014", sheet.Before}
	if err := s.Check("a4", Usual); err != nil {
		t.Error(err)
	}
	for _, c := range []struct {
		slate    Slate
		on       string
		distance float64
		want     string
	}{
		{s, "a5", Usual, "can be read up to 2.9 m only, not at 3 m"},
		{Slate{strings.Repeat("ä", 40), sheet.Reference}, "a4", Usual, "take larger paper"},
		{s, "a3", 1, `paper must be one of a4, a5, a6 (got "a3")`},
	} {
		if err := c.slate.PDF(new(bytes.Buffer), c.on, c.distance); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s on %s: got %v, want %q", c.slate, c.on, err, c.want)
		}
	}
	var pdf, picture bytes.Buffer
	if err := s.PDF(&pdf, "a4", Usual); err != nil || !bytes.HasPrefix(pdf.Bytes(), []byte("%PDF-")) || !bytes.Contains(pdf.Bytes(), []byte("/MediaBox [0 0 595.28 841.89]")) {
		t.Errorf("no page of A4: %v", err)
	}
	if err := s.PNG(&picture, "a4", Usual); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&picture)
	if err != nil || img.Bounds() != image.Rect(0, 0, 2480, 3508) { // A4 at 300 dots per inch
		t.Errorf("got %v, %v", img.Bounds(), err)
	}
}

// A picture of any size and content shows no code, and ends nothing.
func TestStrangePictures(t *testing.T) {
	reader, err := qr.New()
	if err != nil {
		t.Fatal(err)
	}
	defer reader.Close()
	for _, size := range []image.Point{{1, 1}, {16, 16}, {7, 900}, {3000, 3}, {0, 0}} {
		for seed := range byte(3) {
			y := make([]byte, size.X*size.Y)
			for k := range y {
				y[k] = byte(k*k>>seed) ^ byte(k/7)
			}
			if got := reader.Read(&track.Frame{Width: size.X, Height: size.Y, Y: y}); got != "" {
				t.Errorf("%v gives %q", size, got)
			}
		}
	}
	if got := reader.Read(&track.Frame{Width: 100, Height: 100, Y: make([]byte, 5)}); got != "" {
		t.Errorf("a picture cut short gives %q", got)
	}
}
