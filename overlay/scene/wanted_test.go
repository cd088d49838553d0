package scene

import (
	"image"
	"image/color"
	"math"
	"testing"

	"strokereel/overlay"
	"strokereel/track"
)

func expectedLength(v, lo, hi float64) track.Measure {
	return track.Measure{Unit: "m", Value: v, Lo95: lo, Hi95: hi, Status: track.Predicted}
}

// Numbers stand at the edge that their side points to, also for a player who
// putts to the left, and other labels keep off them.
func TestWanted(t *testing.T) {
	s := newStroke(640, 480)
	rows := []WantedRow{{"tees", expectedLength(0.2, 0.2, 0.2), s.measures["follow_through_length"]}, {"6 m", expectedLength(0.3, 0.28, 0.33), track.Measure{Status: track.NotMeasured}}}
	for _, toward := range []float64{1, -1} {
		img := plain(640, 480, color.RGBA{200, 200, 200, 255})
		c := canvas(t, img)
		g := s.ground
		g.X, g.Y, g.DX = 320, 300, 400*toward
		w := must[*Wanted](t)(NewWanted(g, rows...))
		m := overlay.Moment{View: overlay.FullView()}
		w.Draw(c, m)
		column := int(w.Column(c))
		for row, want := range []struct{ back, through bool }{{true, true}, {true, false}} {
			y := int(w.at(c, m, row, 0).Y)
			for _, e := range []struct {
				name string
				left bool
				want bool
			}{{"back", toward > 0, want.back}, {"through", toward < 0, want.through}} {
				x0 := 640 - column
				if e.left {
					x0 = 0
				}
				if got := drawnIn(img, image.Rect(x0, y-2, x0+column, y+2)); got != e.want {
					t.Errorf("toward %g, row %d: a number %s is there: %v", toward, row, e.name, got)
				}
			}
		}
		// The end of the first row: 20 cm back, 80 px.
		end := 320 - int(80*toward)
		if !drawnIn(img, image.Rect(end-2, 300-40, end+3, 300)) || drawnIn(img, image.Rect(end-20, 300-40, end-10, 300-30)) {
			t.Errorf("toward %g: no upright line stands over %d", toward, end)
		}
		if back, through := w.Longest(); back != 0.33 || math.Abs(through-0.3755) > 1e-9 {
			t.Errorf("the longest are %g and %g m", back, through)
		}
		box := w.KeepClear(c, m)[0]
		if bottom := 300 + c.Px(w.Height()); math.Abs(box.Y1-bottom) > 1 || box.Y0 > 300 {
			t.Errorf("kept clear is %+v, rows end at %g", box, bottom)
		}
	}
}

// drawnIn reports whether a grey picture was drawn on within r.
func drawnIn(img *image.RGBA, r image.Rectangle) bool {
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if img.RGBAAt(x, y) != (color.RGBA{200, 200, 200, 255}) {
				return true
			}
		}
	}
	return false
}

func TestWantedRefuses(t *testing.T) {
	g := newStroke(640, 360).ground
	unknown := track.Measure{Status: track.NotMeasured, Reason: "no stroke"}
	for _, c := range []struct {
		name string
		g    Ground
		rows []WantedRow
	}{
		{"no row", g, nil},
		{"no length in any row", g, []WantedRow{{"3 m", unknown, unknown}}},
		{"no ground", Ground{}, []WantedRow{{"3 m", expectedLength(0.3, 0.2, 0.4), unknown}}},
		{"a value outside its interval", g, []WantedRow{{"3 m", expectedLength(0.5, 0.2, 0.4), unknown}}},
		{"no number", g, []WantedRow{{"3 m", expectedLength(math.NaN(), 0.2, 0.4), unknown}}},
		{"without end", g, []WantedRow{{"3 m", expectedLength(1, 0.2, math.Inf(1)), unknown}}},
	} {
		if _, err := NewWanted(c.g, c.rows...); err == nil {
			t.Errorf("%s was taken", c.name)
		}
	}
}
