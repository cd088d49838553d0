package reel

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"math"
	"testing"

	"strokereel/overlay"
	"strokereel/pipeline/clip"
	"strokereel/track"
)

// box draws a rectangle of a colour at an opacity, as overlay blends.
func box(c color.NRGBA, r image.Rectangle) func(*image.RGBA) error {
	return func(img *image.RGBA) error {
		draw.Draw(img, r, image.NewUniform(c), image.Point{}, draw.Over)
		return nil
	}
}

// Blending in planes gives what blending in red, green and blue would.
func TestLayerBlends(t *testing.T) {
	for _, c := range []struct {
		name string
		ink  color.NRGBA
	}{
		{"opaque", color.NRGBA{0x56, 0xB4, 0xE9, 255}},
		{"a plate", color.NRGBA{0x10, 0x17, 0x1F, 219}},
		{"faint", color.NRGBA{0xF0, 0xE4, 0x42, 60}},
		{"white", color.NRGBA{255, 255, 255, 128}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := newFrame(32, 16, color.RGBA{180, 60, 90, 255})
			under := clip.ToRGBA(nil, f, clip.SitedLeft).RGBAAt(10, 10)
			l := newLayer(Box{0, 0, 32, 16})
			if err := l.draw(box(c.ink, image.Rect(4, 4, 20, 12))); err != nil {
				t.Fatal(err)
			}
			l.over(f)
			got := clip.ToRGBA(nil, f, clip.SitedLeft)
			mix := func(a, b uint8) float64 {
				k := float64(c.ink.A) / 255
				return k*float64(a) + (1-k)*float64(b)
			}
			want := [3]float64{mix(c.ink.R, under.R), mix(c.ink.G, under.G), mix(c.ink.B, under.B)}
			p := got.RGBAAt(10, 8)
			for i, v := range [3]uint8{p.R, p.G, p.B} {
				if math.Abs(float64(v)-want[i]) > 3 {
					t.Errorf("blended %v, want %.0f", p, want)
					break
				}
			}
			if q := got.RGBAAt(28, 2); q != under {
				t.Errorf("beside the drawing %v, was %v", q, under)
			}
		})
	}
}

func TestLayerForgets(t *testing.T) {
	l := newLayer(Box{0, 0, 32, 16})
	for _, r := range []image.Rectangle{image.Rect(0, 0, 32, 16), image.Rect(2, 2, 5, 5)} {
		if err := l.draw(box(color.NRGBA{200, 10, 10, 255}, r)); err != nil {
			t.Fatal(err)
		}
	}
	f := noise(32, 16)
	was := append([]byte(nil), f.Y...)
	l.over(f)
	for i := range f.Y {
		x, y := i%32, i/32
		if drawn := x >= 2 && x < 5 && y >= 2 && y < 5; drawn == (f.Y[i] == was[i]) && was[i] != f.Y[2*32+2] {
			t.Fatalf("pixel (%d, %d) was %d and is %d", x, y, was[i], f.Y[i])
		}
	}
	if err := l.draw(func(*image.RGBA) error { return nil }); err != nil {
		t.Fatal(err)
	}
	g := noise(32, 16)
	l.over(g)
	if !bytes.Equal(g.Y, noise(32, 16).Y) || !bytes.Equal(g.U, noise(32, 16).U) {
		t.Error("an empty layer changes the picture")
	}
}

