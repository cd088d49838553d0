package marker

import (
	"math"
	"math/rand/v2"
	"testing"
)

// beside paints a sticker that swings to the right and rests there, before what lies
// behind it and behind what lies in front, and returns the spot's samples and how
// far off each is.
func beside(t *testing.T, behind, before func(*painting), place func(i int) float64, frames int) (seen []bool, off []float64) {
	t.Helper()
	rng := rand.New(rand.NewPCG(27, 29))
	tr := New(DefaultOptions(), w, h)
	room := paint(w, h, floorGreen)
	behind(room)
	room.code(false)
	for i := range frames {
		p := room.copy()
		p.rect(place(i)-18, 241.7, place(i)+18, 259.7, headGrey)
		p.disc(place(i), 250.7, 5.4, 0, 0, stickers["blue"])
		before(p)
		tr.Next(p.frame(i, float64(i)/60, false, 1.2, rng))
	}
	for _, s := range tr.Spots() {
		if first := tr.Track(s, "putter").Samples; first[0].Frame == 0 && math.Abs(first[0].X-place(0)) < 2 {
			for _, p := range first {
				seen, off = append(seen, p.Seen), append(off, math.Hypot(p.X-place(p.Frame), p.Y-250.7))
			}
			return seen, off
		}
	}
	t.Fatal("the sticker was not found")
	return nil, nil
}

func nothing(*painting) {}

func swingTo(far float64) func(int) float64 {
	return func(i int) float64 { return 260.3 + far*(1-math.Cos(math.Pi*clamp(float64(i-30)/30, 0, 1)))/2 }
}

// A shoe of the sticker's colour, larger than the window in which the sticker is
// looked for, lies behind the head where it comes to rest.
func TestShoeOfItsColourBehindTheHead(t *testing.T) {
	shoe := func(p *painting) { p.rect(330, 200, 420, 290, stickers["blue"]) }
	const frames = 80
	seen, off := beside(t, shoe, nothing, swingTo(110), frames)
	n := 0
	for i, ok := range seen {
		if ok {
			n++
			if off[i] > 0.8 {
				t.Errorf("frame %d: %.2f px off", i, off[i])
			}
		}
	}
	if n < frames*97/100 {
		t.Errorf("seen in %d of %d frames", n, frames)
	}
}

// Something grey in front hides the lower half of the sticker for some frames: it is
// not seen then, rather than half of it being taken for the whole.
func TestHalfASticker(t *testing.T) {
	half := func(p *painting) { p.rect(300, 250.7, 330, 275, rgb{40, 40, 42}) }
	place := swingTo(110)
	seen, off := beside(t, nothing, half, place, 80)
	hidden := 0
	for i := range seen {
		if seen[i] && off[i] > 2 {
			t.Errorf("frame %d, sticker at %.0f: seen %.2f px off", i, place(i), off[i])
		}
		if !seen[i] {
			hidden++
		}
	}
	if hidden == 0 || hidden > 8 {
		t.Errorf("not seen in %d frames, wanted some of the five in which it is hidden", hidden)
	}
}
