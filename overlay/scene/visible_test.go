package scene

import (
	"math"
	"testing"

	"strokereel/overlay"
	"strokereel/track"
)

// A player as drawn for the demo, 520 px a metre, read off a frame at impact:
// labels that want to stand on cap, wrists and grip stand beside head and hands.
func TestVisible(t *testing.T) {
	const perM = 520
	seen := []overlay.Object{
		{Name: track.Cap, X: 871, Y: 303},
		{Name: LeadElbow, X: 981, Y: 452}, {Name: LeadWrist, X: 930, Y: 524},
		{Name: TrailElbow, X: 852, Y: 485}, {Name: TrailWrist, X: 891, Y: 568},
		{Name: Hands, X: 912, Y: 572},
	}
	head, hands := overlay.Box{X0: 815, Y0: 178, X1: 930, Y1: 320}, overlay.Box{X0: 895, Y0: 545, X1: 925, Y1: 630}
	covers := func(kept []overlay.Object, what overlay.Box) bool {
		const step = 5
		for x := what.X0; x <= what.X1; x += step {
			for y := what.Y0; y <= what.Y1; y += step {
				in := false
				for _, o := range kept {
					in = in || math.Abs(x-o.X) <= o.Radius && math.Abs(y-o.Y) <= o.Radius
				}
				if !in {
					t.Logf("(%g, %g) is left open", x, y)
					return false
				}
			}
		}
		return true
	}
	kept := Visible(seen, perM)
	if !covers(kept, head) {
		t.Error("a label may stand on the head")
	}
	if !covers(kept, hands) {
		t.Error("a label may stand on the hands")
	}
	if shoulder := (overlay.Box{X0: 971, Y0: 284, X1: 971, Y1: 284}); covers(kept, shoulder) {
		t.Error("no label may stand on a shoulder")
	}

	byPicture := Visible([]overlay.Object{{Name: track.HeadCrown, X: 872, Y: 199}, {Name: track.HeadChin, X: 872, Y: 293}}, perM)
	if !covers(byPicture, head) {
		t.Error("without a sticker a label may stand on the head")
	}
	if got := Visible(seen[1:2], perM); len(got) != 1 {
		t.Errorf("an elbow alone tells of %d more places", len(got)-1)
	}
	if seen[0].Radius != 0 || len(seen) != 6 {
		t.Error("what was given was changed")
	}
}

// The look-up is said beside the head, not on it.
func TestEyesSpeakBesideTheHead(t *testing.T) {
	c := canvas(t, room(640, 640))
	e := must[*Eyes](t)(NewEyes(track.Event{Name: track.LookUp, T: 1, Status: track.Measured}, track.Measure{ID: "look_up_after_impact", Value: 0.1, U95: 0.01, Unit: "s", Status: track.Measured}))
	m := overlay.Moment{T: 0.5, View: overlay.FullView(), Objects: Visible([]overlay.Object{{Name: track.Cap, X: 300, Y: 300}}, 500)}
	area, _ := m.Find(HeadArea)
	labels := e.Labels(c, m)
	if len(labels) != 1 || labels[0].At != m.At(area).Add(area.Radius, 0) {
		t.Fatalf("got %+v", labels)
	}
	if left := overlay.Draw(c, m, e); len(left) > 0 {
		t.Errorf("left out: %q", left)
	}

	// Words that do not move with the head stay while a picture does not show it.
	unseen := overlay.Moment{T: 0.5, View: overlay.FullView()}
	if got := e.Labels(c, unseen); len(got) != 0 {
		t.Errorf("beside no head: %+v", got)
	}
	e.Away = must[*Stance](t)(NewStance(Ground{X: 300, Y: 600, DX: 300}, AnyHead))
	beside := e.Labels(c, unseen)
	if len(beside) != 1 || beside[0].At.X < 300+AnyHead.To*300 || beside[0].At != e.Labels(c, m)[0].At {
		t.Errorf("beside the head's room: %+v", beside)
	}
	e.Head = 100
	if got := e.Labels(c, unseen); len(got) != 1 || got[0].At.Y > 100+c.Px(eyesGap) || got[0].Side != overlay.Above {
		t.Errorf("in the part for text: %+v", got)
	}
}
