package measure

import (
	"math/rand/v2"
	"strings"
	"testing"

	"strokereel/track"
	"strokereel/track/phase"
	"strokereel/track/tracktest"
)

// everyID is the report's list of measures, in its order.
const everyID = `backstroke_length follow_through_length through_to_back backstroke_time downstroke_time
follow_through_time tempo impact_speed ball_speed ball_to_head hold_time recoil look_up_after_impact look_up_after_stop
head_shift head_rise shaft_lean_change lead_wrist_top lead_wrist_impact lead_wrist_finish elbow_spread_top
elbow_spread_impact elbow_spread_finish shoulder_rock_top shoulder_rock_finish lead_hand_after_impact
trunk_change_finish y_kept still_time stance_width ball_position elbow_bend_lead elbow_bend_trail head_over_ball
roll_distance`

// Every measure is there in the report's order, and none without a value lacks
// a reason; a measured one has a unit, an uncertainty, a budget and how it was
// got.
func TestComputeIsComplete(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 9))
	s := tracktest.Draw(rng, tracktest.Wish{Recoil: true})
	ball := tracktest.DrawBall(rng, s.Impact, 1.6*s.Speed)
	in := drawRoom(rng).clip(s, ball, 60, 0.1, rng, t)
	practice, cut := in, in
	practice.Launches = nil
	cut.Putter.Points = cut.Putter.Points[:int(60*(s.Impact+0.1))]
	for name, test := range map[string]struct {
		in       Clip
		measured string // some that must be measured
		never    string // some that must not
	}{
		"a putt":                    {in, "backstroke_length follow_through_length through_to_back backstroke_time downstroke_time follow_through_time tempo impact_speed ball_speed ball_to_head hold_time recoil", "roll_distance head_rise"},
		"a practice stroke":         {practice, "backstroke_length follow_through_length backstroke_time hold_time", "tempo downstroke_time impact_speed ball_speed ball_to_head"},
		"cut in the follow-through": {cut, "backstroke_length backstroke_time tempo impact_speed", "follow_through_length follow_through_time hold_time recoil through_to_back"},
	} {
		strokes, err := phase.Find(test.in.Input, phase.DefaultOptions())
		if err != nil || len(strokes) != 1 {
			t.Fatalf("%s: got %d strokes (%v), wanted one", name, len(strokes), err)
		}
		got, err := Compute(strokes[0], test.in, DefaultOptions())
		if err != nil {
			t.Fatal(err)
		}
		status := map[string]string{}
		var ids []string
		for _, m := range got.Measures {
			ids, status[m.ID] = append(ids, m.ID), m.Status
			_, budget := got.Budgets[m.ID]
			switch {
			case m.Status == track.NotMeasured && (m.Reason == "" || m.Value != 0 || m.U95 != 0):
				t.Errorf("%s: %s is not measured, with value %g and reason %q", name, m.ID, m.Value, m.Reason)
			case m.Status == track.Measured && (!(m.U95 > 0) || m.Unit == "" || m.How == "" || !budget):
				t.Errorf("%s: %s lacks something: %+v", name, m.ID, m)
			}
		}
		if want := strings.Join(strings.Fields(everyID), " "); strings.Join(ids, " ") != want {
			t.Errorf("%s: measures are %v, wanted %s", name, ids, want)
		}
		for _, id := range strings.Fields(test.measured) {
			if status[id] != track.Measured {
				t.Errorf("%s: %s is %q", name, id, status[id])
			}
		}
		for _, id := range strings.Fields(test.never) {
			if status[id] != track.NotMeasured {
				t.Errorf("%s: %s is %q", name, id, status[id])
			}
		}
	}
}

// A scale that is wrong by a known factor moves lengths and speeds by it, and no
// ratio or time.
func TestComputeScale(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 9))
	s := tracktest.Draw(rng, tracktest.Wish{Recoil: true})
	in := drawRoom(rng).clip(s, tracktest.DrawBall(rng, s.Impact, 1.6*s.Speed), 120, 0.1, rng, t)
	strokes, err := phase.Find(in.Input, phase.DefaultOptions())
	if err != nil || len(strokes) != 1 {
		t.Fatalf("got %d strokes (%v), wanted one", len(strokes), err)
	}
	wide := in
	wide.MarkerScale.U, wide.BallScale.U = 10*in.MarkerScale.U, 10*in.BallScale.U
	a, err := Compute(strokes[0], in, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	b, err := Compute(strokes[0], wide, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range []string{"through_to_back", "ball_to_head", "tempo", "hold_time"} {
		near(t, "u of "+id+" with a scale ten times worse", b.Budgets[id].U, a.Budgets[id].U, 0.01*a.Budgets[id].U)
	}
	for _, id := range []string{"backstroke_length", "ball_speed"} {
		if b.Budgets[id].U < 3*a.Budgets[id].U {
			t.Errorf("%s: u %.4g with a scale ten times worse, %.4g before", id, b.Budgets[id].U, a.Budgets[id].U)
		}
	}
}
