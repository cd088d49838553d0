package reel

import (
	"bytes"
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/pipeline/clip"
	"strokereel/track"
)

// noise is a picture of random samples.
func noise(w, h int) *track.Frame {
	f := newFrame(w, h, backdrop)
	r := rand.New(rand.NewPCG(1, 2))
	for _, p := range [][]byte{f.Y, f.U, f.V} {
		for i := range p {
			p[i] = byte(16 + r.IntN(220))
		}
	}
	return f
}

func TestPlaceMovedByWholePixels(t *testing.T) {
	src := noise(64, 48)
	dst := newFrame(40, 30, backdrop)
	newResampler(64, 48, clip.SitedLeft, Box{0, 0, 40, 30}, View{Scale: 1, X: -10, Y: -6}, 0).place(dst, src)
	for y := range 30 {
		for x := range 40 {
			if got, want := dst.Y[y*40+x], src.Y[(y+6)*64+x+10]; got != want {
				t.Fatalf("luma (%d, %d) is %d, want %d", x, y, got, want)
			}
		}
	}
	for y := range 15 {
		for x := range 20 {
			if got, want := dst.U[y*20+x], src.U[(y+3)*32+x+5]; got != want {
				t.Fatalf("chroma (%d, %d) is %d, want %d", x, y, got, want)
			}
		}
	}
}

// A picture whose brightness rises evenly rises evenly when scaled, at the
// places the view says, for luma and for chroma of either siting.
func TestPlaceKeepsPositions(t *testing.T) {
	const w, h = 200, 120
	at := func(x, y float64) float64 { return 40 + 0.6*x + 0.5*y } // of edge coordinates
	for _, c := range []struct {
		name   string
		siting clip.Siting
		left   float64 // of the first chroma sample
		view   View
	}{
		{"larger", clip.SitedLeft, 0.5, View{Scale: 1.6, X: -31.3, Y: -20.7}},
		{"smaller, chroma in the middle", clip.SitedCentre, 1, View{Scale: 0.6, X: -2, Y: -1}},
		{"by a hair", clip.SitedLeft, 0.5, View{Scale: 1.0007, X: -20.25, Y: -10.5}},
	} {
		t.Run(c.name, func(t *testing.T) {
			src := newFrame(w, h, backdrop)
			for i := range src.Y {
				src.Y[i] = byte(math.Round(at(float64(i%w)+0.5, float64(i/w)+0.5)))
			}
			for i := range src.U {
				v := at(2*float64(i%(w/2))+c.left, 2*float64(i/(w/2))+1)
				src.U[i], src.V[i] = byte(math.Round(v)), byte(math.Round(255-v))
			}
			const bw, bh = 100, 60
			dst := newFrame(bw, bh, backdrop)
			newResampler(w, h, c.siting, Box{0, 0, bw, bh}, c.view, 0).place(dst, src)
			clipAt := func(x, y float64) (float64, float64) {
				return (x - c.view.X) / c.view.Scale, (y - c.view.Y) / c.view.Scale
			}
			for y := 4; y < bh-4; y++ {
				for x := 4; x < bw-4; x++ {
					want := at(clipAt(float64(x)+0.5, float64(y)+0.5))
					if got := float64(dst.Y[y*bw+x]); math.Abs(got-want) > 1.2 {
						t.Fatalf("luma (%d, %d) is %g, want %.1f", x, y, got, want)
					}
				}
			}
			for y := 4; y < bh/2-4; y++ {
				for x := 4; x < bw/2-4; x++ {
					want := at(clipAt(2*float64(x)+0.5, 2*float64(y)+1))
					if got := float64(dst.U[y*bw/2+x]); math.Abs(got-want) > 1.2 {
						t.Fatalf("chroma (%d, %d) is %g, want %.1f", x, y, got, want)
					}
					if got := float64(dst.V[y*bw/2+x]); math.Abs(got-(255-want)) > 1.2 {
						t.Fatalf("chroma (%d, %d) is %g, want %.1f", x, y, got, 255-want)
					}
				}
			}
		})
	}
}