// A drawing laid over a picture looks as if it had been drawn on the picture:
// here on a grey one, whose luma follows from red, green and blue alike.
func TestLayerShowsWhatIsDrawn(t *testing.T) {
	p := planOf(t, lessonOf(usual().measured(), second().measured()), Wide, DefaultOptions())
	found := findings([]Clip{usual().measured(), second().measured()})
	grey := color.RGBA{120, 120, 120, 255}
	for _, seg := range p.Segments {
		for _, pane := range seg.Panes {
			a, err := newArtist(seg, pane, p.Sources, found)
			if err != nil {
				t.Fatal(err)
			}
			m := moment{frame: 190, t: 3.3}
			l, f := newLayer(pane.Box), newFrame(p.Width, p.Height, grey)
			if err := l.draw(func(img *image.RGBA) error { return a.draw(img, m) }); err != nil {
				t.Fatal(err)
			}
			l.over(f)
			direct := image.NewRGBA(image.Rect(0, 0, p.Width, p.Height))
			draw.Draw(direct, direct.Rect, image.NewUniform(grey), image.Point{}, draw.Src)
			b := pane.Box
			if err := a.draw(direct.SubImage(image.Rect(b.X, b.Y, b.X+b.W, b.Y+b.H)).(*image.RGBA), m); err != nil {
				t.Fatal(err)
			}
			drawn := 0
			for i, got := range f.Y {
				q := direct.Pix[4*i : 4*i+4]
				want := 16 + (0.2126*float64(q[0])+0.7152*float64(q[1])+0.0722*float64(q[2]))*219/255
				if math.Abs(float64(got)-want) > 3 {
					t.Fatalf("%s: the luma of (%d, %d) is %d, want %.0f", seg.Kind, i%p.Width, i/p.Width, got, want)
				}
				if q[0] != grey.R {
					drawn++
				}
			}
			if drawn < 1000 {
				t.Errorf("%s: only %d px are drawn", seg.Kind, drawn)
			}
		}
	}
}

// Every sample under every opacity comes out as exact division says.
func TestBlendRounds(t *testing.T) {
	l, f := newLayer(Box{0, 0, 512, 256}), newFrame(512, 256, backdrop)
	if err := l.draw(box(color.NRGBA{1, 2, 3, 255}, image.Rect(0, 0, 512, 256))); err != nil {
		t.Fatal(err)
	}
	for i := range f.Y { // through by column, sample by row
		l.through[i], l.luma[i], f.Y[i] = uint8(i%512), 0, uint8(i/512)
	}
	for i := range f.U {
		l.chromaT[i], l.cb[i], l.cr[i] = uint8(i%256), int16(i%7-3), int16(500*(i%3-1))
		f.U[i], f.V[i] = uint8(i/256), uint8(128+i/256)
	}
	l.over(f)
	for i, got := range f.Y {
		if want := math.Round(float64(i/512) * float64(i%512&255) / 255); float64(got) != want {
			t.Fatalf("luma %d through %d gives %d, want %g", i/512, i%512&255, got, want)
		}
	}
	for i := range f.U {
		for _, p := range []struct {
			under, light int
			got          uint8
		}{{i / 256, i%7 - 3, f.U[i]}, {128 + i/256, 500 * (i%3 - 1), f.V[i]}} {
			want := 128 + float64(p.light) + math.Round(float64((p.under-128)*(i%256))/255)
			if float64(p.got) != min(max(want, 0), 255) {
				t.Fatalf("chroma %d through %d under light %d gives %d, want %g", p.under, i%256, p.light, p.got, want)
			}
		}
	}
}

func TestPaint(t *testing.T) {
	for _, c := range []color.RGBA{overlay.Slate, {255, 255, 255, 255}, {0, 0, 0, 255}, {255, 0, 0, 255}, {0, 0, 255, 255}} {
		got := clip.ToRGBA(nil, newFrame(8, 8, c), clip.SitedLeft).RGBAAt(3, 3)
		for i, d := range [3]int{int(got.R) - int(c.R), int(got.G) - int(c.G), int(got.B) - int(c.B)} {
			if d < -2 || d > 2 {
				t.Errorf("colour %v is shown as %v (channel %d)", c, got, i)
			}
		}
	}
}

func BenchmarkLayer(b *testing.B) {
	p, err := Make(lessonOf(usual().measured(), second().measured()), lessonOf(usual().measured(), second().measured()).Compare(), Wide, DefaultOptions())
	if err != nil {
		b.Fatal(err)
	}
	seg := p.Segments[2]
	a, err := newArtist(seg, seg.Panes[0], p.Sources, findings([]Clip{usual().measured(), second().measured()}))
	if err != nil {
		b.Fatal(err)
	}
	l, f := newLayer(seg.Panes[0].Box), &track.Frame{}
	*f = *newFrame(p.Width, p.Height, backdrop)
	for b.Loop() {
		if err := l.draw(func(img *image.RGBA) error { return a.draw(img, moment{frame: 190, t: 3.3}) }); err != nil {
			b.Fatal(err)
		}
		l.over(f)
	}
}
