package marker

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"strokereel/track"
)

// A head hardly higher than its sticker stands before a light wall and a dark floor, at
// more of it above the sticker than below: that draws the sticker's place aside, by the
// same in every frame. In a picture without a codec the place is known without that, and
// as well as the noise allows, at rest and in motion.
func TestHeadHardlyHigherThanItsSticker(t *testing.T) {
	const frames, share = 90, 0.3
	place := func(i float64) (x, y float64) {
		k := (1 - math.Cos(math.Pi*clamp((i-30)/30, 0, 1))) / 2
		return 260.3 + 160*k, 250.6 - 7*k
	}
	for _, c := range []struct {
		left    bool
		sticker rgb
		most    float64 // px rms
	}{{true, rgb{190, 43, 3}, 0.015}, {false, rgb{190, 43, 3}, 0.015}, {false, rgb{1, 6, 60}, 0.009}} { // dark blue: luma tells most
		left := c.left
		rng := rand.New(rand.NewPCG(31, 37))
		tr := New(DefaultOptions(), w, h)
		room := paint(w, h, rgb{8, 26, 8})
		room.light = true
		room.rect(0, 0, w, 200, rgb{150, 146, 138})
		for k := 0.0; k < 8; k++ {
			room.rect(20.4+97.3*k, 300, 52.7+97.3*k, 420, rgb{150 - 9*k, 40 + 20*k, 90})
		}
		room.code(left)
		for i := range frames {
			x, y := place(float64(i))
			ax, ay := place(float64(i) - 0.5)
			bx, by := place(float64(i) + 0.5)
			p := room.copy()
			p.rect(x-40, y-12, x+40, y-7.4, rgb{170, 172, 175}) // its upper side
			p.rect(x-40, y-7.4, x+40, y+5.8, rgb{98, 100, 102})
			p.disc(x, y, 5.4, share*(bx-ax), share*(by-ay), c.sticker)
			tr.Next(p.frame(i, float64(i)/60, left, 1.6, rng))
		}
		spots := tr.Spots()
		if len(spots) == 0 {
			t.Fatal("the sticker was not found")
		}
		var mx, my, worst float64
		samples := tr.Track(spots[0], "putter").Samples
		for _, s := range samples {
			if !s.Seen {
				t.Fatalf("left %v: frame %d not seen", left, s.Frame)
			}
			x, y := place(float64(s.Frame))
			dx, dy := s.X-x, s.Y-y
			mx, my = mx+dx/frames, my+dy/frames
			worst = math.Max(worst, math.Hypot(dx, dy)/s.U)
		}
		if math.Hypot(mx, my) > 0.012 {
			t.Errorf("left %v: on average off by %.3f, %.3f px", left, mx, my)
		}
		var sum float64
		for _, s := range samples {
			x, y := place(float64(s.Frame))
			sum += (math.Pow(s.X-x, 2) + math.Pow(s.Y-y, 2)) / 2 / frames
		}
		if rms := math.Sqrt(sum); rms > c.most {
			t.Errorf("sticker %v, left %v: %.4f px rms", c.sticker, left, rms)
		}
		if worst > 6 {
			t.Errorf("left %v: %.1f times its uncertainty off", left, worst)
		}
	}
}

// What is kept of a spot may show nothing, or nothing but noise: no place then moves far
// or stops being a number, also where the middle of a disc lies on the middle of a pixel.
func TestInlayOfNoPicture(t *testing.T) {
	for _, levels := range [][2]int{{0, 255}, {16, 16}, {0, 1}, {254, 255}} {
		rng := rand.New(rand.NewPCG(41, 43))
		plane := func(n int) []byte {
			out := make([]byte, n)
			for k := range out {
				out[k] = byte(levels[0] + rng.IntN(levels[1]-levels[0]+1))
			}
			return out
		}
		const side, frames = 11, 50
		s := &Spot{Radius: 3}
		for i := range frames {
			x := 100 + 5*math.Max(0, float64(i-frames+15))
			s.samples = append(s.samples, track.Sample{Frame: i, X: x, Y: 100, U: 0.1, Seen: true})
			v := &view{int(x/2) - side/2, 50 - side/2, side, plane(4 * side * side), plane(side * side), plane(side * side)}
			s.details = append(s.details, detail{view: v})
		}
		got := slices.Clone(s.samples)
		s.inlay(got, comparison{})
		for i, q := range got {
			if d := math.Hypot(q.X-s.samples[i].X, q.Y-s.samples[i].Y); !(d <= poseMove) || !(q.U > 0 && q.U <= 0.1) {
				t.Errorf("levels %v, frame %d: moved by %.2f px, known to %.2f px", levels, i, d, q.U)
			}
		}
	}
}
