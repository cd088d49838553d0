package measure

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"strokereel/track"
	"strokereel/track/path"
	"strokereel/track/phase"
)

// moments of the test's stroke, s.
const (
	tStart, tTop, tImpact, tStop, tEnd = 1.0, 1.8, 2.2, 2.8, 4.5
)

// moved goes from 0 at address by the values at top, impact and stop, evenly
// within each part and eased at its ends.
func moved(t, top, impact, stop float64) float64 {
	ease := func(a, b, from, to float64) float64 {
		k := math.Max(0, math.Min(1, (t-from)/(to-from)))
		return a + (b-a)*k*k*k*(10-15*k+6*k*k)
	}
	switch {
	case t < tTop:
		return ease(0, top, tStart, tTop)
	case t < tImpact:
		return ease(top, impact, tTop, tImpact)
	}
	return ease(impact, stop, tImpact, tStop)
}

// golfer holds what the test's player does: changes since address at top, impact
// and stop in degrees and as shares, and the moment of the look-up.
type golfer struct {
	wrist, shaft, rock [3]float64
	elbows             [3]float64
	look               float64 // s, when the head has turned by 3 degrees
	shift, rise        float64 // m of the head at impact
	round              float64 // how much more its picture turns, as a share
}

// turn is that of the head, rad.
func (g golfer) turn(t float64) float64 {
	return math.Max(0, math.Min(25, 3+30*(t-g.look))) * math.Pi / 180
}

const testScale = 500 // px/m

// film gives the player's tracks in px, the target at the picture's right.
func (g golfer) film(noise float64, rng *rand.Rand) map[string]track.Track {
	out := map[string]track.Track{}
	for i := range int(tEnd * 60) {
		t := float64(i) / 60
		add := func(name string, x, y float64) {
			tr := out[name]
			tr.Object = name
			// x toward the target and y up, in m, about the ball.
			tr.Samples = append(tr.Samples, track.Sample{Frame: i, T: t, U: 0.15, Seen: true,
				X: 960 + testScale*x + noise*rng.NormFloat64(), Y: 900 - testScale*y + noise*rng.NormFloat64()})
			out[name] = tr
		}
		value := func(c [3]float64) float64 { return moved(t, c[0], c[1], c[2]) * math.Pi / 180 }
		lean := 2*math.Pi/180 + value(g.shaft) // hands toward the target
		add(track.ShaftFoot, -0.02+0.1*math.Sin(lean), 0.1*math.Cos(lean))
		add(track.ShaftTop, -0.02+0.45*math.Sin(lean), 0.45*math.Cos(lean))
		// hang of the forearm = hang of the shaft less the wrist's angle.
		hang := -lean - (-34*math.Pi/180 + value(g.wrist))
		ex, ey := 0.15*(1+moved(t, g.elbows[0], g.elbows[1], g.elbows[2])), 1.0
		add(track.LeadElbow, ex, ey)
		add(track.LeadWrist, ex+0.18*math.Sin(hang), ey-0.18*math.Cos(hang))
		add(track.TrailElbow, -0.15*(1+moved(t, g.elbows[0], g.elbows[1], g.elbows[2])), 0.95)
		rock := -5*math.Pi/180 + value(g.rock)
		// Stickers are a little above the line of the joints and turn with it.
		ux, uy := 0.03*math.Sin(rock), 0.03*math.Cos(rock)
		add(track.LeadShoulder, 0.18*math.Cos(rock)+ux, 1.3-0.18*math.Sin(rock)+uy)
		add(track.TrailShoulder, -0.18*math.Cos(rock)+ux, 1.3+0.18*math.Sin(rock)+uy)
		// The head turns at 30 degrees a second; the brim's edge is 0.18 m out.
		turn := g.turn(t)
		add(track.Cap, 0.01+0.1825*math.Sin(turn)+moved(t, 0, g.shift, g.shift), 1.35+moved(t, 0, g.rise, g.rise))
	}
	return out
}

