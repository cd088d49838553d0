package overlay

import (
	"image/color"
	"math"
	"testing"
)

func rgb(v uint32) color.RGBA { return color.RGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255} }

// Relative luminance of the corners of the sRGB cube follows from the weights
// of the definition (W3C, WCAG 2.1, relative luminance).
func TestLuminance(t *testing.T) {
	for _, v := range []struct {
		c    uint32
		want float64
	}{{0xFFFFFF, 1}, {0, 0}, {0xFF0000, 0.2126}, {0x00FF00, 0.7152}, {0x0000FF, 0.0722}} {
		if got := Luminance(rgb(v.c)); math.Abs(got-v.want) > 1e-6 {
			t.Errorf("luminance of #%06X is %.7f, want %.7f", v.c, got, v.want)
		}
	}
}

// Pairs often quoted beside the definition of contrast ratio (W3C, WCAG 2.1).
func TestContrast(t *testing.T) {
	for _, v := range []struct {
		a, b uint32
		want float64
	}{
		{0, 0xFFFFFF, 21}, {0x777777, 0xFFFFFF, 4.478}, {0x767676, 0xFFFFFF, 4.542}, {0xFF0000, 0xFFFFFF, 3.998},
		{0x0000FF, 0xFFFFFF, 8.592}, {0x0000FF, 0xFF0000, 2.149}, {0x595959, 0xFFFFFF, 7.005}, {0x949494, 0xFFFFFF, 3.033},
		{0xFFFF00, 0, 19.556}, {0xFF0000, 0, 5.252}, {0xFFFFFF, 0x2E7D32, 5.127}, {0xFFFF00, 0x2E7D32, 4.775},
	} {
		for _, got := range []float64{Contrast(rgb(v.a), rgb(v.b)), Contrast(rgb(v.b), rgb(v.a))} {
			if math.Abs(got-v.want) > 1e-3 {
				t.Errorf("contrast of #%06X and #%06X is %.4f, want %.3f", v.a, v.b, got, v.want)
			}
		}
	}
}

// No 8-bit value lies between the two thresholds in use for the straight part
// of the sRGB curve, so both give the same luminance.
func TestThresholdOfTheCurveDoesNotMatter(t *testing.T) {
	for v := range 256 {
		if s := float64(v) / 255; s > 0.03928 && s <= 0.04045 {
			t.Errorf("level %d lies between the thresholds", v)
		}
	}
}

func TestPlatesAndCasingsHoldOnAnyBackground(t *testing.T) {
	for _, under := range []uint32{0, 0xFFFFFF, 0xFF0000, 0x00FF00, 0x0000FF, 0x00FFFF, 0xFF00FF, 0xFFFF00, 0x808080} {
		plate := Over(Ink, PlateOpacity, rgb(under))
		for _, text := range []color.RGBA{Chalk, Mist} {
			if k := Contrast(text, plate); k < TextContrast {
				t.Errorf("text %v on a plate over #%06X has a contrast of %.2f", text, under, k)
			}
			if k := Contrast(text, Slate); k < TextContrast {
				t.Errorf("text %v on a page has a contrast of %.2f", text, k)
			}
		}
		casing := Over(Ink, CasingOpacity, rgb(under))
		for _, line := range []color.RGBA{Chalk, Mist, Sky, Yellow, Purple, Vermilion} {
			if k := Contrast(line, casing); k < GraphicContrast {
				t.Errorf("a line of %v with its casing over #%06X has a contrast of %.2f", line, under, k)
			}
			if k := Contrast(line, plate); k < GraphicContrast {
				t.Errorf("a sign of %v on a plate over #%06X has a contrast of %.2f", line, under, k)
			}
		}
	}
}
