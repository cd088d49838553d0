package phase

import (
	"fmt"
	"math"
	"strings"

	"strokereel/track"
	"strokereel/track/path"
)

// Names of the witnesses of impact.
const (
	WitnessBall    = "ball"          // the ball left its place
	WitnessStep    = "speed_step"    // the head lost speed
	WitnessContact = "contact_place" // the face was where the ball lay
	WitnessSound   = "sound"         // the click
)

// findImpact asks every witness of the stroke.
func (tm *timing) findImpact() {
	s := &tm.stroke
	if tm.c.launch < 0 {
		s.refuse(track.Impact, "no ball was struck")
		if tm.click(tm.c.pass) >= 0 {
			s.warn(WarnClick, "a click was heard when the putter passed its address, but no ball was seen leaving; if one was struck, check that the ball is in the picture")
		}
		return
	}
	w := tm.outsideWitnesses(tm.c.pass)
	if c, ok := tm.contactPlace(); ok {
		w = append(w, c)
	}
	first := Mean(w)
	if c, ok := tm.speedStep(first.T); ok {
		w = append(w, c)
	}
	tm.fuse(w)
}

// outsideWitnesses are the ball and the sound.
func (tm *timing) outsideWitnesses(pass float64) []track.Witness {
	l := tm.in.Launches[tm.c.launch]
	w := []track.Witness{{Name: WitnessBall, T: l.T, U: l.UT}}
	if i := tm.click(l.T); i >= 0 {
		c := tm.in.Clicks[i]
		w = append(w, track.Witness{Name: WitnessSound, T: c.T, U: c.U})
	}
	return w
}

// click returns the click nearest to a moment, -1 without one in reach.
func (tm *timing) click(t float64) int {
	best, at := tm.o.ClickReach, -1
	for i, c := range tm.in.Clicks {
		if d := math.Abs(c.T - t); d <= best {
			best, at = d, i
		}
	}
	return at
}

// contactPlace says when the marker had moved past its address by the gap
// between face and ball, every gap up to the largest being as likely.
func (tm *timing) contactPlace() (track.Witness, bool) {
	s := &tm.stroke
	if !s.Address.Known {
		return track.Witness{}, false
	}
	nodes := tm.around(tm.c.pass, tm.series[tm.c.top].t, tm.c.pass+tm.o.LaunchReach)
	gap := mm(tm.o.MaxGapToBall)
	t, _, ok := cross(nodes, alongX, s.Address.X+gap/2, 0, true, false)
	if !ok {
		return track.Witness{}, false
	}
	n := tm.grid.at(index(t))
	if !n.ok || n.vx < tm.o.MinSpeed/2 {
		return track.Witness{}, false
	}
	u := math.Sqrt(gap*gap/12 + n.u*n.u + s.Address.U*s.Address.U)
	return track.Witness{Name: WitnessContact, T: t, U: u / n.vx}, true
}

// stepReach is how far around the other witnesses' word the step is looked for,
// in frames.
const stepReach = 1.5

// speedStep says when a jump of the speed explains the motion best. It is a
// witness only when the jump is significant.
func (tm *timing) speedStep(about float64) (track.Witness, bool) {
	reach := stepReach * tm.in.FrameInterval
	st, err := path.FindStep(tm.in.Putter, about-reach, about+reach, tm.in.FrameExposure(), tm.in.Smoothing)
	if err != nil || math.Abs(st.T-tm.c.pass) > tm.o.LaunchReach {
		return track.Witness{}, false
	}
	loss := st.Before - st.After
	if st.Gain < tm.o.MinStep*tm.o.MinStep/2 || loss < 0 || loss > tm.o.MaxStep*st.Before {
		return track.Witness{}, false
	}
	return track.Witness{Name: WitnessStep, T: st.T, U: st.U}, true
}

// Mean is what witnesses say together, each weighted by its certainty.
func Mean(w []track.Witness) track.Witness {
	var sw, st float64
	for _, x := range w {
		sw += 1 / (x.U * x.U)
		st += x.T / (x.U * x.U)
	}
	return track.Witness{T: st / sw, U: 1 / math.Sqrt(sw)}
}

func chiSquare(w []track.Witness) float64 {
	m, c := Mean(w), 0.0
	for _, x := range w {
		c += (x.T - m.T) * (x.T - m.T) / (x.U * x.U)
	}
	return c
}

// fuse sets the impact from witnesses. While they disagree, the one without
// which they agree best is left out of the mean, the less certain one of two.
func (tm *timing) fuse(all []track.Witness) {
	s := &tm.stroke
	kept := append([]track.Witness(nil), all...)
	var out []string
	for len(kept) > 1 && !agree(kept, tm.o.Disagree) {
		worst := 0
		for i := range kept {
			ci, cw := chiSquare(without(kept, i)), chiSquare(without(kept, worst))
			if ci < cw-1e-12 || (math.Abs(ci-cw) <= 1e-12 && kept[i].U > kept[worst].U) {
				worst = i
			}
		}
		out = append(out, kept[worst].Name)
		kept = without(kept, worst)
	}
	m, enlarged := Mean(kept), 1.0
	if len(out) > 0 {
		enlarged = math.Max(1, math.Sqrt(chiSquare(all)/float64(len(all)-1)))
		m.U *= enlarged
		s.warn(WarnWitnesses, fmt.Sprintf("the signs of impact disagree: %s not used, uncertainty enlarged to %.1f ms", strings.Join(out, " and "), 1000*1.96*m.U))
	}
	s.tell(track.Event{Name: track.Impact, T: m.T, U: m.U, Status: track.Measured, Witnesses: all, Terms: witnessTerms(kept, enlarged)})
}

// witnessTerms are the witnesses that count, each with its weight in the mean.
// Witnesses that disagree have their U enlarged by the Birge ratio.
func witnessTerms(kept []track.Witness, enlarged float64) []track.Term {
	var terms []track.Term
	m := Mean(kept)
	for _, w := range kept {
		terms = append(terms, track.Term{Symbol: "t_" + w.Name, Name: spokenWitness[w.Name], Unit: "s", Value: w.T, U: enlarged * w.U, Sensitivity: m.U * m.U / (w.U * w.U)})
	}
	return terms
}

var spokenWitness = map[string]string{
	WitnessBall: "the ball's path traced back to its place", WitnessStep: "the step in the head's speed",
	WitnessContact: "the face where the ball lay", WitnessSound: "the click",
}

func without(w []track.Witness, i int) []track.Witness {
	return append(append([]track.Witness(nil), w[:i]...), w[i+1:]...)
}

// agree reports whether chance would make a chi-square as large with at least
// the probability p. The cube of Wilson and Hilferty (Proc. Natl. Acad. Sci. 17,
// 1931, 684, from memory) is within a thousandth here.
func agree(w []track.Witness, p float64) bool {
	k := float64(len(w) - 1)
	z := (math.Cbrt(chiSquare(w)/k) - (1 - 2/(9*k))) / math.Sqrt(2/(9*k))
	return 0.5*math.Erfc(z/math.Sqrt2) >= p
}
