package measure

import (
	"fmt"
	"math"

	"strokereel/track"
	"strokereel/track/path"
)

// figure is a number read off the picture at one moment, from joints named in
// order; v holds their x and y.
type figure struct {
	joints []string
	read   func(v []float64) float64
	limb   []string // joints of which only the direction from one to the other counts
	beside float64  // deg, what stickers worn beside the joints turn more or less than these, standard uncertainty
}

var (
	wristAngle = figure{joints: []string{track.ShaftTop, track.ShaftFoot, track.LeadElbow, track.LeadWrist}, read: func(v []float64) float64 {
		return hang(v[0], v[1], v[2], v[3]) - hang(v[4], v[5], v[6], v[7])
	}, limb: []string{track.LeadElbow, track.LeadWrist}}
	shaftLean = figure{joints: []string{track.ShaftTop, track.ShaftFoot}, read: func(v []float64) float64 { return -hang(v[0], v[1], v[2], v[3]) }}
	shoulders = figure{joints: []string{track.LeadShoulder, track.TrailShoulder}, read: func(v []float64) float64 {
		return math.Atan2(v[3]-v[1], v[0]-v[2]) * 180 / math.Pi
	}, beside: besideShoulders}
	elbows = figure{joints: []string{track.LeadElbow, track.TrailElbow}, read: apartOf}
	trunk  = figure{joints: []string{track.LeadShoulder, track.TrailShoulder, track.LeadHip, track.TrailHip}, read: func(v []float64) float64 {
		return hang((v[0]+v[2])/2, (v[1]+v[3])/2, (v[4]+v[6])/2, (v[5]+v[7])/2)
	}}
)

// besideShoulders is that of stickers on the shoulders, which are nearer to each
// other than the joints: one of these that an arm pulls by 2 cm turns the line of
// the stickers by a twelfth more, 0.3 degrees.
const besideShoulders = 0.3

func apartOf(v []float64) float64 { return math.Hypot(v[0]-v[2], v[1]-v[3]) }

// changes are the measures that compare an event with address.
var changes = []struct {
	id, unit, event, how string
	figure               figure
	ratio                bool
}{
	{"shaft_lean_change", "deg", track.Impact, "lean of the shaft's line in the picture since address, hands toward the target positive", shaftLean, false},
	{"lead_wrist_top", "deg", track.Top, wristHow, wristAngle, false},
	{"lead_wrist_impact", "deg", track.Impact, wristHow, wristAngle, false},
	{"lead_wrist_finish", "deg", track.Stop, wristHow, wristAngle, false},
	{"elbow_spread_top", "1", track.Top, spreadHow, elbows, true},
	{"elbow_spread_impact", "1", track.Impact, spreadHow, elbows, true},
	{"elbow_spread_finish", "1", track.Stop, spreadHow, elbows, true},
	{"shoulder_rock_top", "deg", track.Top, rockHow, shoulders, false},
	{"shoulder_rock_finish", "deg", track.Stop, rockHow, shoulders, false},
	{"trunk_change_finish", "deg", track.Stop, "lean of the line from mid-hips to mid-shoulders since address, away from the target positive", trunk, false},
}

const (
	wristHow  = "angle of lead forearm and shaft seen from the front since address, bending back positive"
	spreadHow = "distance of the elbows in the picture over that at address; an elbow that moves away from the camera is partly unseen"
	rockHow   = "tilt of the shoulder line in the picture since address, lead shoulder lower positive"
)

