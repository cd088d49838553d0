package demo

import (
	"math"
	"testing"
)

// developed codes an even picture and returns the mean and the deviation of its
// luma and of one colour difference, levels.
func developed(v Video, light rgb) (mean, deviation [2]float64) {
	const w, h = 256, 128
	s := newSensor(v, 7)
	p, whole := newPatch(w, h), wholeSpans(w, h)
	for i := range p.pix {
		p.pix[i] = light
	}
	c := newCoded(w, h)
	s.expose(p, &whole, lighting{gain: 1}, c, newDarkroom(w, h))
	out := make([]byte, frameBytes(w, h))
	s.develop(c, &whole, out, newGrains(3, 5, w))
	for i, plane := range [][]byte{out[:w*h], out[w*h : w*h*5/4]} {
		var sum, square float64
		for _, b := range plane {
			sum, square = sum+float64(b), square+float64(b)*float64(b)
		}
		n := float64(len(plane))
		mean[i] = sum / n
		deviation[i] = math.Sqrt(square/n - mean[i]*mean[i])
	}
	return mean, deviation
}

// Luma is a weighted sum of three channels with equal independent noise; the
// weights are those of ITU-R BT.709. Rounding to whole levels adds 1/12.
func TestNoiseIsAsAsked(t *testing.T) {
	for _, noise := range []float64{0.008, 0.015, 0.05} {
		mean, deviation := developed(Video{Gain: 1, Noise: noise}, rgb{0.18, 0.18, 0.18})
		code := 1.099*math.Pow(0.18, 0.45) - 0.099
		want := 219 * noise * math.Sqrt(0.2126*0.2126+0.7152*0.7152+0.0722*0.0722)
		within(t, "luma of mid grey", mean[0], 16+219*code-0.3, 16+219*code+0.3)
		within(t, "its deviation", deviation[0], 0.96*want, 1.04*math.Sqrt(want*want+1.0/12))
		within(t, "colour difference of grey", mean[1], 127.9, 128.1)
		// Four pixels are averaged: the noise of B'-Y', halved.
		blue := 224 * noise / 2 * math.Sqrt(0.2126*0.2126+0.7152*0.7152+0.9278*0.9278) / 1.8556
		within(t, "deviation of the colour difference", deviation[1], 0.94*blue, 1.06*math.Sqrt(blue*blue+1.0/12))
	}
}

func TestSharpeningRaisesLumaNoiseOnly(t *testing.T) {
	_, plain := developed(Video{Gain: 1, Noise: 0.03}, rgb{0.18, 0.18, 0.18})
	_, sharp := developed(Video{Gain: 1, Noise: 0.03, Sharpen: 0.6}, rgb{0.18, 0.18, 0.18})
	// Of the unsharp mask's weights the centre is 1 + k(1 - 36/256); the others are
	// -k times those of the blur, whose squares sum to (70/256)^2.
	k, centre, squares := 0.6, 36.0/256, math.Pow(70.0/256, 2)
	want := math.Sqrt(1 + 2*k*(1-centre) + k*k*(1-2*centre+squares))
	within(t, "luma noise with sharpening", sharp[0]/plain[0], 0.96*want, 1.04*want)
	within(t, "chroma noise with sharpening", sharp[1]/plain[1], 0.97, 1.03)
}

// Noise that reaches beyond the codes is cut, and its neighbours are unharmed.
func TestNoiseAtTheEndsOfTheRange(t *testing.T) {
	for _, light := range []rgb{{0, 0, 0}, {1, 1, 1}} {
		mean, deviation := developed(Video{Gain: 1, Noise: 0.05}, light)
		want := 16.0
		if light[0] == 1 {
			want = 235
		}
		within(t, "mean at the end", mean[0], want-8, want+8)
		within(t, "deviation at the end", deviation[0], 0.5, 30)
		within(t, "colour difference at the end", mean[1], 127, 129)
	}
}

// A sum of four lanes with negative noise gives the same samples as lane by lane.
func TestFourAtOnceIsOneByOne(t *testing.T) {
	for _, n := range [][4]int64{{-80, 80, -1, 0}, {1, -2, 3, -4}, {-80, -80, -80, -80}, {79, 0, -79, 5}} {
		p := newPlane(4, 1)
		levels := [4]float32{100, 60.5, 200.25, 90}
		for i := range levels {
			levels[i] *= cleanUnit
		}
		p.set(0, levels, 2)
		if p.dev[0]&mayClip != 0 {
			t.Fatal("samples in mid range are said to clip")
		}
		tile := make([]uint64, tileRows*tileQuads)
		tile[0] = packNoise(n)
		var fast, slow [4]byte
		p.lay(tile, fast[:], 0, 0, 1, [2]int{})
		p.dev[0] |= mayClip
		p.lay(tile, slow[:], 0, 0, 1, [2]int{})
		dev := float64(p.dev[0] &^ mayClip)
		for i := range fast {
			want := byte(math.Floor(float64(levels[i])/256 + dev*float64(n[i])/256 + 0.5))
			if fast[i] != want || slow[i] != want {
				t.Errorf("noise %v: sample %d is %d at once, %d alone, want %d", n, i, fast[i], slow[i], want)
			}
		}
	}
}