// seen turns tracks into a clip, mirrored left to right or not.
func seen(tracks map[string]track.Track, mirrored bool) Clip {
	f := path.PuttFrame{OriginX: 960, OriginY: 900, DirX: 1, Scale: track.Scale{PxPerM: testScale, U: 2}}
	if mirrored {
		f.OriginX, f.DirX = 1919-f.OriginX, -1
	}
	in := Clip{MarkerScale: f.Scale, BallScale: f.Scale, Body: Body{Paths: map[string]track.Path{}}, BallKnown: true}
	in.FrameInterval, in.Smoothing = 1./60, path.DefaultOptions()
	for name, tr := range tracks {
		if mirrored {
			tr.Samples = append([]track.Sample(nil), tr.Samples...)
			for i := range tr.Samples {
				tr.Samples[i].X = 1919 - tr.Samples[i].X
			}
		}
		in.Body.Paths[name] = path.InMetres(tr, f)
	}
	return in
}

func testStroke() phase.Stroke {
	s := phase.Stroke{Kind: track.Putt, Launch: -1, ClipEnd: tEnd, Address: phase.Address{T0: 0.2, T1: tStart}}
	for name, t := range map[string]float64{track.Start: tStart, track.Top: tTop, track.Impact: tImpact, track.Stop: tStop} {
		s.Events = append(s.Events, track.Event{Name: name, T: t, U: 0.001, Status: track.Measured})
	}
	return s
}

func bodyOf(in Clip) map[string]track.Measure {
	w := newWork(testStroke(), in, DefaultOptions())
	w.body()
	return w.done
}

func TestBodyMeasuresWhatTheFigureDoes(t *testing.T) {
	g := golfer{wrist: [3]float64{4, -3, 25}, shaft: [3]float64{-12, 3, -20}, rock: [3]float64{14, 1, -16},
		elbows: [3]float64{0.05, 0.02, 0.12}, look: 3.1, shift: 0.002, rise: -0.004}
	got := bodyOf(seen(g.film(0.15, rand.New(rand.NewPCG(3, 5))), false))
	for _, want := range []struct {
		id         string
		value, tol float64
	}{
		{"lead_wrist_top", 4, 0.6}, {"lead_wrist_impact", -3, 0.6}, {"lead_wrist_finish", 25, 0.6},
		{"elbow_spread_top", 1.05, 0.005}, {"elbow_spread_impact", 1.02, 0.005}, {"elbow_spread_finish", 1.12, 0.005},
		{"shaft_lean_change", 3, 0.2}, {"shoulder_rock_top", 14, 0.3}, {"shoulder_rock_finish", -16, 0.3},
		{"head_shift", 0.002, 0.001}, {"head_rise", -0.004, 0.001},
		{"look_up_after_impact", 0.9, 0.03}, {"look_up_after_stop", 0.3, 0.03},
	} {
		m := got[want.id]
		if m.Status != track.Measured || math.Abs(m.Value-want.value) > want.tol || math.Abs(m.Value-want.value) > m.U95 {
			t.Errorf("%s: got %.4f +- %.4f (%s %s), want %g", want.id, m.Value, m.U95, m.Status, m.Reason, want.value)
		}
	}
	if m := got["y_kept"]; m.Word != "no" {
		t.Errorf("a wrist of 25 degrees at the finish: the Y is %q, want no", m.Word)
	}
	for _, id := range []string{"trunk_change_finish", "stance_width", "ball_position", "elbow_bend_trail", "lead_hand_after_impact"} {
		if m := got[id]; m.Status != track.NotMeasured || !strings.Contains(m.Reason, "not seen") {
			t.Errorf("%s without its joints: got %s %q", id, m.Status, m.Reason)
		}
	}
}

