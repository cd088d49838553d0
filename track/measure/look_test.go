package measure

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"strokereel/track"
)

// A head that has moved a little with the stroke and rests has not turned by that:
// its turn counts from there.
func TestLookUpCountsFromWhereTheHeadRests(t *testing.T) {
	for _, shift := range []float64{-0.003, 0.003} {
		g := golfer{look: 3.4, shift: shift}
		m := bodyOf(seen(g.film(0.1, rand.New(rand.NewPCG(2, 9))), false))["look_up_after_stop"]
		if m.Status != track.Measured || math.Abs(m.Value-0.6) > 0.012 || math.Abs(m.Value-0.6) > m.U95 {
			t.Errorf("moved by %g mm: got %+v, want 0.6", 1000*shift, m)
		}
	}
}

// A shoulder that the stroke pulls far forward takes the middle of both along, and no
// head.
func TestLookUpOfAHeadThatStaysBehindAShoulder(t *testing.T) {
	for _, pull := range []float64{0.04, 0.07} {
		tracks := golfer{look: 3.4}.film(0.1, rand.New(rand.NewPCG(2, 9)))
		lead := tracks[track.LeadShoulder].Samples
		for i := range lead {
			lead[i].X += testScale * moved(lead[i].T, 0, pull/3, pull)
		}
		m := bodyOf(seen(tracks, false))["look_up_after_stop"]
		if m.Status != track.Measured || math.Abs(m.Value-0.6) > 0.02 || math.Abs(m.Value-0.6) > m.U95 {
			t.Errorf("pulled by %g mm: got %+v, want 0.6", 1000*pull, m)
		}
	}
}

// headFilm gives two points of the head's picture. Of a head that looks 60 degrees
// down most of a turn is one of its picture: as the brim goes toward the target, the
// crown goes away from it.
func (g golfer) headFilm(noise float64, rng *rand.Rand) map[string]track.Track {
	crown, chin := track.Track{Object: track.HeadCrown}, track.Track{Object: track.HeadChin}
	for i := range int(tEnd * 60) {
		t := float64(i) / 60
		sin, cos := math.Sincos(-g.turn(t) * math.Sin(60*math.Pi/180) * (1 + g.round))
		at := func(side float64) track.Sample {
			x, y := 0.01+moved(t, 0, g.shift, g.shift)+0.09*side*sin, 1.4+0.09*side*cos
			return track.Sample{Frame: i, T: t, U: 0.15, Seen: true,
				X: 960 + testScale*x + noise*rng.NormFloat64(), Y: 900 - testScale*y + noise*rng.NormFloat64()}
		}
		crown.Samples, chin.Samples = append(crown.Samples, at(1)), append(chin.Samples, at(-1))
	}
	return map[string]track.Track{crown.Object: crown, chin.Object: chin}
}

// Without a sticker on the cap the head's picture tells the look-up: a shift of the
// head is none, a mirrored picture tells the same, and without a model there is a
// reason.
func TestLookUpByTheHeadsPicture(t *testing.T) {
	tracks := golfer{look: 3.1, shift: 0.007}.headFilm(0.1, rand.New(rand.NewPCG(7, 3)))
	right, left := bodyOf(seen(tracks, false)), bodyOf(seen(tracks, true))
	m, q := right["look_up_after_impact"], left["look_up_after_impact"]
	if m.Status != track.Measured || math.Abs(m.Value-0.9) > 0.02 || m.U95 > 0.15 {
		t.Errorf("got %+v, want 0.9", m)
	}
	if math.Abs(m.Value-q.Value) > 1e-9 || math.Abs(m.U95-q.U95) > 1e-9 {
		t.Errorf("the mirror image tells %.6f, the picture %.6f", q.Value, m.Value)
	}
	delete(tracks, track.HeadCrown)
	if m := bodyOf(seen(tracks, false))["look_up_after_impact"]; m.Status != track.NotMeasured || !strings.Contains(m.Reason, "sticker on the cap") {
		t.Errorf("without anything: got %+v", m)
	}
}

// A picture of the head that has slipped tells another moment than the cap's sticker,
// which is then believed.
func TestLookUpByTheCapWhenThePictureSlips(t *testing.T) {
	for _, slips := range []float64{1.6, 2.5} {
		tracks := golfer{look: 3.1}.film(0.1, rand.New(rand.NewPCG(7, 3)))
		for name, of := range (golfer{look: slips}).headFilm(0.1, rand.New(rand.NewPCG(4, 3))) {
			tracks[name] = of
		}
		if m := bodyOf(seen(tracks, false))["look_up_after_impact"]; m.Status != track.Measured || math.Abs(m.Value-0.9) > 0.03 {
			t.Errorf("the picture slips at %g s: got %+v, want 0.9", slips, m)
		}
	}
}

// How much the picture of a round head turns is not known well, and the trunk sways
// before the head sets off: cap and picture together tell the moment all the same.
func TestLookUpByCapAndPictureTogether(t *testing.T) {
	for _, round := range []float64{-0.3, 0, 0.3} {
		g := golfer{look: 2.7, shift: 0.006, round: round}
		tracks := g.film(0.1, rand.New(rand.NewPCG(7, 3)))
		for name, of := range g.headFilm(0.1, rand.New(rand.NewPCG(4, 3))) {
			tracks[name] = of
		}
		m := bodyOf(seen(tracks, false))["look_up_after_impact"]
		if m.Status != track.Measured || math.Abs(m.Value-0.5) > 0.015 || math.Abs(m.Value-0.5) > m.U95 || m.U95 > 0.06 {
			t.Errorf("a picture that turns %g of itself more: got %+v, want 0.5", round, m)
		}
	}
}

// The wrist is told as surely as the forearm is seen, and the verdict on the Y only
// where it is beyond doubt.
func TestWristOfAGuessedForearm(t *testing.T) {
	of := func(wrist, unsure float64) map[string]track.Measure {
		g := golfer{wrist: [3]float64{1, 1, wrist}, look: 9}
		tracks := g.film(0.1, rand.New(rand.NewPCG(5, 1)))
		for _, name := range []string{track.LeadElbow, track.LeadWrist} {
			for i := range tracks[name].Samples {
				tracks[name].Samples[i].U = unsure
			}
		}
		in := seen(tracks, false)
		in.Body.Guessed = map[string]bool{track.LeadElbow: true, track.TrailElbow: true, track.LeadWrist: true}
		return bodyOf(in)
	}
	const unsure = 6 // px, of 90 from elbow to wrist
	least, got := 1.96*DefaultOptions().ModelForearm, of(25, unsure)
	if m := got["lead_wrist_finish"]; m.Status != track.Measured || m.U95 < 2*least || math.Abs(m.Value-25) > 1 {
		t.Errorf("got %+v, want 25 and a u95 of more than %.1f", m, 2*least)
	}
	if m := got["y_kept"]; m.Word != "no" {
		t.Errorf("a wrist of 25 degrees: the Y is %q %s, want no", m.Word, m.Reason)
	}
	if m := of(2, unsure)["y_kept"]; m.Status != track.NotMeasured || !strings.Contains(m.Reason, "wear bands") {
		t.Errorf("a wrist of 2 degrees: got %+v", m)
	}
	sure := of(2, 0.5)
	if m := sure["lead_wrist_finish"]; m.U95 < least || m.U95 > 1.3*least {
		t.Errorf("a forearm seen well: got %+v, want a u95 of %.1f", m, least)
	}
	if m := sure["y_kept"]; m.Word != "yes" {
		t.Errorf("a wrist of 2 degrees and a forearm seen well: got %+v", m)
	}
}
