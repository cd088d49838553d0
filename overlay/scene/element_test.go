package scene

import (
	"image"
	"image/color"
	"testing"

	"strokereel/overlay"
	"strokereel/track"
)

// must returns an element that could be made.
func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// elements are all things drawn on a clip, as a reel would stack them.
func (s stroke) elements(t testing.TB) []overlay.Element {
	length := must[*Length](t)
	address := s.joints(startT)
	return []overlay.Element{
		NewTag(overlay.After, 0.4),
		NewCaptions(s.events),
		must[*Hold](t)(NewHold(s.event(track.Stop), s.measures["hold_time"])),
		NewWye(address),
		NewGhost(s.head(startT)),
		must[*Trail](t)(NewTrail(s.samples, s.event(track.Impact))),
		length(NewBackstroke(s.ground, s.measures["backstroke_length"], s.event(track.Start), s.event(track.Top))),
		length(NewFollowThrough(s.ground, s.measures["follow_through_length"], s.event(track.Impact), s.event(track.Stop))),
		must[*Target](t)(NewTarget(s.ground, 0.62)),
		must[*Tempo](t)(NewTempo(s.event(track.Impact), s.measures["tempo"], s.measures["backstroke_time"], s.measures["downstroke_time"])),
	}
}

// joints are the arms at a time, px.
func (s stroke) joints(t float64) []overlay.Object {
	x, y := s.head(t)
	k := s.ground.DX
	hx, hy := s.ground.X+0.6*(x-s.ground.X), s.ground.Y-0.42*k
	sx := s.ground.X
	o := func(name string, x, y, u float64) overlay.Object { return overlay.Object{Name: name, X: x, Y: y, U: u} }
	return []overlay.Object{
		o(LeadShoulder, sx+0.12*k, s.ground.Y-0.78*k, 1), o(TrailShoulder, sx-0.12*k, s.ground.Y-0.78*k, 1),
		o(LeadElbow, hx+0.1*k, s.ground.Y-0.58*k, 1), o(TrailElbow, hx-0.1*k, s.ground.Y-0.58*k, 1),
		o(Hands, hx, hy, 1), o(track.Putter, x, y, 0.2),
	}
}

