package overlay

import (
	"image/color"
	"math"
	"slices"
	"testing"
)

// Full dichromacy as a matrix on linear RGB, G. M. Machado, M. M. Oliveira and
// L. A. F. Fernandes, IEEE Transactions on Visualization and Computer Graphics
// 15(6), 1291-1298 (2009), table 1 at severity 1.0; coefficients from memory.
var deficiencies = map[string][3][3]float64{
	"none":   {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"protan": {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"deutan": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	"tritan": {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
}

// lab is a colour as an eye with a deficiency sees it, in CIE 1976 L*a*b* with
// the white point D65.
func lab(c color.RGBA, deficiency [3][3]float64) [3]float64 {
	in := [3]float64{linear(c.R), linear(c.G), linear(c.B)}
	var v [3]float64
	for i, row := range deficiency {
		v[i] = math.Min(1, math.Max(0, row[0]*in[0]+row[1]*in[1]+row[2]*in[2]))
	}
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	x := f((0.4124564*v[0] + 0.3575761*v[1] + 0.1804375*v[2]) / 0.95047)
	y := f(0.2126729*v[0] + 0.7151522*v[1] + 0.0721750*v[2])
	z := f((0.0193339*v[0] + 0.1191920*v[1] + 0.9503041*v[2]) / 1.08883)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// A difference of 20 in L*a*b* is told apart without looking for it (common
// practice, no source).
func TestSignsStayApartForColourBlindEyes(t *testing.T) {
	const apart = 20
	roles := []Role{Before, After, Reference, Drill}
	for name, d := range deficiencies {
		for i, a := range roles {
			for _, b := range roles[i+1:] {
				p, q := lab(a.Sign().Colour, d), lab(b.Sign().Colour, d)
				if e := math.Sqrt(math.Pow(p[0]-q[0], 2) + math.Pow(p[1]-q[1], 2) + math.Pow(p[2]-q[2], 2)); e < apart {
					t.Errorf("vision %s: roles %d and %d are only %.1f apart", name, a, b, e)
				}
			}
		}
	}
}

func TestLabOfKnownColours(t *testing.T) {
	// White and the red primary of sRGB under D65, from the definition.
	for _, v := range []struct {
		c    color.RGBA
		want [3]float64
	}{{rgb(0xFFFFFF), [3]float64{100, 0, 0}}, {rgb(0xFF0000), [3]float64{53.24, 80.09, 67.20}}} {
		got := lab(v.c, deficiencies["none"])
		for i := range got {
			if math.Abs(got[i]-v.want[i]) > 0.05 {
				t.Errorf("L*a*b* of %v is %.2f, want %.2f", v.c, got, v.want)
			}
		}
	}
}

// A simulated eye keeps greys grey.
func TestDeficienciesKeepWhite(t *testing.T) {
	for name, d := range deficiencies {
		for _, row := range d {
			if s := row[0] + row[1] + row[2]; math.Abs(s-1) > 2e-6 {
				t.Errorf("%s: a row sums to %.6f, want 1", name, s)
			}
		}
	}
}

func TestSignsDifferInFormToo(t *testing.T) {
	roles := []Role{Plain, Before, After, Reference, Drill}
	for i, a := range roles {
		for _, b := range roles[i+1:] {
			if a.Sign().Shape == b.Sign().Shape {
				t.Errorf("roles %d and %d share a shape", a, b)
			}
			if a != Plain && b != Plain && slices.Equal(a.Sign().Dash, b.Sign().Dash) {
				t.Errorf("roles %d and %d share a dash", a, b)
			}
		}
	}
}
