package steady

import (
	"math"
	"math/rand/v2"
	"testing"

	"strokereel/track"
)

// grain adds the noise of a phone indoors.
func grain(f *track.Frame, rng *rand.Rand) *track.Frame {
	for i, v := range f.Y {
		f.Y[i] = byte(math.Max(16, math.Min(235, math.Round(float64(v)+1.5*rng.NormFloat64()))))
	}
	return f
}

// wall is a scene whose structure runs both ways.
func wall(index int, shiftX, shiftY float64, figureX int) *track.Frame {
	f, g := scene(index, shiftX, shiftY, figureX), scene(index, -shiftX, shiftY, 0)
	for y := range f.Height {
		for x := range f.Width {
			at := y * f.Width
			f.Y[at+x] = byte((int(f.Y[at+x]) + int(g.Y[at+f.Width-1-x]) + 1) / 2)
		}
	}
	return f
}

// A hand wanders by some pixels and trembles by tenths of one while a figure moves
// before the wall and the light changes.
func TestSway(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 9))
	var s Sway
	for i := range 12 {
		x, y := 0.35*float64(i)+0.3*math.Sin(float64(i)), 0.8*math.Sin(0.7*float64(i))
		s.Next(grain(lit(wall(i, x, y, 250+5*i), 1+0.02*float64(i), 900), rng))
		poses := s.Poses()
		if poses == nil {
			t.Fatalf("frame %d: no pose", i)
		}
		p := poses[i]
		if off := math.Hypot(p.X-x, p.Y-y); off > 0.06 || off > 4*math.Max(p.U, 0.005) || math.Abs(p.Roll) > 3e-4 {
			t.Errorf("frame %d: pose %.3f, %.3f px, %.5f rad, u %.3f; want %.3f, %.3f, 0", i, p.X, p.Y, p.Roll, p.U, x, y)
		}
		if dx, dy := s.At(300, 200); i > 0 && math.Hypot(dx-x, dy-y) > 0.08 {
			t.Errorf("frame %d: a place is said to sway by %.3f, %.3f px, want %.3f, %.3f", i, dx, dy, x, y)
		}
	}
	if !Moved(s.Poses(), 640, 360) {
		t.Error("a camera in a hand is said to have stood")
	}
}

func TestTripodDoesNotSway(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 9))
	var s Sway
	for i := range 8 {
		s.Next(grain(lit(wall(i, 0, 0, 250+5*i), 1+0.05*float64(i), 640-60*i), rng))
	}
	if Moved(s.Poses(), 640, 360) {
		t.Errorf("a tripod is said to have moved: %+v", s.Poses())
	}
	if dx, dy := s.At(300, 200); dx != 0 || dy != 0 {
		t.Errorf("before a tripod a place is said to sway by %g, %g px", dx, dy)
	}
}

// Where the things at the sides go different ways, nothing tells of the camera.
func TestNoPoseOfScatteredThings(t *testing.T) {
	var s Sway
	for i := range 8 {
		f := scene(i, 0, 0, 0)
		right := scene(i, 3*float64(i), 2*float64(i), 0)
		for y := range f.Height {
			copy(f.Y[y*f.Width+320:(y+1)*f.Width], right.Y[y*f.Width+320:(y+1)*f.Width])
		}
		s.Next(f)
	}
	if p := s.Poses(); p != nil {
		t.Errorf("poses %+v, want none", p)
	}
	if dx, dy := s.At(300, 200); dx != 0 || dy != 0 {
		t.Errorf("a place is said to sway by %g, %g px, nothing tells of the camera", dx, dy)
	}
}