func TestElementGolden(t *testing.T) {
	wide := newStroke(640, 360)
	atLeast := track.Measure{ID: "hold_time", Value: 1.62, U95: 0.01, Unit: "s", Status: track.AtLeast}
	before, after := wide.measures["backstroke_length"], wide.measures["follow_through_length"]
	longer := before
	longer.Value = 0.305
	higher := wide.ground
	higher.Y = 0.66 * float64(wide.h)
	compare := must[*Compare](t)(NewCompare(higher,
		Compared{overlay.Before, before, after}, Compared{overlay.After, longer, after}, Compared{overlay.Reference, before, track.Measure{Status: track.NotMeasured}}))
	all := wide.elements(t)
	budget := func(back, through float64) (track.Measure, track.Measure) {
		expected := func(v float64) track.Measure {
			return track.Measure{Unit: "m", Value: v, Lo95: 0.93 * v, Hi95: 1.08 * v, Status: track.Predicted}
		}
		return expected(back), expected(through)
	}
	rows := []WantedRow{{Name: "tees"}, {Name: "3 m"}, {Name: "6 m"}}
	rows[0].Back, rows[0].Through = track.Measure{Unit: "m", Value: 0.2, Lo95: 0.2, Hi95: 0.2, Status: track.Predicted}, after
	rows[1].Back, rows[1].Through = budget(0.16, 0.21)
	rows[2].Back, rows[2].Through = budget(0.24, 0.3)
	higher.DX, higher.Y = 0.7*float64(wide.h), 0.6*float64(wide.h)
	putts := must[*Wanted](t)(NewWanted(higher, rows...))
	for _, g := range []struct {
		name string
		t    float64
		what []overlay.Element
	}{
		{"wanted", 1.0, []overlay.Element{putts}},
		{"length_growing", 1.4, all[6:7]},
		{"length", 2.7, all[6:8]},
		{"trail_before_impact", 1.95, all[5:6]},
		{"trail", 3.9, all[5:6]},
		{"hold_counting", 3.0, all[2:3]},
		{"hold_over", 4.3, all[2:3]},
		{"hold_at_least", 4.5, []overlay.Element{must[*Hold](t)(NewHold(wide.event(track.Stop), atLeast))}},
		{"caption", topT, all[1:2]},
		{"tempo", 2.2, all[9:10]},
		{"target", 1.2, all[8:9]},
		{"ghost", 1.6, all[4:5]},
		{"wye", topT, all[3:4]},
		{"compare", 3.0, []overlay.Element{compare}},
		{"notice", 1.0, []overlay.Element{NewNotice("No numbers: no sticker was seen on the putter head. The clip is lined up by the ball's first motion.")}},
		{"tag", 1.0, all[0:1]},
		{"reading", 1.6, []overlay.Element{NewReading(track.Putter, LeadElbow)}},
		{"looks", 1.6, []overlay.Element{NewLooks([]track.Glance{
			{Finder: track.Putter, X: 250, Y: 300, W: 30, H: 30, Found: true, FX: 246, FY: 302, Radius: 9},
			{Finder: track.Ball, X: 330, Y: 300, W: 40, H: 20, Found: true, FX: 335, FY: 303, Radius: 14},
			{Finder: track.Putter, ID: track.NoID, X: 120, Y: 200, W: 20, H: 20, Found: true, FX: 122, FY: 204, Radius: 16, Why: track.Fault{Text: "misfit %.2f, most %.2f", Got: 0.31, Limit: 0.2}},
			{Finder: track.Ball, ID: track.NoID, X: 480, Y: 290, W: 50, H: 25, Why: track.Fault{Text: "nothing round stands out here"}},
		})}},
	} {
		t.Run(g.name, func(t *testing.T) {
			golden(t, g.name, pair(t, wide, g.t, g.what))
		})
	}
}

func TestLargeLengthGolden(t *testing.T) {
	raised := newStroke(640, 360)
	raised.ground.Y = 0.6 * 360
	lengths := raised.elements(t)[6:8]
	for _, e := range lengths {
		e.(*Length).Form = Large
	}
	golden(t, "length_large", pair(t, raised, 2.7, lengths))
}

// pair draws elements on a plain and on a noisy picture, one below the other.
func pair(t *testing.T, s stroke, at float64, elements []overlay.Element) *image.RGBA {
	t.Helper()
	both := plain(s.w, 2*s.h, color.RGBA{0xB9, 0xB4, 0xA6, 255})
	upper := both.SubImage(image.Rect(0, 0, s.w, s.h)).(*image.RGBA)
	lower := both.SubImage(image.Rect(0, s.h, s.w, 2*s.h)).(*image.RGBA)
	copy(lower.Pix, noisy(s.w, s.h).Pix)
	for _, half := range []*image.RGBA{upper, lower} {
		c := canvas(t, half)
		m := s.moment(at)
		m.Objects = append(m.Objects, s.joints(at)[:4]...)
		if left := overlay.Draw(c, m, elements...); len(left) > 0 {
			t.Errorf("no room for %q", left)
		}
		if c.Err() != nil {
			t.Fatal(c.Err())
		}
	}
	return both
}

func TestFrameGolden(t *testing.T) {
	for _, g := range []struct {
		name string
		w, h int
		t    float64
	}{
		{"frame_wide_impact", 960, 540, impactT},
		{"frame_wide_held", 960, 540, 3.2},
		{"frame_tall_top", 540, 960, topT},
		{"frame_tall_held", 540, 960, 2.9},
	} {
		t.Run(g.name, func(t *testing.T) {
			s := newStroke(g.w, g.h)
			img := room(s.w, s.h)
			m := s.moment(g.t)
			s.paint(img, m)
			m.Objects = append(m.Objects, s.joints(g.t)[:4]...)
			c := canvas(t, img)
			if left := overlay.Draw(c, m, s.elements(t)...); len(left) > 0 {
				t.Errorf("no room for %q", left)
			}
			golden(t, g.name, img)
		})
	}
}