// Outside the picture the frame stays as it was; a grey picture stays grey to
// its edges.
func TestPlaceLeavesTheRest(t *testing.T) {
	src := newFrame(40, 20, backdrop)
	fill(src.Y, 200)
	dst := newFrame(100, 60, backdrop)
	fill(dst.Y, 50)
	newResampler(40, 20, clip.SitedLeft, Box{10, 10, 80, 40}, View{Scale: 1.5, X: 10, Y: 5}, 0).place(dst, src)
	for y := range 60 {
		for x := range 100 {
			want := byte(50)
			if x >= 20 && x < 80 && y >= 15 && y < 45 {
				want = 200
			}
			if got := dst.Y[y*100+x]; got != want {
				t.Fatalf("(%d, %d) is %d, want %d", x, y, got, want)
			}
		}
	}
}

func BenchmarkPlace(b *testing.B) {
	src := noise(1920, 1080)
	for i := range src.Y { // with as little contrast as a camera's grain has
		src.Y[i] = 60 + src.Y[i]/16
	}
	dst := newFrame(1080, 1920, backdrop)
	r := newResampler(1920, 1080, clip.SitedLeft, Box{0, 0, 1080, 1920}, View{Scale: 1.7, X: -900, Y: 0}, 0)
	for b.Loop() {
		r.place(dst, src)
	}
}

// Samples are what the kernel's formula gives in ordinary numbers, also where it
// goes beyond black and white. Weights are in 1/128, so that a sum of eight may
// be a few levels off.
func TestPlaceComputesTheKernel(t *testing.T) {
	const w, h, tol = 90, 70, 6
	src := newFrame(w, h, backdrop)
	r := rand.New(rand.NewPCG(3, 4))
	for i := range src.Y {
		src.Y[i] = byte(255 * r.IntN(2))
	}
	for _, scale := range []float64{1.7, 1.01, 0.8, 0.4} {
		dst := newFrame(int(w*scale), int(h*scale), backdrop)
		newResampler(w, h, clip.SitedLeft, Box{0, 0, dst.Width, dst.Height}, View{Scale: scale}, 0).place(dst, src)
		for y := range dst.Height {
			for x := range dst.Width {
				want := min(max(weighed(src, (float64(x)+0.5)/scale-0.5, (float64(y)+0.5)/scale-0.5, scale), 0), 255)
				if got := float64(dst.Y[y*dst.Width+x]); math.Abs(got-want) > tol {
					t.Fatalf("scale %g: (%d, %d) is %v, want %.1f", scale, x, y, got, want)
				}
			}
		}
	}
}

// weighed is the luma at a place, rounded between its two directions as samples
// are; both are taken at the nearest sixty-fourth.
func weighed(f *track.Frame, x, y, scale float64) float64 {
	x, y = math.Floor(x*64+0.5)/64, math.Floor(y*64+0.5)/64
	stretch := max(1, 1/scale)
	along := func(at float64, value func(i int) float64) float64 {
		sum, weights := 0.0, 0.0
		for i := int(at - 3*stretch); i <= int(at+3*stretch)+1; i++ {
			k := kernel((float64(i) - at) / stretch)
			sum, weights = sum+k*value(i), weights+k
		}
		return sum / weights
	}
	return along(x, func(i int) float64 {
		return min(max(along(y, func(k int) float64 {
			return float64(f.Y[clampTo(k, f.Height)*f.Width+clampTo(i, f.Width)])
		}), 0), 255)
	})
}

func clampTo(i, size int) int { return min(max(i, 0), size-1) }

