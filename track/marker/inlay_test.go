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
	for _, c := range []struct {
		left    bool
		sticker rgb
		most    float64 // px rms
	}{{true, rgb{190, 43, 3}, 0.015}, {false, rgb{190, 43, 3}, 0.015}, {false, rgb{1, 6, 60}, 0.009}} { // dark blue: luma tells most
		swingHead(t, c.left, c.most, func(p *painting, way, x, y, mx, my float64) {
			p.rect(x-40, y-7.4, x+40, y+5.8, rgb{98, 100, 102})
			p.disc(x, y, 5.4, mx, my, c.sticker)
		})
	}
}

// The lower edge of a head is bevelled: it catches more and more light along the way. And
// as the head comes nearer to the camera, its sticker is seen larger. Neither draws the
// sticker's place aside.
func TestHeadWhoseEdgeAndSizeChange(t *testing.T) {
	swingHead(t, false, 0.012, func(p *painting, way, x, y, mx, my float64) {
		p.rect(x-40, y-7.4, x+40, y+6.6, rgb{98, 100, 102})
		bright := 40 + 180*way
		p.rect(x-40, y+6.2, x+40, y+6.6, rgb{bright, bright, bright})
		p.disc(x, y, 5.3*(1+0.03*way), mx, my, rgb{1, 6, 60})
	})
}

// swingHead swings a head, painted where its sticker is and how far along its way, 0 to 1,
// and wants the sticker's places within most, px rms.
func swingHead(t *testing.T, left bool, most float64, head func(p *painting, way, x, y, mx, my float64)) {
	t.Helper()
	const frames, share = 90, 0.3
	along := func(i float64) float64 { return (1 - math.Cos(math.Pi*clamp((i-30)/30, 0, 1))) / 2 }
	place := func(i float64) (x, y float64) { return 260.3 + 160*along(i), 250.6 - 7*along(i) }
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
		head(p, along(float64(i)), x, y, share*(bx-ax), share*(by-ay))
		tr.Next(p.frame(i, float64(i)/60, left, 1.6, rng))
	}
	spots := tr.Spots()
	if len(spots) == 0 {
		t.Fatal("the sticker was not found")
	}
	var mx, my, sum, worst float64
	for _, s := range tr.Track(spots[0], "putter").Samples {
		if !s.Seen {
			t.Fatalf("left %v: frame %d not seen", left, s.Frame)
		}
		x, y := place(float64(s.Frame))
		dx, dy := s.X-x, s.Y-y
		mx, my = mx+dx/frames, my+dy/frames
		sum += (dx*dx + dy*dy) / 2 / frames
		worst = math.Max(worst, math.Hypot(dx, dy)/s.U)
	}
	if math.Hypot(mx, my) > 0.012 {
		t.Errorf("left %v: on average off by %.3f, %.3f px", left, mx, my)
	}
	if rms := math.Sqrt(sum); rms > most {
		t.Errorf("left %v: %.4f px rms, at most %.3f wanted", left, rms, most)
	}
	if worst > 6 {
		t.Errorf("left %v: %.1f times its uncertainty off", left, worst)
	}
}

// What an inlay says of how pixels change with each part is what they do: of a head that
// is turned, with a disc seen larger and askew, in motion and at rest.
func TestPixelsChangeAsTold(t *testing.T) {
	start := inlay{r: 5.6, flat: 0.95, top: 7.2, bottom: 6.8, edge: 0.4, surfaces: [4][3]float64{{0.6, 0.1, 0.05}, {0.3, 0.31, 0.33}, {0.5, 0.5, 0.52}, {0.04, 0.1, 0.06}}}
	for _, mx := range []float64{0, 3} {
		look := pose{x: 10.3, y: 9.8, slope: -0.27, skew: 0.02, wide: 0.02, tall: -0.01, mx: mx, my: -mx / 4, light: [4]float64{0.1, 0, -0.1, 0.2}}
		levels := func(k int, by float64) (out []float64) {
			m, at := start, look
			of := []*float64{&at.x, &at.y, &at.slope, &at.skew, &at.wide, &at.tall, &at.light[0], &at.light[1], &at.light[2], &at.light[3]}
			if k < len(of) {
				*of[k] += by
			} else {
				*m.part(k) += by
			}
			for j := range 20 {
				for i := range 20 {
					var p pixel
					m.show(&p, float64(i), float64(j), at, 5, inlayParts)
					out = append(out, p[0].level, p[1].level, p[2].level)
				}
			}
			return out
		}
		for k := range inlayParts {
			if k == atSharp {
				continue // that is of many pixels
			}
			const step = 0.01
			more, less := levels(k, step), levels(k, -step)
			var off, size float64
			for n := range more {
				var p pixel
				start.show(&p, float64(n/3%20), float64(n/60), look, 5, inlayParts)
				change := (more[n] - less[n]) / (2 * step)
				off, size = off+sq(p[n%3].by[k]-change), size+sq(change)
			}
			if !(math.Sqrt(off) < 0.05*math.Sqrt(size)) {
				t.Errorf("motion %g, part %d: off by %.3f of %.3f", mx, k, math.Sqrt(off), math.Sqrt(size))
			}
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
