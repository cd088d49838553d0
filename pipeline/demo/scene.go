package demo

import (
	"fmt"
	"math"
)

// scene is a Spec made ready to ask where everything is at any moment.
type scene struct {
	spec        Spec
	view        view
	motion      motion
	home        vec     // marker at address
	faceTurn    float64 // radians per metre along the line
	addressTilt float64 // of the shoulder line, trail side lower

	wrist, rock, swivel, sway, headTurn curve

	held   held // the camera in the hand
	nudged vec  // the sticker from its place on the head, to see what that changes

	putt int  // index of the stroke that strikes the ball, -1 without
	roll roll // of the struck ball
}

// newScene builds the motion, finds the contact and fits the body to it.
func newScene(s Spec) (*scene, error) {
	sc := &scene{spec: s, view: newView(s.Camera), held: newHeld(s.Camera.Shake, s.Duration), putt: -1, addressTilt: -5 * degree}
	sc.home = markerHome(s.Putter, s.Ball)
	sc.motion = newMotion(s)
	if len(s.Strokes) == 0 {
		return sc, nil
	}
	last := len(s.Strokes) - 1
	sc.faceTurn = s.Putter.FaceTurn * degree / (s.Strokes[last].Back + s.Strokes[last].Through)
	sc.poseCurves(0, 0)
	// The wrists move the face a little and so the contact, which times the
	// wrists: fit one to the other until neither moves.
	for range 3 {
		sc.fitBody()
		if err := sc.strike(); err != nil {
			return nil, err
		}
	}
	return sc, nil
}

// strike finds the contact of the stroke that meets the ball. The lean of the
// shaft at contact hangs weakly on the moment of contact, so it is repeated
// until it no longer moves.
func (sc *scene) strike() error {
	if !sc.spec.Ball.Present {
		return nil
	}
	for i := range sc.motion.swings {
		w := &sc.motion.swings[i]
		if w.stroke.Inside > 0 {
			continue
		}
		for range 6 {
			t, ok := sc.findContact(w.stroke)
			if !ok {
				return fmt.Errorf("building clip %q seed %d: the face never meets the ball", sc.spec.Case, sc.spec.Seed)
			}
			w.setContact(t, true)
			sc.poseCurves(sc.finishWrist(), sc.finishSwivel())
		}
		sc.putt = i
		sc.roll = newRoll(sc.spec.Ball, sc.speedBefore(w.contact), math.Max(0.1, sc.spec.Duration-w.contact+0.1))
		return nil
	}
	return nil
}

func (sc *scene) finishWrist() float64  { return lastValue(sc.wrist) }
func (sc *scene) finishSwivel() float64 { return lastValue(sc.swivel) }

func lastValue(c curve) float64 { return c.v[len(c.v)-1] }

// wristShare of the follow-through is over when the wrists have come to rest;
// the head still drifts to its stop.
const wristShare = 0.8

// poseCurves times the body's own movements by the strokes: wrists, shoulders,
// elbows, sway and the turn of the head.
func (sc *scene) poseCurves(finishWrist, finishSwivel float64) {
	p := sc.spec.Player
	type row struct{ t, wrist, rock, swivel, sway float64 }
	var rows []row
	for _, w := range sc.motion.swings {
		st := w.stroke
		top, stop := st.Onset+st.BackTime, w.rest()
		rows = append(rows,
			row{t: st.Onset},
			row{top, p.WristTop * degree, p.RockTop * degree, 0.3 * finishSwivel, -p.Sway / 2},
			row{w.contact, 0.25 * finishWrist, 0.1 * p.RockTop * degree, 0.35 * finishSwivel, 0.1 * p.Sway},
			row{w.contact + wristShare*(stop-w.contact), finishWrist, -p.RockFinish * degree, finishSwivel, p.Sway / 2})
		if w.stroke.Inside > 0 {
			rows = append(rows, row{t: w.settle.end()})
		}
	}
	n := len(rows)
	t, late, wrist, rock, swivel, sway := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for i, r := range rows {
		t[i], late[i], wrist[i], rock[i], swivel[i], sway[i] = r.t, r.t+p.Lag, r.wrist, r.rock, r.swivel, r.sway
	}
	sc.wrist, sc.rock = newCurve(t, wrist), newCurve(late, rock)
	sc.swivel, sc.sway = newCurve(t, swivel), newCurve(late, sway)
	from := sc.motion.swings[len(sc.motion.swings)-1].contact + p.HeadTurnAt
	sc.headTurn = newCurve([]float64{from, from + p.HeadTurnIn}, []float64{0, p.HeadTurn * degree})
}

// mostLean is the sine of the largest lean of the shaft at the finish.
const mostLean = 0.60

// fitBody bends wrists and elbows at the finish until the picture shows the
// change that was drawn, as far as the arms reach.
func (sc *scene) fitBody() {
	w := sc.motion.swings[len(sc.motion.swings)-1]
	start, stop := w.stroke.Onset, w.rest()
	wrist, swivel := sc.finishWrist(), sc.finishSwivel()
	// The hands do not fall behind the middle of the stance.
	most := math.Asin(clamp((w.finish+0.04)/(sc.spec.Putter.Length-0.12), 0, mostLean)) -
		math.Asin(w.finish/sc.spec.Putter.SwingRadius)
	for range 2 {
		wrist = halve(-10*degree, math.Max(0, most), func(v float64) float64 {
			sc.poseCurves(v, swivel)
			return sc.leadWrist(stop) - sc.leadWrist(start) - sc.spec.Player.WristFinish
		})
		swivel = halve(-60*degree, 90*degree-addressSwivel, func(v float64) float64 {
			sc.poseCurves(wrist, v)
			return sc.elbowSpread(stop)/sc.elbowSpread(start) - sc.spec.Player.ElbowFinish
		})
	}
	sc.poseCurves(wrist, swivel)
}

// halve finds where a rising f crosses zero, or the nearer end.
func halve(lo, hi float64, f func(float64) float64) float64 {
	for range 30 {
		mid := (lo + hi) / 2
		if f(mid) < 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// ballAt gives the ball's centre and the angle it has turned.
func (sc *scene) ballAt(t float64) (vec, float64) {
	r := sc.spec.Ball.Diameter / 2
	if sc.putt < 0 {
		return vec{0, r, 0}, 0
	}
	x, spin := sc.roll.at(t - sc.motion.swings[sc.putt].contact)
	return vec{x, r, 0}, spin
}

// ballShown reports whether the ball lies there yet.
func (sc *scene) ballShown(t float64) bool {
	return sc.spec.Ball.Present && t >= sc.spec.Ball.PlacedAt
}

// marker is the sticker's centre.
func (sc *scene) marker(t float64) vec { return sc.clubAt(t).at }

// speedBefore is the marker's speed along the line just before a moment.
func (sc *scene) speedBefore(t float64) float64 {
	const d = 1e-6
	return (sc.marker(t-d).x - sc.marker(t-2*d).x) / d
}