// A spot lies where a turned pane says, and nothing from outside the picture is
// shown.
func TestPlaceTurned(t *testing.T) {
	const w, h = 640, 360
	spots := [][2]float64{{100, 60}, {530, 90}, {320, 180}, {90, 300}, {560, 290}}
	src := newFrame(w, h, backdrop)
	for i := range src.Y {
		v := 60.0
		for _, s := range spots {
			v += 150 * math.Exp(-(math.Pow(float64(i%w)-s[0], 2)+math.Pow(float64(i/w)-s[1], 2))/18)
		}
		src.Y[i] = byte(math.Round(v))
	}
	for _, c := range []struct{ scale, deg float64 }{{1, -3.2}, {1.6, -0.6}, {0.7, 1.7}, {1.3, 0}} {
		s := Source{Width: w, Height: h}.turned(c.deg)
		box := Box{0, 0, int(s.size[0] * c.scale), int(s.size[1] * c.scale)}
		p := Pane{Box: box, View: View{Scale: c.scale, X: -0.3, Y: 0.2}, Turn: c.deg}
		dst := newFrame(box.W, box.H, backdrop)
		fill(dst.Y, 60)
		newResampler(w, h, clip.SitedLeft, box, p.View, c.deg).place(dst, src)
		for _, at := range spots {
			x, y := p.Place(s, at[0], at[1])
			x, y = x-0.5, y-0.5 // of the centre of the first pixel
			if gx, gy := lightAt(dst, x, y); math.Hypot(gx-x, gy-y) > 0.12 {
				t.Errorf("%+v: the spot at %v is at (%.2f, %.2f), want (%.2f, %.2f)", c, at, gx, gy, x, y)
			}
		}
		for i, v := range dst.Y {
			if v < 55 {
				t.Fatalf("%+v: (%d, %d) is %d", c, i%box.W, i/box.W, v)
			}
		}
	}
}

// lightAt is the centre of the light around a place.
func lightAt(f *track.Frame, x, y float64) (cx, cy float64) {
	sum := 0.0
	for dy := -12; dy <= 12; dy++ {
		for dx := -12; dx <= 12; dx++ {
			px, py := int(math.Round(x))+dx, int(math.Round(y))+dy
			if w := float64(f.Y[py*f.Width+px]) - 64; w > 0 {
				sum, cx, cy = sum+w, cx+w*float64(px), cy+w*float64(py)
			}
		}
	}
	return cx / sum, cy / sum
}

// What is shown of a part of a picture is what is shown of the whole.
func TestPlaceAPart(t *testing.T) {
	const w, h = 200, 120
	src := noise(w, h)
	for _, view := range []View{{Scale: 1.6, X: -131.3, Y: -40.7}, {Scale: 0.6, X: -30.2, Y: -11.9}, {Scale: 1.1, X: 10, Y: 3.3}} {
		p := Pane{Box: Box{0, 0, 60, 40}, View: view}
		cut := p.part(Source{Width: w, Height: h}).Area
		piece := newFrame(cut.Dx(), cut.Dy(), backdrop)
		for _, pl := range []struct {
			to, from []byte
			tw, fw   int
			by       int
		}{{piece.Y, src.Y, cut.Dx(), w, 1}, {piece.U, src.U, cut.Dx() / 2, w / 2, 2}, {piece.V, src.V, cut.Dx() / 2, w / 2, 2}} {
			for y := range cut.Dy() / pl.by {
				copy(pl.to[y*pl.tw:][:pl.tw], pl.from[(cut.Min.Y/pl.by+y)*pl.fw+cut.Min.X/pl.by:])
			}
		}
		whole, part := newFrame(60, 40, backdrop), newFrame(60, 40, backdrop)
		newResampler(w, h, clip.SitedLeft, p.Box, view, 0).place(whole, src)
		moved := View{Scale: view.Scale, X: view.X + view.Scale*float64(cut.Min.X), Y: view.Y + view.Scale*float64(cut.Min.Y)}
		newResampler(cut.Dx(), cut.Dy(), clip.SitedLeft, p.Box, moved, 0).place(part, piece)
		if !bytes.Equal(whole.Y, part.Y) || !bytes.Equal(whole.U, part.U) || !bytes.Equal(whole.V, part.V) {
			t.Errorf("%+v: a part of %v looks otherwise", view, cut)
		}
	}
}
