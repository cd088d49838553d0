package demo

import (
	"math"
	"testing"
)

// Each event is checked by asking the motion itself, not the samples it was
// found in.
func TestEventsObeyTheirDefinitions(t *testing.T) {
	for seed := 1; seed <= 14; seed++ {
		sc := drawn(t, "clean", seed)
		st := sc.strokeTruth(0)
		at := func(name string) float64 { return *st.Events[name] }
		x := func(t float64) float64 { return sc.marker(t).x - sc.home.x }
		var mean float64
		const n = 20000
		from, to := sc.stillFrom(0), sc.spec.Strokes[0].Onset
		for i := range n {
			mean += x(from+(to-from)*(float64(i)+0.5)/n) / n
		}
		if d := mean - x(at("start")); math.Abs(d-0.002) > 1e-4 {
			t.Errorf("seed %d: start is %g mm behind the address mean, want 2", seed, d*1e3)
		}
		for u := at("start") + 1e-3; u < at("top"); u += 1e-3 {
			if mean-x(u) < 0.002 {
				t.Errorf("seed %d: the marker is back within 2 mm at %g, after the start %g", seed, u, at("start"))
				break
			}
		}
		low, high := math.Inf(1), math.Inf(-1)
		for u := at("start"); u < at("impact"); u += 1e-4 {
			low = min(low, x(u))
		}
		for u := at("impact"); u < sc.spec.Duration && high-x(u) < 0.005; u += 1e-4 {
			high = max(high, x(u))
		}
		within(t, "short of the top, mm", (x(at("top"))-low)*1e3, 0, 1.3)
		within(t, "backstroke", st.Measures["backstroke_length"].Value, mean-low-1e-6, mean-low+1e-6)
		within(t, "short of the farthest, mm", (high-x(at("stop")))*1e3, 1.9, 2.01)
		if v := x(at("stop") - 2e-4); high-v < 0.002 {
			t.Errorf("seed %d: already within 2 mm before the stop", seed)
		}
		if a := at("start"); !(a < at("top") && at("top") < at("impact") && at("impact") < at("stop") && at("stop") < at("hold_end")) {
			t.Errorf("seed %d: events out of order: %v %v %v %v %v", seed, at("start"), at("top"), at("impact"), at("stop"), at("hold_end"))
		}
	}
}

// At the impact the nearest point of the face plane touches the ball; the face
// is taken from four corners of the head, not from its axes.
func TestImpactIsContact(t *testing.T) {
	for seed := 1; seed <= 25; seed++ {
		sc := drawn(t, "left", seed)
		p, hit := sc.spec.Putter, *sc.strokeTruth(0).Events["impact"]
		gap := func(at float64) float64 {
			c := sc.clubAt(at)
			a := c.place(vec{p.FaceAhead, -0.01, 0})
			u := c.place(vec{p.FaceAhead, 0.01, 0}).sub(a)
			w := c.place(vec{p.FaceAhead, -0.01, -0.05}).sub(a)
			n := w.cross(u)
			r := sc.spec.Ball.Diameter / 2
			return math.Abs(vec{0, r, 0}.sub(a).dot(n))/n.length() - r
		}
		if g := gap(hit); math.Abs(g) > 1e-8 {
			t.Errorf("seed %d: face and ball are %g um apart at the impact", seed, g*1e6)
		}
		if g := gap(sc.stillFrom(0)); math.Abs(g-sc.spec.Ball.Gap) > 0.6e-3 {
			t.Errorf("seed %d: gap at address %g mm, want %g and the tremor", seed, g*1e3, sc.spec.Ball.Gap*1e3)
		}
		for at := hit - 0.2; at < hit-1e-4; at += 1e-3 {
			if gap(at) < 0 {
				t.Errorf("seed %d: face in the ball %g s before the impact", seed, hit-at)
			}
		}
	}
}