// A left-hander's numbers equal its mirror image's to rounding.
func TestBodyOfTheMirrorImageIsTheSame(t *testing.T) {
	g := golfer{wrist: [3]float64{2, 6, 11}, shaft: [3]float64{-9, 2, -15}, rock: [3]float64{10, 2, -12},
		elbows: [3]float64{-0.03, 0.01, 0.1}, look: 2.6, shift: 0.004}
	tracks := g.film(0.2, rand.New(rand.NewPCG(4, 4)))
	right, left := bodyOf(seen(tracks, false)), bodyOf(seen(tracks, true))
	measured := 0
	for id, a := range right {
		b := left[id]
		if a.Status != b.Status || a.Word != b.Word || math.Abs(a.Value-b.Value) > 1e-9 || math.Abs(a.U95-b.U95) > 1e-9 {
			t.Errorf("%s: right %+v, left %+v", id, a, b)
		}
		if a.Status == track.Measured {
			measured++
		}
	}
	if measured < 12 {
		t.Errorf("only %d measures compared", measured)
	}
}

func TestYKept(t *testing.T) {
	near := golfer{wrist: [3]float64{1, 1, 2}, look: 9}
	edge := golfer{wrist: [3]float64{1, 1, 8.2}, look: 9}
	wide := golfer{wrist: [3]float64{1, 1, 2}, elbows: [3]float64{0, 0, 0.15}, look: 9}
	for _, c := range []struct {
		name string
		g    golfer
		want string
	}{{"as at address", near, "yes"}, {"wrist at the tolerance", edge, "too_close"}, {"elbows spread", wide, "no"}} {
		got := bodyOf(seen(c.g.film(0.1, rand.New(rand.NewPCG(8, 1))), false))
		if m := got["y_kept"]; m.Word != c.want {
			t.Errorf("%s: got %q %s, want %q", c.name, m.Word, m.Reason, c.want)
		}
		if m := got["look_up_after_impact"]; m.Status != track.AtLeast || m.Value < tEnd-tImpact-0.1 {
			t.Errorf("%s: a head that stays down: got %+v", c.name, m)
		}
	}
	in := seen(near.film(0.1, rand.New(rand.NewPCG(8, 1))), false)
	in.Body.Grip = "arm-lock"
	if m := bodyOf(in)["y_kept"]; m.Status != track.NotMeasured || !strings.Contains(m.Reason, "grip") {
		t.Errorf("arm-lock grip: got %+v", m)
	}
	if m := bodyOf(in)["elbow_spread_finish"]; m.Status != track.Measured {
		t.Errorf("arm-lock grip leaves the elbows: got %+v", m)
	}
}

func TestHeadThatTurnsBeforeImpactHasNoShift(t *testing.T) {
	g := golfer{look: 2.0}
	got := bodyOf(seen(g.film(0.1, rand.New(rand.NewPCG(8, 1))), false))
	if m := got["head_shift"]; m.Status != track.NotMeasured {
		t.Errorf("got %+v", m)
	}
	if m := got["look_up_after_impact"]; m.Status != track.Measured || math.Abs(m.Value+0.2) > 0.015 {
		t.Errorf("look-up before impact: got %+v, want -0.2", m)
	}
}

// Three joints of a textbook triangle: straight is 180, square is 90.
func TestJointAngle(t *testing.T) {
	for _, c := range []struct {
		name             string
		x                [6]float64
		want, resolution float64
	}{
		{"elbow, wrist, putter", [6]float64{0, 0, 0, 250, 30, 600}, 175.101, 1e-3},
		{"straight", [6]float64{0, 0, 0, 1, 0, 3}, 180, 1e-9},
		{"square", [6]float64{0, 1, 0, 0, 1, 0}, 90, 1e-9},
	} {
		if got := JointAngle(c.x[0], c.x[1], c.x[2], c.x[3], c.x[4], c.x[5]); math.Abs(got-c.want) > c.resolution {
			t.Errorf("%s: got %.4f, want %g", c.name, got, c.want)
		}
	}
}
