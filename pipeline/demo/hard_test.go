package demo

import (
	"math"
	"testing"
)

// The ranges are those pinned for the bench, written again by hand.

func TestLampBeatBetweenFrames(t *testing.T) {
	for seed := 1; seed <= 8; seed++ {
		sc := drawn(t, "lamp-beat", seed)
		lo, hi := math.Inf(1), 0.0
		for i := range 600 { // every phase of the beat, on frames
			g := float64(sc.lightAt(float64(i) / 60).gain)
			lo, hi = min(lo, g), max(hi, g)
		}
		within(t, "brightness beat", hi-lo, 0.04, 0.151)
		within(t, "its frequency", sc.spec.Light.BeatHz, 100, 120)
	}
}

func TestShadowMeetsTheStickerInTheStroke(t *testing.T) {
	for seed := 1; seed <= 8; seed++ {
		sc := drawn(t, "shadow", seed)
		w := sc.motion.swings[0]
		lo, hi := float32(1), float32(0)
		for at := w.stroke.Onset - 0.3; at < w.rest()+0.3; at += 0.01 {
			p := sc.view.project(sc.marker(at))
			var s [1]float32
			sc.lightAt(at).shade(s[:], int(p.x), int(p.y), sc.view.height)
			lo, hi = min(lo, s[0]), max(hi, s[0])
		}
		if hi-lo < 0.15 {
			t.Errorf("seed %d: no edge of the shadow crosses the sticker (light %.2f to %.2f)", seed, lo, hi)
		}
		for _, s := range sc.spec.Light.Steps {
			within(t, "exposure step", s.EV, -0.7, 0.7)
		}
	}
}

func TestDistractorsAreNearInHue(t *testing.T) {
	for seed := 1; seed <= 8; seed++ {
		s := drawn(t, "distractor", seed).spec
		var near int
		for _, o := range s.Props {
			if apart(o.RGB, s.Putter.StickerRGB) <= 8 {
				near++
			}
		}
		if apart(s.Player.Shoes, s.Putter.StickerRGB) <= 8 {
			near++
		}
		if want := map[bool]int{true: 3, false: 1}[seed%4 == 0]; near != want {
			t.Errorf("seed %d: %d things within 8 degrees of the sticker's hue, want %d", seed, near, want)
		}
	}
}

func TestCrossingEndsBeforeTheStroke(t *testing.T) {
	for seed := 1; seed <= 6; seed++ {
		sc := drawn(t, "crossing", seed)
		onset := sc.motion.swings[0].stroke.Onset
		hiddenSome := false
		for _, at := range sc.stamps() {
			if sc.visible(at) < 1 {
				hiddenSome = true
				if at > onset-1 {
					t.Errorf("seed %d: the sticker is hidden at %.2f s, the stroke begins at %.2f s", seed, at, onset)
				}
			}
		}
		if !hiddenSome && seed%3 == 1 {
			t.Errorf("seed %d: the hand never comes before the sticker", seed)
		}
		second := false
		for _, o := range sc.spec.Props {
			second = second || o.Kind == propDisc && o.RGB == sc.spec.Putter.StickerRGB
		}
		if second != (seed%3 == 0) {
			t.Errorf("seed %d: second sticker %v", seed, second)
		}
	}
}

func TestHiddenForUpToSixFrames(t *testing.T) {
	for seed := 1; seed <= 6; seed++ {
		sc := drawn(t, "hidden", seed)
		run, longest, least := 0, 0, 1.0
		for _, at := range sc.stamps() {
			f := sc.frameTruth(at)
			run++
			if *f.MarkerShare == 1 {
				run = 0
			} else if f.MarkerWhole {
				t.Errorf("seed %d: a sticker seen to %.2f is called whole", seed, *f.MarkerShare)
			}
			longest, least = max(longest, run), min(least, *f.MarkerShare)
		}
		within(t, "frames hidden at a time", float64(longest), 1, 6)
		within(t, "least share seen", least, 0.25, 0.75)
	}
}

