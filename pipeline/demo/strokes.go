package demo

import "math"

// strokeTruth applies the definitions of events and measures to stroke k.
func (sc *scene) strokeTruth(k int) StrokeTruth {
	end := sc.stamps()[len(sc.stamps())-1]
	if k+1 < len(sc.motion.swings) {
		end = sc.stillFrom(k + 1)
	}
	f := sc.findEvents(k, end)
	st := StrokeTruth{Kind: "practice", Pause: f.pause, HoldOpen: f.holdOpen, Measures: map[string]NumberTruth{}}
	if k == sc.putt {
		st.Kind = "putt"
	}
	st.Address = pair(sc.view.see(sc.home.add(vec{f.address.x, f.address.y, -sc.motion.swings[k].stroke.Inside})))
	st.Events = map[string]*float64{"start": moment(f.start), "top": moment(f.top), "impact": moment(f.impact),
		"stop": moment(f.stop), "hold_end": moment(f.holdEnd), "look_up": moment(f.lookUp)}
	put := func(name string, value float64, unit string) {
		if !math.IsNaN(value) {
			st.Measures[name] = NumberTruth{Value: value, Unit: unit}
		}
	}
	sc.lineMeasures(f, put)
	st.Measures["hold_time"] = NumberTruth{f.holdEnd - f.stop, "s", f.holdOpen}
	st.Measures["recoil"] = NumberTruth{f.recoil, "m", f.recoilOpen}
	if k == sc.putt {
		put("ball_speed", sc.roll.speed, "m/s")
		put("ball_to_head", sc.roll.speed/sc.speedBefore(f.impact), "1")
	}
	if sc.spec.Player.Present {
		sc.bodyMeasures(f, put)
	}
	return st
}

func moment(t float64) *float64 {
	if math.IsNaN(t) {
		return nil
	}
	return &t
}

// lineMeasures are those of the marker alone. Without an impact (NaN) the ones
// that need it drop out.
func (sc *scene) lineMeasures(f found, put func(string, float64, string)) {
	put("backstroke_length", -f.back, "m")
	put("follow_through_length", f.forward, "m")
	put("through_to_back", f.forward/-f.back, "1")
	put("backstroke_time", f.top-f.start, "s")
	put("downstroke_time", f.impact-f.top, "s")
	put("follow_through_time", f.stop-f.impact, "s")
	put("tempo", (f.top-f.start)/(f.impact-f.top), "1")
	if !math.IsNaN(f.impact) {
		put("impact_speed", sc.speedBefore(f.impact), "m/s")
	}
	put("look_up_after_impact", f.lookUp-f.impact, "s")
	put("look_up_after_stop", f.lookUp-f.stop, "s")
}

// bodyMeasures are changes against the start of the stroke.
func (sc *scene) bodyMeasures(f found, put func(string, float64, string)) {
	hit := !math.IsNaN(f.impact)
	change := func(name, unit string, at float64, of func(float64) float64) {
		put(name, of(at)-of(f.start), unit)
	}
	change("lead_wrist_top", "deg", f.top, sc.leadWrist)
	change("lead_wrist_finish", "deg", f.stop, sc.leadWrist)
	change("shoulder_rock_top", "deg", f.top, sc.shoulderTilt)
	change("shoulder_rock_finish", "deg", f.stop, sc.shoulderTilt)
	change("trunk_change_finish", "deg", f.stop, sc.trunkLean)
	spread := sc.elbowSpread(f.start)
	put("elbow_spread_top", sc.elbowSpread(f.top)/spread, "1")
	put("elbow_spread_finish", sc.elbowSpread(f.stop)/spread, "1")
	put("still_time", f.start-sc.stillBefore(f.start), "s")
	sc.addressMeasures(f.start, put)
	if !hit {
		return
	}
	change("lead_wrist_impact", "deg", f.impact, sc.leadWrist)
	change("shaft_lean_change", "deg", f.impact, sc.shaftLean)
	put("elbow_spread_impact", sc.elbowSpread(f.impact)/spread, "1")
	a, b := sc.bodyAt(f.start).head, sc.bodyAt(f.impact).head
	put("head_shift", b.x-a.x, "m")
	put("head_rise", b.y-a.y, "m")
	put("lead_hand_after_impact", sc.handSpeed(f.impact+0.1)/sc.handSpeed(f.impact-1e-4), "1")
}

// stillBefore is where the rest that ends with the stroke's start began.
func (sc *scene) stillBefore(start float64) float64 {
	for k := len(sc.motion.swings) - 1; k >= 0; k-- {
		if sc.motion.swings[k].stroke.Onset < start {
			return sc.stillFrom(k)
		}
	}
	return 0
}

func (sc *scene) handSpeed(t float64) float64 {
	const d = 1e-5
	return sc.bodyAt(t + d).hand[lead].sub(sc.bodyAt(t - d).hand[lead]).length() / (2 * d)
}

// addressMeasures describe the stance in the picture.
func (sc *scene) addressMeasures(t float64, put func(string, float64, string)) {
	b := sc.bodyAt(t)
	x := func(p vec) float64 { return sc.sight(p).x }
	ankles := sc.view.see(b.ankle[lead]).distance(sc.view.see(b.ankle[trail]))
	shoulders := sc.view.see(b.shoulder[lead]).distance(sc.view.see(b.shoulder[trail]))
	put("stance_width", ankles/shoulders, "1")
	put("elbow_bend_lead", sc.bend(b, lead), "deg")
	put("elbow_bend_trail", sc.bend(b, trail), "deg")
	if sc.spec.Ball.Present {
		ball, _ := sc.ballAt(0)
		put("ball_position", (x(ball)-x(b.ankle[trail]))/(x(b.ankle[lead])-x(b.ankle[trail])), "1")
		put("head_over_ball", b.head.x-ball.x, "m")
	}
}

func (sc *scene) bend(b body, i int) float64 {
	return math.Abs(sc.hang(b.shoulder[i], b.elbow[i]) - sc.hang(b.elbow[i], b.wrist[i]))
}
