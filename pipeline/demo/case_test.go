package demo

import (
	"math"
	"reflect"
	"strings"
	"testing"
)

// within fails unless lo <= v <= hi.
func within(t *testing.T, what string, v, lo, hi float64) {
	t.Helper()
	if !(v >= lo && v <= hi) {
		t.Errorf("%s is %g, want %g to %g", what, v, lo, hi)
	}
}

func drawn(t *testing.T, name string, seed int) *scene {
	t.Helper()
	s, err := Case(name, seed)
	if err != nil {
		t.Fatal(err)
	}
	sc, err := newScene(s)
	if err != nil {
		t.Fatal(err)
	}
	return sc
}

// The ranges are those pinned for the bench, written again by hand.
func TestCaseKeepsThePinnedRanges(t *testing.T) {
	for seed := 1; seed <= 200; seed++ {
		sc := drawn(t, "clean", seed)
		s := sc.spec
		within(t, "ball diameter", s.Ball.Diameter, 0.04267, 0.04295)
		within(t, "plane offset", s.Putter.PlaneOffset, 0.035, 0.060)
		within(t, "sticker", s.Putter.StickerSize, 0.020, 0.025)
		within(t, "distance", s.Camera.Distance, 2.5, 4.5)
		within(t, "camera height", s.Camera.Rise, 0.7, 1.4)
		within(t, "focal length", s.Camera.FocalMM, 26, 50)
		within(t, "yaw", s.Camera.Yaw, -3, 3)
		within(t, "roll", s.Camera.Roll, -2, 2)
		within(t, "gap", s.Ball.Gap, 0, 0.012)
		within(t, "face turn", s.Putter.FaceTurn, 0, 8)
		within(t, "speed loss", s.Strokes[0].Loss, 0.05, 0.30)
		within(t, "ball ratio", s.Ball.Ratio, 1.45, 1.70)
		within(t, "friction", s.Ball.Friction, 0.2, 0.5)
		within(t, "green speed", s.Ball.GreenSpeed, 7, 12)
		within(t, "device offset", s.Sound.Offset, -0.040, 0.040)
		within(t, "temperature", s.Sound.Temperature, 5, 35)
		within(t, "shutter", s.Video.Shutter, 1.0/1000, 1.0/250)
		within(t, "noise", s.Video.Noise, 0.008, 0.015)
		within(t, "sharpening", s.Video.Sharpen, 0, 0.6)
		within(t, "sway", s.Player.Sway, 0, 0.020)
		within(t, "backstroke", s.Strokes[0].Back, 0.12, 0.45)
		within(t, "follow-through", s.Strokes[0].Through, 0.15, 0.55)
		within(t, "still time", sc.motion.swings[0].stroke.Onset-sc.stillFrom(0), 1.0, 1.8)
		within(t, "impact speed", sc.speedBefore(sc.motion.swings[0].contact), 0.8, 2.2)
		within(t, "time after the stop", s.Duration-sc.motion.swings[0].rest(), 3, 3.5)
		if s.Player.Bands != (seed%2 == 0) {
			t.Errorf("seed %d: bands belong on every second seed", seed)
		}
		var tremor float64
		for _, w := range s.Tremor {
			tremor += w.Amplitude
			within(t, "tremor frequency", w.Frequency, 5, 9)
		}
		within(t, "tremor", tremor, 0.2e-3, 0.5e-3)
	}
}

func TestPictureScaleAndView(t *testing.T) {
	limits := map[string][2]float64{"clean": {380, 650}, "left": {380, 650}, "portrait": {380, 800},
		"low-rate": {253, 434}, "messenger": {190, 325}, "child": {380, 650}}
	for name, l := range limits {
		for seed := 1; seed <= 25; seed++ {
			sc := drawn(t, name, seed)
			spot := vec{0, sc.spec.Ball.Diameter / 2, 0}
			within(t, name+" px/m", sc.view.focal/spot.sub(sc.view.at).dot(sc.view.forward), l[0], l[1])
			w := sc.motion.swings[0]
			for _, at := range []float64{0, w.stroke.Onset + w.stroke.BackTime, w.contact, w.rest(), sc.spec.Duration} {
				b := sc.bodyAt(at)
				for _, p := range []vec{sc.marker(at), b.elbow[lead], b.elbow[trail], b.toe[lead], b.toe[trail], b.ankle[lead],
					b.skull.place(vec{0, skullLong, 0}), b.shoulder[lead], b.shoulder[trail]} {
					if !sc.view.inside(sc.view.see(p), 3) {
						t.Errorf("%s seed %d: at %.2f s %v is seen at %v, out of the picture", name, seed, at, p, sc.view.see(p))
					}
				}
			}
		}
	}
}

func TestBodyMovesAsDrawn(t *testing.T) {
	for seed := 1; seed <= 40; seed++ {
		sc := drawn(t, "clean", seed)
		m := sc.strokeTruth(0).Measures
		within(t, "elbow spread at the finish", m["elbow_spread_finish"].Value, 0.94, 1.26)
		within(t, "lead wrist at the finish", m["lead_wrist_finish"].Value, -6, 50)
		within(t, "shoulder rock at the top", m["shoulder_rock_top"].Value, 5, 26)
		within(t, "shoulder rock at the finish", -m["shoulder_rock_finish"].Value, 5, 26)
		within(t, "ball to head", m["ball_to_head"].Value, 1.45, 1.70)
	}
}

func TestEveryCaseCanBeDrawn(t *testing.T) {
	for _, c := range CaseNames() {
		for seed := 1; seed <= 4; seed++ {
			sc := drawn(t, c.Name, seed)
			if got := sc.spec.Case; got != c.Name {
				t.Errorf("case %q calls itself %q", c.Name, got)
			}
			again, err := Case(c.Name, seed)
			if err != nil || !reflect.DeepEqual(again, sc.spec) {
				t.Errorf("case %q seed %d is drawn differently the second time (%v)", c.Name, seed, err)
			}
		}
		one, two := drawn(t, c.Name, 1).spec, drawn(t, c.Name, 2).spec
		if one.Ball.Ratio == two.Ball.Ratio {
			t.Errorf("case %q: seeds 1 and 2 are alike", c.Name)
		}
	}
}

func TestCaseRefuses(t *testing.T) {
	if _, err := Case("foggy", 1); err == nil || !strings.Contains(err.Error(), `"foggy"`) || !strings.Contains(err.Error(), "clean") {
		t.Errorf("unknown case: got %v, want its name and the known ones", err)
	}
	if _, err := Case("clean", 0); err == nil {
		t.Error("seed 0 was accepted")
	}
}

func TestLeavesFrame(t *testing.T) {
	for seed := 1; seed <= 8; seed++ {
		sc := drawn(t, "leaves-frame", seed)
		outside := false
		for at := 0.0; at < sc.spec.Duration; at += 0.01 {
			p := sc.view.see(sc.marker(at))
			outside = outside || p.x < 0 || p.x > 1919
		}
		if !outside {
			t.Errorf("seed %d: the marker stays in view", seed)
		}
	}
}

func TestStickerColourStandsOut(t *testing.T) {
	for seed := 1; seed <= 100; seed++ {
		s, err := Case("clean", seed)
		if err != nil {
			t.Fatal(err)
		}
		for _, other := range append([]rgb{s.Room.Mat}, s.Player.BandRGB...) {
			if d := math.Abs(hue(s.Putter.StickerRGB) - hue(other)); min(d, 360-d) < 25 {
				t.Errorf("seed %d: sticker %s is near in hue to %v", seed, s.Putter.StickerName, other)
			}
		}
	}
}