func TestHighlightPassesTheSticker(t *testing.T) {
	for seed := 1; seed <= 8; seed++ {
		s := drawn(t, "glare", seed).spec
		lo, hi := 0.0, 0.0
		for at := 0.0; at < s.Duration; at += 0.01 {
			x := pathAt(s.Putter.Glare.Path, at)
			lo, hi = min(lo, x), max(hi, x)
		}
		within(t, "highlight on one side", lo, -0.03, -0.004)
		within(t, "highlight on the other", hi, 0.004, 0.03)
	}
}

func TestShakeOfAHand(t *testing.T) {
	for seed := 1; seed <= 8; seed++ {
		sc := drawn(t, "shake", seed)
		for _, w := range append(sc.spec.Camera.Shake.TremorX, sc.spec.Camera.Shake.TremorY...) {
			within(t, "tremor, px", w.Amplitude, 0.3, 0.3)
			within(t, "tremor, Hz", w.Frequency, 7, 9)
		}
		most := 0.0
		for _, at := range sc.stamps() {
			f := sc.frameTruth(at)
			within(t, "shift", f.Shift[0], -0.31, 3.31)
			within(t, "roll", f.Roll, -0.1001, 0.1001)
			most = max(most, math.Abs(f.Roll))
			// The truth's sticker moves with the picture: about its middle by the
			// roll, then by the shift.
			still := sc.view.project(sc.marker(at))
			s, c := math.Sincos(f.Roll * math.Pi / 180)
			x, y := still.x-959.5, still.y-539.5
			within(t, "sticker x", f.Marker[0], 959.5+c*x-s*y+f.Shift[0]-0.01, 959.5+c*x-s*y+f.Shift[0]+0.01)
			within(t, "sticker y", f.Marker[1], 539.5+s*x+c*y+f.Shift[1]-0.01, 539.5+s*x+c*y+f.Shift[1]+0.01)
		}
		within(t, "largest roll", most, 0.05, 0.1001)
	}
}

// The room that a moved camera sees is the still room, moved.
func TestResampledRoomIsWhereTheCameraLooks(t *testing.T) {
	const w, h = 64, 48
	double := newPatch(2*w, 2*h)
	for i := range double.pix {
		x, y := (float64(i%(2*w))-0.5)/2, (float64(i/(2*w))-0.5)/2
		double.pix[i] = rgb{float32(x), float32(y), 1}
	}
	v := view{cx: (w - 1) / 2.0, cy: (h - 1) / 2.0, width: w, height: h, shift: point{1.3, -0.6}, spin: 0.02}
	p := newPatch(w, h)
	p.resample(double, v)
	for _, at := range []point{{10, 8}, {32, 24}, {50, 40}} {
		// Where the still room's place at was is now seen at its moved pixel.
		s, c := math.Sincos(0.02)
		x, y := at.x-v.cx, at.y-v.cy
		mx, my := v.cx+c*x-s*y+1.3, v.cy+s*x+c*y-0.6
		ix, iy := int(mx), int(my)
		fx, fy := mx-float64(ix), my-float64(iy)
		var gx, gy float64
		for _, q := range [][3]float64{{0, 0, (1 - fx) * (1 - fy)}, {1, 0, fx * (1 - fy)}, {0, 1, (1 - fx) * fy}, {1, 1, fx * fy}} {
			g := p.pix[(iy+int(q[1]))*w+ix+int(q[0])]
			gx, gy = gx+q[2]*float64(g[0]), gy+q[2]*float64(g[1])
		}
		within(t, "place x", gx, at.x-0.01, at.x+0.01)
		within(t, "place y", gy, at.y-0.01, at.y+0.01)
	}
}

func TestLensBendsThePicture(t *testing.T) {
	for seed := 1; seed <= 8; seed++ {
		sc := drawn(t, "lens", seed)
		k1 := sc.spec.Camera.Distortion
		within(t, "k1", k1, -0.08, 0.02)
		for _, p := range []point{{100, 200}, {1700, 900}, {960, 500}} {
			at := sc.view.at.add(sc.view.ray(p).mul(3))
			q := sc.view.project(at)
			within(t, "there and back", q.distance(p), 0, 1e-3)
		}
		straight := sc.view
		straight.k1 = 0
		at := sc.marker(0)
		u := straight.project(at)
		x, y := (u.x-959.5)/straight.focal, (u.y-539.5)/straight.focal
		within(t, "sticker x", sc.view.project(at).x, 959.5+straight.focal*x*(1+k1*(x*x+y*y))-1e-6, 959.5+straight.focal*x*(1+k1*(x*x+y*y))+1e-6)
	}
}

