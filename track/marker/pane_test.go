package marker

import (
	"math"
	"testing"

	"strokereel/track"
)

func TestPaneComparesWithTheFrameBefore(t *testing.T) {
	frame := func(index int, level byte) *track.Frame {
		f := &track.Frame{Index: index, Width: 80, Height: 80, U: make([]byte, 1600), V: make([]byte, 1600)}
		for i := range f.U {
			f.U[i], f.V[i] = 100, 100+level
		}
		f.U[20*40+21] += 12 // one sample beside the middle of a 13 x 13 window
		return f
	}
	var p pane
	for _, c := range []struct {
		name  string
		f     *track.Frame
		x, y  float64
		level float64
	}{
		{"the first frame", frame(0, 0), 20, 20, math.NaN()},
		{"the same picture", frame(1, 0), 20, 20, 0},
		{"three levels in one plane", frame(2, 3), 21, 20, 3},
		{"back again, two samples aside", frame(3, 0), 19, 19, 3},
		{"a frame is missing", frame(5, 0), 19, 19, math.NaN()},
		{"too far aside", frame(6, 0), 24, 19, math.NaN()},
		{"at the rim of the picture", frame(7, 0), 26, 37, math.NaN()},
		{"after that", frame(8, 0), 26, 30, math.NaN()},
	} {
		got := p.change(c.f, c.x, c.y, 3)
		if math.IsNaN(got) != math.IsNaN(c.level) || math.Abs(got-c.level) > 1e-9 {
			t.Errorf("%s: changed by %g levels, want %g", c.name, got, c.level)
		}
	}
}