// A player at one side, who moves, is no camera that does, though nothing else tells
// of shifts along the picture.
func TestNoPoseOfThePlayer(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 9))
	var s Sway
	for i := range 12 {
		f := scene(i, 0, 0, 0)
		for y := range f.Height {
			for x := range f.Width {
				v := 120 + 30*math.Sin(0.3*float64(y))
				if x > 20 && x < 180 && y > 120 {
					v = 120 + 50*math.Sin(0.3*(float64(x)-0.8*float64(i)))
				}
				f.Y[y*f.Width+x] = byte(v)
			}
		}
		s.Next(grain(f, rng))
	}
	if p := s.Poses(); Moved(p, 640, 360) {
		t.Errorf("poses %+v, want none", p)
	}
}

// A tile into whose border an edge reaches misjudges its way, since half of the edge
// comes and goes: it is not to be taken. One with the edge inside is.
func TestEdgeAtTheBorderOfATile(t *testing.T) {
	const w, h, x0 = 640, 360, 60
	edge := func(at float64) *track.Frame {
		f := &track.Frame{Width: w, Height: h, Y: make([]byte, w*h)}
		for i := range f.Y {
			f.Y[i] = byte(150.5 - 30*math.Erf((float64(i%w)-at)/0.8/math.Sqrt2) + 5*math.Sin(0.2*float64(i/w)))
		}
		return f
	}
	var s Sway
	taken := 0
	for inside := -3.0; inside <= tileSide+3; inside += 0.5 {
		first := edge(x0 + inside)
		tile := newTile(first, x0, 156, true)
		if tile.weight < flattest*tileSide*tileSide || !s.tells(first, tile) {
			if inside > 3 && inside < tileSide-4 {
				t.Errorf("an edge %.1f px inside is not taken", inside)
			}
			continue
		}
		taken++
		for _, d := range []float64{-0.3, 0.3} {
			if way := s.way(edge(x0+inside+d), tile, Pose{}); math.Abs(way-d) > 0.12 {
				t.Errorf("an edge %.1f px inside that goes %.1f px is said to go %.2f", inside, d, way)
			}
		}
	}
	if taken < tileSide/2 {
		t.Errorf("only %d edges taken", taken)
	}
}

// The noise of a plain wall, softened as a codec does, has slopes, which do not
// find their way back.
func TestNoiseIsNoSlope(t *testing.T) {
	const w, h = 640, 360
	rng := rand.New(rand.NewPCG(7, 9))
	raw := make([]float64, w*h)
	for i := range raw {
		raw[i] = 120 + 9*rng.NormFloat64()
	}
	f := &track.Frame{Width: w, Height: h, Y: make([]byte, w*h)}
	for i := range f.Y {
		v := 0.0
		for _, at := range [4]int{i, i + 1, i + w, i + w + 1} {
			v += raw[min(at, w*h-1)] / 4
		}
		f.Y[i] = byte(math.Round(v))
	}
	var s Sway
	s.Next(f)
	if s.enough() {
		t.Errorf("%d tiles on noise are enough for a pose", len(s.tiles))
	}
}

// Pictures that go to and fro only, and never up or down, were not swayed by a hand:
// that is how a pose slides along level edges.
func TestNoPoseOfOneWayOnly(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 9))
	var s Sway
	for i := range 12 {
		s.Next(grain(wall(i, 0.3*float64(i), 0, 0), rng))
	}
	if p := s.Poses(); p != nil {
		t.Errorf("poses to %+v, want none", p[len(p)-1])
	}
}

// Turned about its middle by a tenth of a degree, the sides of a picture go up and
// down by half a pixel: a place comes back to where it was.
func TestStill(t *testing.T) {
	p := Pose{X: 1.5, Y: -0.7, Roll: 0.1 * math.Pi / 180}
	const cx, cy, x, y = 959.5, 539.5, 1700, 900
	sin, cos := math.Sincos(p.Roll)
	seenX := cx + p.X + (x-cx)*cos - (y-cy)*sin
	seenY := cy + p.Y + (x-cx)*sin + (y-cy)*cos
	if gx, gy := p.Still(seenX, seenY, cx, cy); math.Hypot(gx-x, gy-y) > 0.01 {
		t.Errorf("(%.3f, %.3f), want (%d, %d)", gx, gy, x, y)
	}
}
