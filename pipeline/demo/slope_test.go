package demo

import (
	"math"
	"testing"
)

// Round a grey disc on a little darker head everything that tells its place lies
// on its edge. A straight edge seen by square pixels gives, for every pixel of its
// length, between 0.94 and 1 of the squared step between both sides, half of it
// along each axis.
func TestSlopesLieOnTheEdge(t *testing.T) {
	sc := drawn(t, "clean", 1)
	sc.spec.Video.Sharpen = 0
	sc.spec.Putter.StickerRGB, sc.spec.Putter.HeadRGB = rgb{0.45, 0.45, 0.45}, rgb{0.30, 0.30, 0.30}
	s := sc.spec
	looked := 0
	err := Slopes(s, 1000, func(frame int, luma, _ []Slope) {
		looked++
		at := sc.stamps()[frame]
		f := newStudio(sc).film()
		r := sc.view.scale(sc.marker(at)) * s.Putter.StickerSize / 2
		p := sc.view.project(sc.marker(at))
		g := newGlimpse(p, r+slopeRim, sc.view.width, sc.view.height)
		f.code(at, g.take)
		w := g.planes[0]
		mean := func(lo, hi float64) float64 {
			sum, n := 0.0, 0.0
			for i, v := range w.level {
				// The head is hardly higher than the sticker: to its sides.
				dx, dy := float64(w.x+i%w.w)-p.x, float64(w.y+i/w.w)-p.y
				if d := math.Hypot(dx, dy); d >= lo && d < hi && math.Abs(dy) < r/2 {
					sum, n = sum+v, n+1
				}
			}
			return sum / n
		}
		step := mean(0, r-1) - mean(r+0.8, r+1.8)
		var right, down float64
		for _, s := range luma {
			right, down = right+s.Right*s.Right, down+s.Down*s.Down
		}
		want := step * step * math.Pi * r
		within(t, "what the edge tells to the right", right/want, 0.88, 1.04)
		within(t, "what the edge tells down", down/want, 0.88, 1.04)
	})
	if err != nil || looked == 0 {
		t.Fatalf("%d frames were looked at: %v", looked, err)
	}
}

// The noise that goes into a bound is the noise that is in the pictures.
func TestSlopesKnowTheNoise(t *testing.T) {
	sc := drawn(t, "clean", 2)
	sc.spec.Video.Sharpen = 0
	at := sc.stamps()[0]
	f := newStudio(sc).film()
	g := newGlimpse(sc.view.project(sc.marker(at)), 20, sc.view.width, sc.view.height)
	f.code(at, g.take)
	w, h := sc.view.width, sc.view.height
	out := make([]byte, frameBytes(w, h))
	var square, expected [3]float64
	for n := range 30 {
		f.shoot(n, at, out)
		for p, part := range g.planes {
			wide, plane := w, out
			if p > 0 {
				wide, plane = w/2, out[w*h+(p-1)*w*h/4:]
			}
			for i, level := range part.level {
				d := float64(plane[(part.y+i/part.w)*wide+part.x+i%part.w]) - level
				square[p] += d * d
				expected[p] += part.noise[i]*part.noise[i] + 1.0/12
			}
		}
	}
	for p, name := range []string{"luma", "blue", "red"} {
		within(t, "noise of "+name, math.Sqrt(square[p]/expected[p]), 0.95, 1.05)
	}
}

func TestBareFramesAreTheClipsFrames(t *testing.T) {
	args := func(v Video) map[string]bool {
		out := map[string]bool{}
		for _, a := range encoderArgs(v, 64, 48, nil, "", "x.mp4") {
			out[a] = true
		}
		return out
	}
	v := Video{RateNum: 60, RateDen: 1, BitRate: 20e6}
	coded := args(v)
	v.Lossless = true
	bare := args(v)
	if coded["-qp"] || !coded["-b:v"] || !bare["-qp"] || bare["-b:v"] {
		t.Errorf("coded %v, bare %v", coded, bare)
	}
}
