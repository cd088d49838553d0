package marker

import (
	"math"
	"math/rand/v2"
	"testing"
)

// A highlight travels over the head and washes out the sticker, more on one side:
// it stays the same spot at its place, and its uncertainty covers how far off that
// puts it.
func TestHighlightKeepsTheSpot(t *testing.T) {
	for name, colour := range stickers {
		rng := rand.New(rand.NewPCG(17, 19))
		tr := New(DefaultOptions(), w, h)
		room := paint(w, h, floorGreen)
		room.code(false)
		place := func(i int) float64 { return 300.3 + 90*math.Sin(float64(max(0, i-25))/18) }
		const frames = 110
		full, palest := 0.0, math.Inf(1)
		for i := range frames {
			x, y := place(i), 250.7
			p := room.copy()
			p.rect(x-18, y-9, x+18, y+9, headGrey)
			p.disc(x, y, 5.4, 0, 0, colour)
			// The highlight moves once across the head, brightest in its middle.
			lit := x - 14 + 28*float64(i-30)/60
			p.shape(x-18, y-9, x+18, y+9, rgb{255, 255, 255}, func(px, _ float64) float64 {
				if i < 30 || math.Abs(px-x) > 18 {
					return 0
				}
				return 0.55 * math.Exp(-(px-lit)*(px-lit)/2/49)
			})
			tr.Next(p.frame(i, float64(i)/60, false, 1.2, rng))
			at := int(y/2)*((w+1)/2) + int(x/2)
			colour := math.Hypot(p.u[at]-128, p.v[at]-128)
			full, palest = math.Max(full, colour), math.Min(palest, colour)
		}
		spots := tr.Spots()
		if len(spots) == 0 || spots[0].Seen() < frames-2 {
			t.Errorf("%s: %d spots, the first seen in %d of %d frames", name, len(spots), spots[0].Seen(), frames)
			continue
		}
		for _, s := range tr.Track(spots[0], "putter").Samples {
			d := math.Abs(s.X - place(s.Frame))
			if s.Seen && (d > 3*s.U+0.5 || d > 1.2) {
				t.Errorf("%s frame %d: %.2f px off with an uncertainty of %.2f px", name, s.Frame, d, s.U)
			}
		}
		if palest > 0.7*full {
			t.Errorf("%s: the highlight leaves %.2f of the colour, so this test shows nothing", name, palest/full)
		}
	}
}

// A highlight that crossed the sticker comes to rest beside it: what shows both looks
// mostly like the lamp, and by its codes the sticker would seem to end early there.
func TestHighlightBesideTheSticker(t *testing.T) {
	const x, y, frames = 300.3, 250.7, 70
	// off is how far right of its place a sticker is seen in the end, when the highlight
	// came over it or from the other side.
	off := func(from float64) float64 {
		rng := rand.New(rand.NewPCG(5, 6))
		tr := New(DefaultOptions(), w, h)
		room := paint(w, h, rgb{12, 30, 15})
		room.light = true
		room.rect(x-22, y-9, x+22, y+9, rgb{20, 20, 21})
		room.disc(x, y, 5.4, 0, 0, rgb{200, 5, 70})
		room.code(false)
		for i := range frames {
			p := room.copy()
			lit := x + from + (11-from)*math.Min(1, float64(i)/40)
			p.shape(x-22, y-9, x+22, y+9, rgb{255, 255, 255}, func(px, py float64) float64 {
				return 0.75 * math.Exp(-((px-lit)*(px-lit)+(py-y)*(py-y))/36)
			})
			tr.Next(p.frame(i, float64(i)/60, false, 1.2, rng))
		}
		var sum, n float64
		for _, s := range tr.Track(tr.Spots()[0], "putter").Samples {
			if s.Frame >= 45 && s.Seen {
				sum, n = sum+s.X-x, n+1
			}
		}
		return sum / n
	}
	crossed, never := off(-14), off(20)
	if math.Abs(crossed) > 0.4 || math.Abs(never) < math.Abs(crossed)+0.2 {
		t.Errorf("%.2f px off after it crossed, %.2f px when it came from the other side", crossed, never)
	}
}
