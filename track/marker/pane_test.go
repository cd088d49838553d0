package marker

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
)

func TestPaneComparesWithTheFrameBefore(t *testing.T) {
	const w, h = 80, 80
	frame := func(index int, level byte) *track.Frame {
		f := &track.Frame{Index: index, Width: w, Height: h, Y: make([]byte, w*h), U: make([]byte, w*h/4), V: make([]byte, w*h/4)}
		for i := range f.U {
			f.U[i], f.V[i] = 100, 100+level
		}
		for i := range f.Y {
			f.Y[i] = 100
			if i%4 == 0 {
				f.Y[i] += level
			}
		}
		return f
	}
	none := turn{math.NaN(), math.NaN()}
	var p pane
	for _, c := range []struct {
		name string
		f    *track.Frame
		x, y float64
		want turn
	}{
		{"the first frame", frame(0, 0), 20, 20, none},
		{"the same picture", frame(1, 0), 20, 20, turn{0, 1}},
		{"three levels in one plane and in every fourth sample", frame(2, 3), 22, 20, turn{3, 0.75}},
		{"back again, two samples aside", frame(3, 0), 19, 19, turn{3, 0.75}},
		{"a frame is missing", frame(5, 0), 19, 19, none},
		{"at the rim of the picture", frame(6, 0), 26, 37, turn{0, 1}},
		{"after that", frame(7, 0), 26, 30, none},
	} {
		got := p.next(c.f, c.x, c.y, 2.5)
		for _, v := range [][2]float64{{got.change, c.want.change}, {got.repeated, c.want.repeated}} {
			if math.IsNaN(v[0]) != math.IsNaN(v[1]) || math.Abs(v[0]-v[1]) > 0.03 {
				t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
			}
		}
	}
}

// Frames whose noise is new each time come from no codec; one that repeats four
// samples of five does.
func TestOnlyWhatRepeatsItselfLags(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	const w, h = 64, 48
	for _, c := range []struct {
		kept float64
		want bool
	}{{0, false}, {0.8, true}} {
		s := &Spot{}
		f := &track.Frame{Width: w, Height: h, Y: make([]byte, w*h), U: make([]byte, w*h/4), V: make([]byte, w*h/4)}
		for n := range 30 {
			f.Index = n
			for i := range f.Y {
				if n == 0 || rng.Float64() >= c.kept {
					f.Y[i] = byte(math.Round(120 + 1.6*rng.NormFloat64()))
				}
			}
			s.samples = append(s.samples, track.Sample{Frame: n, Seen: true})
			s.details = append(s.details, detail{turn: s.pane.next(f, 15, 10, 3)})
		}
		if got := s.repeats([]int{0}); got != c.want {
			t.Errorf("of pictures that keep %.0f %% of their samples: a codec %t, want %t", 100*c.kept, got, c.want)
		}
	}
}

// Only of pictures that repeat themselves a track is put forward, and not where the
// codec has made up for the lag.
func TestTrackLagsWhereThePictureRepeats(t *testing.T) {
	const n, mend, perPx = 90, 70, 4
	for _, repeated := range []float64{0.1, 0.8} {
		s := &Spot{Radius: 6}
		x := 100.0
		for i := range n {
			step := 0.04
			if i < 30 {
				step = 1.5
			}
			x += step
			d := detail{turn: turn{change: perPx * step, repeated: repeated}}
			if i == mend {
				d.change = perPx
			}
			s.samples = append(s.samples, track.Sample{Frame: i, T: float64(i) / 60, X: x, Y: 50, U: 0.05, Seen: true})
			s.details = append(s.details, d)
		}
		tr := New(DefaultOptions(), 640, 360).Track(s, track.Putter)
		// What the siting adds is the same in every frame: the quick ones show it.
		forward := func(i int) float64 { return tr.Samples[i].X - s.samples[i].X - (tr.Samples[10].X - s.samples[10].X) }
		lagging, mended := forward(mend-5), forward(mend)
		if want := repeated > 0.5; (lagging > 0.1) != want || math.Abs(mended) > 0.05 || !want && lagging != 0 {
			t.Errorf("%.0f %% repeated: put forward by %.3f px, when mended by %.3f px", 100*repeated, lagging, mended)
		}
	}
}
