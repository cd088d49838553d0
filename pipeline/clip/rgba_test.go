package clip

import (
	"image"
	"math"
	"testing"

	"strokereel/track"
)

// code returns the BT.709 limited-range code of a colour, from ITU-R BT.709-6.
func code(r, g, b float64) (y, u, v float64) {
	l := 0.2126*r + 0.7152*g + 0.0722*b
	return 16 + 219*l, 128 + 224*(b-l)/1.8556, 128 + 224*(r-l)/1.5748
}

func flat(w, h int, y, u, v byte) *track.Frame {
	f := &track.Frame{Width: w, Height: h}
	cw, ch := f.ChromaSize()
	f.Y, f.U, f.V = make([]byte, w*h), make([]byte, cw*ch), make([]byte, cw*ch)
	for k := range f.Y {
		f.Y[k] = y
	}
	for k := range f.U {
		f.U[k], f.V[k] = u, v
	}
	return f
}

func TestToRGBAFlatColours(t *testing.T) {
	for _, c := range [][3]float64{{0, 0, 0}, {1, 1, 1}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {0.5, 0.5, 0.5}, {0.8, 0.3, 0.1}, {0.2, 0.7, 0.9}} {
		y, u, v := code(c[0], c[1], c[2])
		for _, siting := range []Siting{SitedLeft, SitedCentre} {
			m := ToRGBA(nil, flat(7, 5, byte(math.Round(y)), byte(math.Round(u)), byte(math.Round(v))), siting)
			if m.Rect != image.Rect(0, 0, 7, 5) {
				t.Fatalf("size %v", m.Rect)
			}
			for _, at := range []image.Point{{0, 0}, {3, 2}, {6, 4}} {
				p := m.RGBAAt(at.X, at.Y)
				for k, got := range []byte{p.R, p.G, p.B} {
					if d := float64(got) - 255*c[k]; math.Abs(d) > 2 { // half a code of each plane
						t.Errorf("%v at %v: %v", c, at, p)
					}
				}
			}
		}
	}
}

// A chroma ramp that is linear in the picture must come back linear, with each
// sample at the place its siting says: an error of a quarter pixel would show
// as a constant offset.
func TestToRGBAChromaSiting(t *testing.T) {
	const w, h = 64, 8
	for _, c := range []struct {
		siting Siting
		shift  float64 // px from pixel 2k to chroma sample k
	}{{SitedLeft, 0}, {SitedCentre, 0.5}} {
		f := flat(w, h, 126, 128, 128)
		for k := range f.V {
			f.V[k] = byte(math.Round(64 + 2*(2*float64(k%(w/2))+c.shift))) // V = 64 + 2x
		}
		m := ToRGBA(nil, f, c.siting)
		var sum float64
		for x := 4; x < w-4; x++ {
			want := 255*(126-16)/219.0 + 1.5748*255/224*(64+2*float64(x)-128)
			sum += float64(m.RGBAAt(x, 4).R) - math.Min(math.Max(want, 0), 255)
		}
		if off := sum / (w - 8); math.Abs(off) > 0.6 {
			t.Errorf("siting %v: red is off by %.2f on average", c.siting, off)
		}
	}
}

func TestToRGBAReusesThePicture(t *testing.T) {
	f := flat(8, 8, 100, 128, 128)
	m := ToRGBA(nil, f, SitedLeft)
	if ToRGBA(m, f, SitedLeft) != m {
		t.Error("a picture of the right size was thrown away")
	}
	if n := testing.AllocsPerRun(10, func() { ToRGBA(m, f, SitedLeft) }); n > 3 { // three rows of chroma
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkToRGBA1080p(b *testing.B) {
	f := flat(1920, 1080, 100, 110, 140)
	var m *image.RGBA
	for b.Loop() {
		m = ToRGBA(m, f, SitedLeft)
	}
}
