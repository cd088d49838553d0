package body

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"

	"strokereel/track"
)

// installed opens the model that the set-up put into the user's cache.
func installed(t *testing.T) *Model {
	t.Helper()
	cache, err := os.UserCacheDir()
	if err != nil {
		t.Fatal(err)
	}
	m, err := OpenModel(filepath.Join(cache, "strokereel", "models"))
	if errors.Is(err, ErrNoModel) {
		t.Fatal("the body model is not installed: run scripts/setup --pose, as scripts/test does")
	}
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// capsule paints a limb between two places.
func (c *canvas) capsule(colour [3]float64, x0, y0, x1, y1, r0, r1 float64) {
	r := math.Max(r0, r1)
	for j := max(0, int(math.Min(y0, y1)-r)); j <= min(c.h-1, int(math.Max(y0, y1)+r)+1); j++ {
		for i := max(0, int(math.Min(x0, x1)-r)); i <= min(c.w-1, int(math.Max(x0, x1)+r)+1); i++ {
			x, y := float64(i), float64(j)
			long := (x1-x0)*(x1-x0) + (y1-y0)*(y1-y0)
			k := 0.0
			if long > 0 {
				k = math.Max(0, math.Min(1, ((x-x0)*(x1-x0)+(y-y0)*(y1-y0))/long))
			}
			d, rr := math.Hypot(x-x0-k*(x1-x0), y-y0-k*(y1-y0)), r0+k*(r1-r0)
			if d > rr {
				continue
			}
			// Round limbs are darker at their sides.
			light := 0.6 + 0.4*math.Sqrt(1-d*d/rr/rr)
			c.y[j*c.w+i], c.u[j*c.w+i], c.v[j*c.w+i] = 16+(colour[0]-16)*light, colour[1], colour[2]
		}
	}
}

// Joints of the drawn player, px of a picture of 540 x 960.
var drawn = map[string][2]float64{
	track.LeadShoulder: {333, 262}, track.TrailShoulder: {207, 274}, track.LeadElbow: {338, 372}, track.TrailElbow: {200, 384},
	track.LeadWrist: {286, 456}, track.TrailWrist: {256, 478}, track.LeadHip: {304, 452}, track.TrailHip: {236, 452},
	track.LeadAnkle: {322, 800}, track.TrailAnkle: {218, 800},
}

// player paints a player at address seen from the front.
func player() *canvas {
	c := newCanvas(540, 960)
	trousers, shirt, shoe := [3]float64{60, 2, -2}, [3]float64{110, 12, -14}, [3]float64{200, 0, 0}
	at := func(name string) (x, y float64) { return drawn[name][0], drawn[name][1] }
	limb := func(colour [3]float64, from, to string, r0, r1 float64) {
		x0, y0 := at(from)
		x1, y1 := at(to)
		c.capsule(colour, x0, y0, x1, y1, r0, r1)
	}
	for _, side := range []float64{1, -1} {
		hip, knee := 270+side*34, 270+side*48
		c.capsule(trousers, hip, 452, knee, 630, 42, 32)
		c.capsule(trousers, knee, 630, 270+side*52, 800, 32, 22)
		c.capsule(shoe, 270+side*52, 812, 270+side*66, 830, 18, 14)
	}
	c.capsule(shirt, 333, 270, 310, 450, 34, 40)
	c.capsule(shirt, 207, 280, 232, 450, 34, 40)
	c.capsule(shirt, 270, 262, 270, 450, 60, 60)
	c.capsule(skinTone, 270, 236, 270, 200, 22, 22) // neck
	limb(shirt, track.TrailShoulder, track.TrailElbow, 30, 22)
	limb(shirt, track.LeadShoulder, track.LeadElbow, 30, 22)
	limb(skinTone, track.TrailElbow, track.TrailWrist, 19, 13)
	limb(skinTone, track.LeadElbow, track.LeadWrist, 19, 13)
	c.capsule(skinTone, 268, 480, 268, 510, 16, 14)
	c.capsule([3]float64{150, 0, 0}, 268, 520, 266, 830, 3, 3)
	c.capsule(skinTone, 270, 168, 270, 196, 36, 32) // head
	for _, side := range []float64{1, -1} {
		c.capsule([3]float64{40, 0, 0}, 270+side*13, 182, 270+side*14, 182, 4, 4)
		c.capsule(skinTone, 270+side*37, 180, 270+side*37, 190, 6, 6)
	}
	c.capsule([3]float64{120, -14, 26}, 270, 190, 270, 200, 4, 5)
	c.capsule([3]float64{90, -6, 24}, 262, 214, 278, 214, 3, 3)
	c.capsule([3]float64{30, 0, 0}, 250, 146, 290, 146, 16, 16) // hair
	return c
}

// The real model finds the joints of a drawn player, on the right sides; of the
// mirror image of a left-hander's picture it tells the same.
func TestModelFindsTheDrawnPlayer(t *testing.T) {
	m := installed(t)
	defer m.Close()
	f := player().frame(0, 0, nil)
	right, left := NewFollower(m, false), NewFollower(m, true)
	var stamps []track.Sample
	for i := range 5 {
		f.Index, f.T = i, float64(i)/10
		stamps = append(stamps, track.Sample{Frame: i, T: f.T})
		if err := right.Next(f, Club{X: 266, Y: 840, PxPerM: 480}); err != nil {
			t.Fatal(err)
		}
		if err := left.Next(mirror(f), Club{X: 539 - 266, Y: 840, PxPerM: 480}); err != nil {
			t.Fatal(err)
		}
	}
	const trunk = 184 // px, hips to shoulders
	mirrored := map[string]track.Track{}
	for _, tr := range left.Tracks(stamps, []float64{0.4}) {
		mirrored[tr.Object] = tr
	}
	found := 0
	for _, tr := range right.Tracks(stamps, []float64{0.4}) {
		want, ok := drawn[tr.Object]
		if !ok {
			continue
		}
		found++
		s := tr.Samples[4]
		if d := math.Hypot(s.X-want[0], s.Y-want[1]); !s.Seen || d > 0.16*trunk {
			t.Errorf("%s: seen %v at %.0f, %.0f, drawn at %g, %g", tr.Object, s.Seen, s.X, s.Y, want[0], want[1])
		}
		for i, s := range tr.Samples {
			if q := mirrored[tr.Object].Samples[i]; math.Abs(q.X-(539-s.X)) > 1e-6 || math.Abs(q.Y-s.Y) > 1e-6 {
				t.Errorf("%s, frame %d: the mirror image is at %.4f, %.4f, want %.4f, %.4f", tr.Object, i, q.X, q.Y, 539-s.X, s.Y)
			}
		}
	}
	if found != len(drawn) {
		t.Errorf("found %d of %d joints", found, len(drawn))
	}
}

// What the model errs the other way in the mirror image is gone when both are taken
// together, and motion is not held back.
func TestBothWaysErrLess(t *testing.T) {
	var poses []seenPose
	at := func(k int) float64 { return 100 + 3*float64(k) }
	for k := range 9 {
		q := seenPose{frame: k, t: float64(k) / 36, turned: k%2 == 1}
		off := 5.0
		if q.turned {
			off = -5
		}
		q.Joints[leftElbow] = Joint{X: at(k) + off, Y: 50 - off, Seen: 1}
		q.Joints[leftHip] = Joint{X: at(k) + off, Y: 50, Seen: 1}
		poses = append(poses, q)
	}
	for k := 1; k < 8; k++ {
		if j := bothWays(poses, k, leftElbow); math.Abs(j.X-at(k)) > 1e-9 || math.Abs(j.Y-50) > 1e-9 {
			t.Errorf("look %d: at %g, %g, want %g, 50", k, j.X, j.Y, at(k))
		}
	}
	if j := bothWays(poses, 4, leftHip); j != poses[4].Joints[leftHip] {
		t.Errorf("a hip, which is told one way only, went to %g", j.X)
	}
	poses[5].t += 0.2 // too late to tell of the look before
	if j := bothWays(poses, 4, leftElbow); j != poses[4].Joints[leftElbow] {
		t.Errorf("a look a quarter of a second away counted: %g", j.X)
	}
}

func TestModelFindsNobodyInAnEmptyRoom(t *testing.T) {
	m := installed(t)
	defer m.Close()
	p := NewFollower(m, false)
	f := newCanvas(540, 960).frame(0, 0, nil)
	for i := range 5 {
		f.Index = i
		if err := p.Next(f, Club{X: 266, Y: 840, PxPerM: 480}); err != nil {
			t.Fatal(err)
		}
	}
	if got := p.Tracks([]track.Sample{{}}, nil); got != nil || p.tries != mostTries {
		t.Errorf("got %d joints after %d tries", len(got), p.tries)
	}
}

func TestModelFilesAreChecked(t *testing.T) {
	dir := t.TempDir()
	if _, err := OpenModel(dir); !errors.Is(err, ErrNoModel) {
		t.Errorf("an empty folder: got %v", err)
	}
	if err := os.WriteFile(filepath.Join(dir, detectorFile), []byte("TFL3 but not ours"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := OpenModel(dir); err == nil || errors.Is(err, ErrNoModel) {
		t.Errorf("a strange file: got %v", err)
	}
}

// The detector's anchors are as many as its answers; answers that overlap are
// one person.
func TestPersons(t *testing.T) {
	all := anchors()
	if len(all) != 2254 {
		t.Fatalf("got %d anchors, want 2254", len(all))
	}
	values, scores := make([]float32, 12*len(all)), make([]float32, len(all))
	for i := range scores {
		scores[i] = -9
	}
	// Two answers for one person, one for another, each with hips at its anchor
	// and the circle a quarter of the picture above.
	for _, i := range []int{820, 822, 840} {
		scores[i] = 2
		copy(values[12*i:], []float32{0, 0, 30, 60, 0, 0, 0, -56})
	}
	got := persons(values, scores, region{x: 500, y: 500, size: 1000})
	if len(got) != 2 {
		t.Fatalf("got %d people, want 2", len(got))
	}
	x := 1000 * (all[820][0] + all[822][0]) / 2
	if math.Abs(got[0].region.x-x) > 1e-6 || math.Abs(got[0].region.size-2*250*1.25) > 1e-6 || math.Abs(got[0].region.angle) > 1e-9 {
		t.Errorf("got %+v, want the middle at %.1f and an upright square of 625", got[0].region, x)
	}
}

func TestRefined(t *testing.T) {
	heat := make([]float32, heatSide*heatSide)
	for i := range heat {
		heat[i] = -20
	}
	if x, y, hot := refined(heat, 0.5, 0.25); x != 0.5 || y != 0.25 || hot > 1e-3 {
		t.Errorf("a cold map moves the joint to %g, %g", x, y)
	}
	heat[16*heatSide+33], heat[16*heatSide+34] = 10, 10
	if x, y, hot := refined(heat, 0.5, 0.25); hot < 0.9 || math.Abs(x-33.5/64) > 1e-4 || math.Abs(y-0.25) > 1e-4 {
		t.Errorf("got %.4f, %.4f", x, y)
	}
}