func TestColouredBallIsNoSticker(t *testing.T) {
	halves := 0
	for seed := 1; seed <= 12; seed++ {
		s := drawn(t, "coloured-ball", seed).spec
		if apart(s.Ball.RGB, s.Putter.StickerRGB) <= 25 {
			t.Errorf("seed %d: ball and sticker are alike", seed)
		}
		if s.Ball.Half != nil {
			halves++
		}
		if s.Room.Lines != (seed%2 == 0) {
			t.Errorf("seed %d: mat lines %v", seed, s.Room.Lines)
		}
	}
	if halves != 4 {
		t.Errorf("%d of 12 balls are half and half, want 4", halves)
	}
}

func TestThreeBallsInARow(t *testing.T) {
	for seed := 1; seed <= 6; seed++ {
		sc := drawn(t, "three-balls", seed)
		if len(sc.spec.Props) != 2 {
			t.Fatalf("seed %d: %d more balls", seed, len(sc.spec.Props))
		}
		a, b := sc.spec.Props[0].Points[0], sc.spec.Props[1].Points[0]
		within(t, "off the row", a[0]*b[2]-a[2]*b[0], -1e-9, 1e-9)
		for _, at := range []float64{0, sc.motion.swings[0].contact} {
			if sc.visible(at) < 1 {
				t.Errorf("seed %d: a ball hides the sticker at %.2f s", seed, at)
			}
		}
	}
}

func TestRodLiesThereForTheFirstSecond(t *testing.T) {
	for seed := 1; seed <= 8; seed++ {
		sc := drawn(t, "rod", seed)
		rod := sc.truth().Rod
		stroke := sc.motion.swings[0].stroke.Onset
		within(t, "lies until", rod.Until, 1, 1.1)
		within(t, "ball placed", sc.spec.Ball.PlacedAt, rod.Until, stroke-1)
		if sc.ballShown(0.5) || !sc.ballShown(stroke) {
			t.Errorf("seed %d: rod and ball in one place", seed)
		}
		at := sc.spec.Rod.Bands
		within(t, "distance", rod.Distances[0]+rod.Distances[1], at[2]-at[0]-1e-9, at[2]-at[0]+1e-9)
		for i, p := range rod.Bands {
			within(t, "band px", sc.view.see(vec{at[i], sc.spec.Rod.Radius, 0}).distance(point{p[0], p[1]}), 0, 1e-3)
			if !sc.view.inside(point{p[0], p[1]}, 5) {
				t.Errorf("seed %d: band %d is out of the picture", seed, i)
			}
		}
		for _, o := range sc.spec.Props {
			for at := 0.0; at < 4; at += 0.05 {
				for i := range o.Points {
					within(t, "before the camera", sc.view.eye(o.point(i, at)).z, 0.5, 10)
				}
			}
			for _, p := range o.outline(sc.view, stroke-1) {
				if sc.view.inside(p, 0) {
					t.Fatalf("seed %d: something of rod or hand is still seen before the stroke", seed)
				}
			}
		}
		within(t, "putter at address", sc.marker(stroke-1).y-sc.home.y, -1e-3, 1e-3)
		within(t, "putter over the rod", sc.marker(0.5).y-sc.home.y, 0.06, 0.12)
	}
}

func TestOneNightIsOneDevice(t *testing.T) {
	first := drawn(t, "one-night", 1).spec
	backs := map[float64]bool{}
	for seed := 1; seed <= 12; seed++ {
		s := drawn(t, "one-night", seed).spec
		if s.Camera.Distance != first.Camera.Distance || s.Sound.Offset != first.Sound.Offset || s.Putter.StickerRGB != first.Putter.StickerRGB {
			t.Errorf("seed %d is of another evening", seed)
		}
		backs[s.Strokes[0].Back] = true
	}
	if len(backs) != 12 {
		t.Errorf("%d different strokes of 12", len(backs))
	}
	if other := drawn(t, "one-night", 13).spec; other.Sound.Offset == first.Sound.Offset {
		t.Error("the next night has the same device")
	}
}
