package demo

import "math"

// swing is one stroke made ready: where the marker is along the line.
type swing struct {
	stroke  Stroke
	pre     curve // speed from the onset to a little past the ball's place
	contact float64
	place   float64 // at contact
	before  float64 // speed just before contact
	after   curve   // speed from the contact to rest
	finish  float64
	settle  curve // movement after the stop
	struck  bool
}

// newSwing shapes the speed before the contact. The random profiles are scaled
// until the backstroke is as long as drawn and the nominal contact lies at the
// ball.
func newSwing(st Stroke, gap float64) swing {
	back, down := -st.Back/st.BackTime, st.Back/st.DownTime
	w := swing{stroke: st}
	for range 60 {
		w.pre = preSpeed(st, back, down)
		low := w.pre.integral(st.topEnd())
		back *= -st.Back / low
		down *= (st.Back + gap) / (w.pre.integral(st.nominal()) - low)
	}
	w.setContact(st.nominal(), false)
	return w
}

func (st Stroke) topEnd() float64  { return st.Onset + st.BackTime + st.Pause }
func (st Stroke) nominal() float64 { return st.topEnd() + st.DownTime }

func preSpeed(st Stroke, back, down float64) curve {
	t, v := []float64{st.Onset}, []float64{0}
	for _, k := range st.BackKnots {
		t, v = append(t, st.Onset+k.At*st.BackTime), append(v, k.Speed*back)
	}
	t, v = append(t, st.Onset+st.BackTime), append(v, 0)
	if st.Pause > 0 {
		t, v = append(t, st.topEnd()), append(v, 0)
	}
	for _, k := range st.DownKnots {
		t, v = append(t, st.topEnd()+k.At*st.DownTime), append(v, k.Speed*down)
	}
	return newCurve(t, v)
}

// setContact ends the first part at t and shapes the rest: a step in speed if a
// ball was struck, then a random slowing over the drawn length.
func (w *swing) setContact(t float64, struck bool) {
	w.contact, w.struck = t, struck
	w.place, w.before = w.pre.integral(t), w.pre.at(t)
	v := w.before
	if struck {
		v *= 1 - w.stroke.Loss
	}
	shape := restSpeed(w.stroke.RestKnots, 0, 1, 1)
	length := w.stroke.Through - w.place
	span := length / (v * shape.integral(1))
	w.after = restSpeed(w.stroke.RestKnots, t, span, v)
	w.finish = w.stroke.Through
	st, stop := w.stroke, w.rest()
	w.settle = newCurve(
		[]float64{stop, stop + st.Hold, stop + st.Hold + st.ReturnIn},
		[]float64{0, st.Drift, st.Drift - st.Return})
}

func restSpeed(knots []Knot, from, span, speed float64) curve {
	t, v := []float64{from}, []float64{speed}
	for _, k := range knots {
		t, v = append(t, from+k.At*span), append(v, k.Speed*speed)
	}
	return newCurve(append(t, from+span), append(v, 0))
}

// rest is the moment of perfect rest at the finish.
func (w swing) rest() float64 { return w.after.end() }

// at is the place along the line and the speed, without tremor.
func (w swing) at(t float64) (s, v float64) {
	switch {
	case t < w.stroke.Onset:
		return 0, 0
	case t < w.contact:
		return w.pre.integral(t), w.pre.at(t)
	case t < w.rest():
		return w.place + w.after.integral(t), w.after.at(t)
	}
	return w.finish + w.settle.at(t), 0
}

// motion is everything the marker does along the line.
type motion struct {
	swings  []swing
	waggles curve
	inside  curve
	tremor  []Wave
}

func newMotion(s Spec) motion {
	m := motion{tremor: s.Tremor}
	for i, st := range s.Strokes {
		if i+1 < len(s.Strokes) {
			st.Return = st.Through + st.Drift
		}
		m.swings = append(m.swings, newSwing(st, s.Ball.Gap))
	}
	if len(s.Idle) > 0 {
		var t, at []float64
		for _, k := range s.Idle {
			t, at = append(t, k.At), append(at, k.Speed)
		}
		m.waggles = newCurve(t, at)
	}
	if len(s.Strokes) > 0 {
		m.waggles = waggleCurve(s.Strokes[0])
		m.inside = insideCurve(m.swings)
	}
	return m
}

// waggleStep is the time from one extreme of a waggle to the next, s.
const waggleStep = 0.28

// stillAfterWaggle is the least rest between a waggle and the stroke, s.
const stillAfterWaggle = 1.0

func waggleCurve(st Stroke) curve {
	if len(st.Waggles) == 0 {
		return curve{}
	}
	from := st.Onset - stillAfterWaggle - waggleStep*float64(len(st.Waggles)+1)
	t, v := []float64{from}, []float64{0}
	for i, w := range st.Waggles {
		t, v = append(t, from+waggleStep*float64(i+1)), append(v, w)
	}
	return newCurve(append(t, from+waggleStep*float64(len(st.Waggles)+1)), append(v, 0))
}

// insideCurve moves the player from a practice stroke up to the ball.
func insideCurve(w []swing) curve {
	c := curve{t: []float64{0}, v: []float64{w[0].stroke.Inside}}
	for i := 1; i < len(w); i++ {
		from := w[i-1].settle.end()
		to := w[i].stroke.Onset - stillAfterWaggle
		c.t = append(c.t, from, to)
		c.v = append(c.v, w[i-1].stroke.Inside, w[i].stroke.Inside)
	}
	if len(c.t) == 1 {
		return curve{v: c.v}
	}
	return newCurve(c.t, c.v)
}

// active is the swing that governs a moment: the last one begun, else none.
func (m motion) active(t float64) int {
	k := -1
	for i, w := range m.swings {
		if t >= w.stroke.Onset {
			k = i
		}
	}
	return k
}

// along is the marker's place on the line at t, tremor included, metres from
// its place at address.
func (m motion) along(t float64) float64 {
	s := m.steady(t)
	for _, w := range m.tremor {
		s += w.Amplitude * math.Sin(2*math.Pi*w.Frequency*t+w.Phase)
	}
	return s
}

// shiver is the tremor across the line.
func (m motion) shiver(t float64) float64 {
	var s float64
	for _, w := range m.tremor {
		s += 0.4 * w.Amplitude * math.Sin(2*math.Pi*w.Frequency*t+2*w.Phase)
	}
	return s
}

// steady is along without the tremor.
func (m motion) steady(t float64) float64 {
	s := m.waggles.at(t)
	if k := m.active(t); k >= 0 {
		p, _ := m.swings[k].at(t)
		s += p
	}
	return s
}