// still figure of arms, shaft and head at an event, for the marks on the body.
func figure(finish bool) []overlay.Object {
	o := func(name string, x, y float64) overlay.Object { return overlay.Object{Name: name, X: x, Y: y, U: 0.5} }
	if !finish {
		return []overlay.Object{o(LeadShoulder, 355, 70), o(TrailShoulder, 285, 76), o(LeadElbow, 345, 125), o(TrailElbow, 290, 132),
			o(LeadWrist, 326, 160), o(TrailWrist, 312, 172), o(track.ShaftTop, 319, 200), o(track.ShaftFoot, 316, 300), o(track.Cap, 320, 50)}
	}
	return []overlay.Object{o(LeadShoulder, 352, 62), o(TrailShoulder, 288, 84), o(LeadElbow, 376, 122), o(TrailElbow, 305, 140),
		o(LeadWrist, 345, 156), o(TrailWrist, 335, 168), o(track.ShaftTop, 352, 196), o(track.ShaftFoot, 398, 285), o(track.Cap, 330, 52)}
}

func TestBodyGolden(t *testing.T) {
	s := newStroke(640, 360)
	stop := s.event(track.Stop)
	look := track.Event{Name: track.LookUp, T: stop.T - 0.2, U: 0.01, Status: track.Measured}
	measures := map[string]track.Measure{
		"lead_wrist_finish":    {ID: "lead_wrist_finish", Value: 24.6, U95: 1.2, Unit: "deg", Status: track.Measured},
		"elbow_spread_finish":  {ID: "elbow_spread_finish", Value: 1.21, U95: 0.015, Unit: "1", Status: track.Measured},
		"look_up_after_impact": {ID: "look_up_after_impact", Value: 0.42, U95: 0.03, Unit: "s", Status: track.Measured},
	}
	marks := BodyMarks(figure(false), []track.Event{stop, look}, func(id string) track.Measure { return measures[id] })
	if len(marks) != 4 {
		t.Fatalf("got %d marks, want the Y, the wrist, the elbows and the eyes", len(marks))
	}
	img := room(640, 360)
	c := canvas(t, img)
	if left := overlay.Draw(c, overlay.Moment{T: stop.T, View: overlay.FullView(), Objects: Visible(figure(true), s.ground.DX)}, marks...); len(left) > 0 {
		t.Errorf("no room for %q", left)
	}
	golden(t, "body", img)
}

// A mark on the body speaks of one moment: it is not there at another, nor when
// its joints are not seen, nor without a measure.
func TestBodyMarksOnlyWhileTrue(t *testing.T) {
	stop := track.Event{Name: track.Stop, T: 3, Status: track.Measured}
	m := track.Measure{ID: "lead_wrist_finish", Value: 10, U95: 1, Unit: "deg", Status: track.Measured}
	w := must[*Wrist](t)(NewWrist(stop, m, figure(false)))
	c := canvas(t, room(640, 360))
	for _, x := range []struct {
		name    string
		t       float64
		objects []overlay.Object
		want    int
	}{{"at the event", 3, figure(true), 1}, {"later", 3.2, figure(true), 0}, {"joints not seen", 3, figure(true)[:2], 0}} {
		if got := len(w.Labels(c, overlay.Moment{T: x.t, View: overlay.FullView(), Objects: x.objects})); got != x.want {
			t.Errorf("%s: %d labels, want %d", x.name, got, x.want)
		}
	}
	m.Status, m.Reason = track.NotMeasured, "the grip lays the shaft along the lead forearm"
	if _, err := NewWrist(stop, m, nil); err == nil {
		t.Error("a wrist that was not measured can be drawn")
	}
}