func TestSpeedsAreThoseOfTheMotion(t *testing.T) {
	for seed := 1; seed <= 25; seed++ {
		sc := drawn(t, "clean", seed)
		st := sc.strokeTruth(0)
		hit := *st.Events["impact"]
		before := (sc.marker(hit-1e-5).x - sc.marker(hit-3e-5).x) / 2e-5
		after := (sc.marker(hit+3e-5).x - sc.marker(hit+1e-5).x) / 2e-5
		within(t, "impact speed against the slope", st.Measures["impact_speed"].Value/before, 0.999, 1.001)
		within(t, "speed lost", (before-after)/before, 0.05*0.95, 0.30*1.05)
		a, _ := sc.ballAt(hit)
		b, _ := sc.ballAt(hit + 0.002)
		within(t, "ball speed against its first 2 ms", st.Measures["ball_speed"].Value/(b.sub(a).length()/0.002), 1, 1.02)
	}
}

func TestStrokesWithoutBall(t *testing.T) {
	sc := drawn(t, "no-ball", 1)
	st := sc.strokeTruth(0)
	if st.Kind != "practice" || st.Events["impact"] != nil || st.Events["stop"] == nil {
		t.Errorf("got kind %q, impact %v, stop %v", st.Kind, st.Events["impact"], st.Events["stop"])
	}
	if _, ok := st.Measures["impact_speed"]; ok {
		t.Error("a stroke without a ball has an impact speed")
	}
	if n := len(drawn(t, "still", 1).truth().Strokes); n != 0 {
		t.Errorf("a player who never moves has %d strokes", n)
	}
	two := drawn(t, "two-strokes", 1).truth().Strokes
	if len(two) != 2 || two[0].Kind != "practice" || two[1].Kind != "putt" {
		t.Errorf("two strokes: got %d", len(two))
	}
	within(t, "the putt's start after the practice stroke's stop", *two[1].Events["start"]-*two[0].Events["stop"], 1, 10)
}

// A ball that slides without spin rolls after 2 v / (7 mu g), at 5/7 of its
// speed (textbook mechanics of a solid sphere, from memory).
func TestBallSkidsThenRolls(t *testing.T) {
	b := Ball{Diameter: 0.0427, Ratio: 1.5, Friction: 0.3, GreenSpeed: 10}
	r := newRoll(b, 1.2, 12)
	v := 1.8
	skid := 2 * v / (7 * 0.3 * 9.81)
	within(t, "skid", r.skid, skid-2e-4, skid+2e-4)
	x1, _ := r.at(skid)
	within(t, "skidded", x1, 0.999*(v+v*5/7)/2*skid, 1.001*(v+v*5/7)/2*skid)
	slow := 1.83 * 1.83 / (2 * 10 * 0.3048)
	end, _ := r.at(12)
	want := x1 + (v*5/7)*(v*5/7)/(2*slow)
	within(t, "rolled to", end, want-0.003, want+0.003)
}

func TestGreenSpeedIsTheRollOfABallLetGo(t *testing.T) {
	b := Ball{Diameter: 0.0427, Ratio: 1.83, SpinShare: 1, Friction: 0.4, GreenSpeed: 9}
	x, spin := newRoll(b, 1, 15).at(15)
	within(t, "rolled", x, 9*0.3048-0.002, 9*0.3048+0.002)
	within(t, "turned without slip", spin*0.0427/2, x-0.001, x+0.001)
}

func TestCurve(t *testing.T) {
	c := newCurve([]float64{0, 1, 1.5, 4}, []float64{0, 2, 2.1, -1})
	var area float64
	high, low := math.Inf(-1), math.Inf(1)
	const n = 400000
	for i := range n {
		v := c.at(4 * (float64(i) + 0.5) / n)
		area += v * 4 / n
		high, low = max(high, v), min(low, v)
	}
	within(t, "area", c.integral(4), area-1e-6, area+1e-6)
	within(t, "part of the area beyond the last knot", c.integral(5)-c.integral(4), -1-1e-12, -1+1e-12)
	within(t, "highest", high, 2.09, 2.1)
	within(t, "lowest", low, -1, -0.99)
	for _, at := range []float64{1, 1.5} {
		l, r := (c.at(at)-c.at(at-1e-6))/1e-6, (c.at(at+1e-6)-c.at(at))/1e-6
		within(t, "slope step", l-r, -1e-4, 1e-4)
	}
}