// body measures arms, head and setup.
func (w *work) body() {
	p := w.newPose()
	for _, c := range changes {
		var needs []need
		bare := w.in.Body.guessed(c.figure.limb)
		for _, event := range []string{track.Start, c.event} {
			for _, j := range c.figure.joints {
				needs = append(needs, need{j, event, bare})
			}
		}
		in, missing := p.gather(needs)
		if missing == "" {
			missing = w.meaningless(c.id)
		}
		if missing != "" {
			w.refuse(c.id, missing)
			continue
		}
		n, read := 2*len(c.figure.joints), c.figure.read
		if !c.ratio {
			in = append(in, Input{Symbol: "e", Name: "which moment is called address", Unit: "deg", U: addressMoment})
		}
		if bare {
			in = append(in, Input{Symbol: "m", Name: "direction of the forearm as the model sees it", Unit: "deg", U: w.o.ModelForearm})
		}
		if c.figure.beside > 0 && !w.in.Body.guessed(c.figure.joints) {
			in = append(in, Input{Symbol: "b", Name: "stickers worn beside the joints", Unit: "deg", U: c.figure.beside})
		}
		w.add(c.id, c.unit, c.how, in, func(v []float64) float64 {
			if c.ratio {
				return read(v[n:]) / read(v[:n])
			}
			return turn(read(v[n:2*n])-read(v[:n])) + sum(v[2*n:])
		})
		w.doubt(c.id, c.unit)
	}
	w.yKept()
	w.leadHand(p)
	w.head(p)
	w.setup(p)
}

func sum(v []float64) float64 {
	s := 0.0
	for _, x := range v {
		s += x
	}
	return s
}

// addressMoment is how much an angle may differ between the rest before the
// stroke and its start 2 mm later, standard uncertainty, degrees.
const addressMoment = 0.1

// turn brings an angle into -180..180 degrees.
func turn(a float64) float64 { return math.Mod(a+540, 360) - 180 }

// doubt refuses a measure that is too unsure to be of use.
func (w *work) doubt(id, unit string) {
	most := w.o.MostAngleU95
	if unit == "1" {
		most = w.o.MostRatioU95
	}
	if m := w.done[id]; m.U95 > most {
		w.refuse(id, fmt.Sprintf("too unsure: known to %.2g only", m.U95))
	}
}

// yKept is the verdict on the Y: lead wrist and elbows as at address, at the
// top, at impact and at the finish.
func (w *work) yKept() {
	const id = "y_kept"
	if why := w.meaningless(id); why != "" {
		w.refuse(id, why)
		return
	}
	word, coarse := "yes", ""
	for _, at := range []string{"top", "impact", "finish"} {
		for _, part := range []struct {
			id          string
			middle, tol float64
		}{{"lead_wrist_" + at, 0, w.o.YWrist}, {"elbow_spread_" + at, 1, w.o.YElbow}} {
			m := w.done[part.id]
			if m.Status != track.Measured {
				w.refuse(id, m.Reason)
				return
			}
			off := math.Abs(m.Value - part.middle)
			switch {
			case off-m.U95 > part.tol:
				word = "no"
			case m.U95 > part.tol*mostCoarse:
				coarse = part.id
			case off+m.U95 > part.tol && word == "yes":
				word = "too_close"
			}
		}
	}
	if coarse != "" && word != "no" {
		w.refuse(id, fmt.Sprintf("%s is known too coarsely to tell: wear bands", plain(coarse)))
		return
	}
	w.done[id] = track.Measure{ID: id, Word: word, Status: track.Measured,
		How: fmt.Sprintf("lead wrist within %g degrees and elbows within %g of address at the top, at impact and at the finish", w.o.YWrist, w.o.YElbow)}
}

// mostCoarse is the share of a tolerance beyond which a u95 can hardly tell that
// something is within it.
const mostCoarse = 0.5

// handLater is how long after impact the lead hand is looked at again, s.
const handLater = 0.1

