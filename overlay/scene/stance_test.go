package scene

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/overlay"
	"strokereel/track"
)

// A head seen at two moments takes up both places and a little more; a player of
// whom no head was seen may have it anywhere above the ball. Left-handers putt to
// the left of the picture, and up is up for them too.
func TestSeenHead(t *testing.T) {
	for _, toward := range []float64{1, -1} {
		g := Ground{X: 900, Y: 1000, DX: toward * 500}
		seen := func(x, y float64) []overlay.Object {
			return []overlay.Object{area(HeadArea, g.X+toward*x*500, g.Y-y*500, 50)}
		}
		got := SeenHead(g, map[int][]overlay.Object{1: seen(-0.1, 1.5), 7: nil, 9: seen(0.05, 1.6)})
		want := HeadRoom{From: -0.2 - headTurns, To: 0.15 + headTurns, Low: 1.4, High: 1.7 + headLifts}
		if off := math.Abs(got.From-want.From) + math.Abs(got.To-want.To) + math.Abs(got.Low-want.Low) + math.Abs(got.High-want.High); off > 1e-9 {
			t.Errorf("toward %g: got %+v, want %+v", toward, got, want)
		}
		if got := SeenHead(g, map[int][]overlay.Object{1: {{Name: track.Putter, X: 900, Y: 1000}}}); got != AnyHead {
			t.Errorf("toward %g: a head that was not seen is at %+v", toward, got)
		}
	}
}

// Whatever camera, side and stroke: text in the corners and along the edges does
// not lie on head, hands, legs or shaft.
func TestCornersLeaveThePlayerFree(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for trial := range 120 {
		w, h := 480, 270
		if trial%2 == 1 {
			w, h = h, w
		}
		g := Ground{X: (0.3 + 0.4*r.Float64()) * float64(w), Y: (0.75 + 0.15*r.Float64()) * float64(h)}
		perM := (0.3 + 0.3*r.Float64()) * float64(min(w, h))
		if g.DX = perM; trial%4 > 1 {
			g.DX = -perM
		}
		stance := must[*Stance](t)(NewStance(g, AnyHead))
		x, y := (0.8*r.Float64()-0.4)*g.DX, -0.06*r.Float64()*perM
		m := overlay.Moment{View: overlay.FullView(), Objects: []overlay.Object{{Name: track.Putter, X: g.X + x, Y: g.Y + y, Radius: 0.03 * perM}}}
		img := plain(w, h, color.RGBA{200, 200, 200, 255})
		c := canvas(t, img)
		notice := NewNotice("No numbers: no sticker was found on the putter.")
		notice.Slot, notice.Wide = overlay.Slot(1+r.IntN(6)), 0.3
		tag := NewTag(overlay.Before, 0.4)
		tag.Slot = overlay.Slot(1 + r.IntN(6))
		if left := overlay.Draw(c, m, stance, tag, notice); len(left) > 0 {
			t.Fatalf("trial %d: left out %q", trial, left)
		}
		for _, k := range stance.Avoid(c, m) {
			if covered(img, k.Grow(-2)) {
				t.Fatalf("trial %d: text lies on %v, part of the player", trial, k)
			}
		}
	}
}

// covered reports whether a grey picture was drawn on within a box.
func covered(img *image.RGBA, b overlay.Box) bool {
	return drawnIn(img, b.Pixels().Intersect(img.Rect))
}

// Lengths in two rows stand below the line, beside one another, the one of the
// backstroke on its own side, also for a left-hander and for lengths from
// nothing to a metre.
func TestLengthsStandBelowTheirHalves(t *testing.T) {
	s := newStroke(640, 360)
	for _, toward := range []float64{1, -1} {
		for _, v := range [][2]float64{{0.24, 0.37}, {0.02, 0.03}, {0.6, 0.5}, {0, 1}} {
			g := Ground{X: 320, Y: 240, DX: toward * 200}
			back, through := s.measures["backstroke_length"], s.measures["follow_through_length"]
			back.Value, through.Value = v[0], v[1]
			a := must[*Length](t)(NewBackstroke(g, back, s.event(track.Start), s.event(track.Top)))
			b := must[*Length](t)(NewFollowThrough(g, through, s.event(track.Impact), s.event(track.Stop)))
			a.Form, b.Form = Large, Large
			img := plain(640, 360, color.RGBA{200, 200, 200, 255})
			c := canvas(t, img)
			if left := overlay.Draw(c, overlay.Moment{T: stopT, View: overlay.FullView()}, a, b); len(left) > 0 {
				t.Fatalf("left out %q", left)
			}
			line := c.Px(lineDrop + lineClear)
			side := func(k float64) overlay.Box {
				return overlay.Span(overlay.Point{X: 320, Y: 240 + line}, overlay.Point{X: 320 + k*toward*300, Y: 360})
			}
			if !covered(img, side(-1)) || !covered(img, side(1)) {
				t.Errorf("toward %g, %v m: not both sides have a length below", toward, v)
			}
			if covered(img, overlay.Box{X0: 0, Y0: 0, X1: 640, Y1: 240 - line}) {
				t.Errorf("toward %g, %v m: a length stands above the line", toward, v)
			}
			if gap := (overlay.Box{X0: 319, Y0: 240 + c.Px(lineDrop+barDrop+barHigh), X1: 321, Y1: 360}); covered(img, gap) {
				t.Errorf("toward %g, %v m: a length reaches over to the other side", toward, v)
			}
		}
	}
}