// leadHand compares the speed of the lead hand after and just before impact.
func (w *work) leadHand(p *pose) {
	const id = "lead_hand_after_impact"
	if !w.needs(id, track.Impact) {
		return
	}
	q, ok := w.in.Body.Paths[track.LeadHand]
	if !ok {
		w.refuse(id, "the lead hand was not seen: it needs the shaft and bands at the lead elbow and wrist")
		return
	}
	e := w.stroke.Event(track.Impact)
	c, err := path.NewCurve(path.WithoutStrays(w.stroke.Toward(q), w.in.Smoothing), []float64{e.T}, w.in.FrameExposure(), w.in.Smoothing)
	if err != nil {
		w.refuse(id, "the lead hand was not seen around impact")
		return
	}
	a, err1 := c.At(e.T)
	b, err2 := c.At(e.T + handLater)
	if err1 != nil || err2 != nil {
		w.refuse(id, "the lead hand was not seen around impact")
		return
	}
	speed := func(v []float64) float64 { return math.Hypot(v[0], v[1]) }
	in := []Input{
		{Symbol: "v_x", Name: "speed of the hand at impact, along the line", Unit: "m/s", Value: a.VX, U: a.U(1)}, {Symbol: "v_y", Name: "speed of the hand at impact, upward", Unit: "m/s", Value: a.VY, U: a.U(1)},
		{Symbol: "w_x", Name: "speed of the hand later, along the line", Unit: "m/s", Value: b.VX, U: b.U(1)}, {Symbol: "w_y", Name: "speed of the hand later, upward", Unit: "m/s", Value: b.VY, U: b.U(1)},
		{Symbol: "p", Name: "place of the hand on the shaft, later over at impact", Unit: "1", Value: 1, U: handPlace},
	}
	w.add(id, "1", "speed of the lead hand 100 ms after impact over that just before impact, the hand keeping its place on the shaft", in,
		func(v []float64) float64 { return speed(v[2:]) / speed(v) * v[4] })
	w.doubt(id, "1")
}

// handPlace is what the hand's unknown place on the shaft leaves open in the
// ratio (standard uncertainty, a share): 2 cm of 60 cm at either moment.
const handPlace = 0.04

// setup describes address.
func (w *work) setup(p *pose) {
	at := func(names ...string) []need {
		var out []need
		for _, n := range names {
			out = append(out, need{name: n, event: track.Start})
		}
		return out
	}
	bend := func(v []float64) float64 {
		return 180 - JointAngle(v[0], v[1], v[2], v[3], v[4], v[5])
	}
	for _, d := range []struct {
		id, unit, how string
		needs         []need
		read          func(v []float64) float64
	}{
		{"stance_width", "1", "distance of the ankles over that of the shoulders, in the picture",
			at(track.LeadAnkle, track.TrailAnkle, track.LeadShoulder, track.TrailShoulder), func(v []float64) float64 { return apartOf(v) / apartOf(v[4:]) }},
		{"ball_position", "1", "place of the ball between trail (0) and lead (1) ankle, in the picture",
			at(track.LeadAnkle, track.TrailAnkle), func(v []float64) float64 { return (w.in.BallX - v[2]) / (v[0] - v[2]) }},
		{"elbow_bend_lead", "deg", bendHow, at(track.LeadShoulder, track.LeadElbow, track.LeadWrist), bend},
		{"elbow_bend_trail", "deg", bendHow, at(track.TrailShoulder, track.TrailElbow, track.TrailWrist), bend},
	} {
		in, missing := p.gather(d.needs)
		if missing == "" && d.id == "ball_position" && !w.in.BallKnown {
			missing = "no ball was seen"
		}
		if missing != "" {
			w.refuse(d.id, missing)
			continue
		}
		if d.unit == "deg" {
			// Bands and stickers are worn beside the joints.
			in = append(in, Input{Symbol: "e", Name: "markers worn beside the joints", Unit: "deg", U: w.o.BesideJoint})
			read := d.read
			d.read = func(v []float64) float64 { return read(v) + v[len(v)-1] }
		}
		w.add(d.id, d.unit, d.how, in, d.read)
	}
}

const bendHow = "angle of upper arm and forearm in the picture at address, 0 is straight"

// meaningless tells why the grip makes a measure meaningless.
func (w *work) meaningless(id string) string {
	switch {
	case w.in.Body.Grip == "arm-lock" && (wristMeasure[id] || id == "y_kept"):
		return "the grip lays the shaft along the lead forearm"
	case w.in.Body.Grip == "split" && (wristMeasure[id] || elbowMeasure[id] || id == "y_kept"):
		return "hands held apart form no Y"
	}
	return ""
}

var (
	wristMeasure = map[string]bool{"lead_wrist_top": true, "lead_wrist_impact": true, "lead_wrist_finish": true}
	elbowMeasure = map[string]bool{"elbow_spread_top": true, "elbow_spread_impact": true, "elbow_spread_finish": true}
)
