package scene

import (
	"image/color"
	"math"
	"strings"
	"testing"

	"strokereel/overlay"
	"strokereel/track"
)

// said is the text of an element's labels at a time, empty without any.
func said(e overlay.Labeller, c *overlay.Canvas, m overlay.Moment) string {
	var parts []string
	for _, l := range e.Labels(c, m) {
		for _, row := range l.Rows {
			for _, run := range row {
				parts = append(parts, run.Text)
			}
		}
	}
	return strings.Join(strings.Fields(strings.Join(parts, " ")), " ")
}

func TestHold(t *testing.T) {
	s := newStroke(640, 360)
	c := canvas(t, room(640, 360))
	hold := s.measures["hold_time"]
	whole := must[*Hold](t)(NewHold(s.event(track.Stop), hold))
	hold.Status, hold.Value, hold.U95 = track.AtLeast, 1.63, 0.02
	cut := must[*Hold](t)(NewHold(s.event(track.Stop), hold))
	for _, v := range []struct {
		name string
		h    *Hold
		t    float64 // s after the stop
		want string
	}{
		{"before the stop", whole, -0.01, ""},
		{"at the stop", whole, 0, "Hold 0.0 s"},
		{"counting", whole, 0.96, "Hold 0.9 s"},
		{"just before the end", whole, 1.459, "Hold 1.4 s"},
		{"over", whole, 1.461, "Held 1.46 s ± 0.03"},
		{"long over", whole, 9, "Held 1.46 s ± 0.03"},
		{"cut short, counting", cut, 1.60, "Hold 1.6 s"},
		{"cut short, at the end of the clip", cut, 1.62, "Held at least 1.61 s"},
	} {
		t.Run(v.name, func(t *testing.T) {
			if got := said(v.h, c, s.moment(stopT+v.t)); got != v.want {
				t.Errorf("got %q, want %q", got, v.want)
			}
		})
	}
	if _, err := NewHold(track.Event{Name: track.Stop, Status: track.NotMeasured, Reason: "the putter left the picture"}, hold); err == nil || !strings.Contains(err.Error(), "left the picture") {
		t.Errorf("a hold without a stop: %v", err)
	}
	if _, err := NewHold(s.event(track.Stop), track.Measure{Status: track.NotMeasured}); err == nil {
		t.Error("a hold that was not measured was taken")
	}
}

func TestCaptions(t *testing.T) {
	s := newStroke(640, 360)
	events := append(s.events, track.Event{Name: track.LookUp, Status: track.NotMeasured})
	k := NewCaptions(events)
	for _, v := range []struct {
		t    float64
		want string
	}{
		{0, "Address"}, {startT + 0.1, ""}, {topT - 0.02, ""}, {topT - 0.005, "Top"}, {impactT - 0.02, "Top"},
		{impactT, "Impact"}, {stopT - 0.02, "Impact"}, {stopT, "Finish"}, {stopT + 0.8, ""}, {holdT + 0.1, "Hold over"}, {9, ""},
	} {
		if got := said(k, nil, overlay.Moment{T: v.t}); got != v.want {
			t.Errorf("at %.3f s: got %q, want %q", v.t, got, v.want)
		}
	}
}

// The drawn length is measured on the picture: from the outer edge of one end
// tick to that of the other, less the width of a tick.
func TestLengthOnDrawnPixels(t *testing.T) {
	s := newStroke(1280, 720)
	for name, l := range map[string]*Length{
		"backstroke":     must[*Length](t)(NewBackstroke(s.ground, s.measures["backstroke_length"], s.event(track.Start), s.event(track.Top))),
		"follow-through": must[*Length](t)(NewFollowThrough(s.ground, s.measures["follow_through_length"], s.event(track.Impact), s.event(track.Stop))),
	} {
		t.Run(name, func(t *testing.T) {
			img := plain(1280, 720, color.RGBA{0, 0, 255, 255})
			c := canvas(t, img)
			m := s.moment(stopT + 0.1)
			l.Draw(c, m)
			y := int(l.at(c, m, 0).Y - c.Px(0.016)) // near the top of the tall ticks
			first, last := math.Inf(1), math.Inf(-1)
			for x := range 1280 {
				if p := img.RGBAAt(x, y); p.R > 128 {
					first, last = math.Min(first, float64(x)), math.Max(last, float64(x+1))
				}
			}
			got := (last - first - c.Px(l.Line.Width*0.75)) / s.ground.DX
			if math.Abs(got-l.measure.Value) > 1.5/s.ground.DX {
				t.Errorf("drawn %.4f m long, want %.4f m", got, l.measure.Value)
			}
		})
	}
}

func TestLengthGrowsWithThePutterAndSpeaksAtItsEnd(t *testing.T) {
	s := newStroke(640, 360)
	c := canvas(t, room(640, 360))
	l := must[*Length](t)(NewBackstroke(s.ground, s.measures["backstroke_length"], s.event(track.Start), s.event(track.Top)))
	if _, ok := l.reach(s.moment(startT - 0.1)); ok {
		t.Error("drawn before the stroke began")
	}
	for _, at := range []float64{1.2, 1.4, 1.6} {
		if got, ok := l.reach(s.moment(at)); !ok || math.Abs(got+swing(at)) > 1e-9 {
			t.Errorf("at %.1f s it is %.4f m long, the putter is at %.4f m", at, got, swing(at))
		}
	}
	if text := said(l, c, s.moment(topT-0.01)); text != "" {
		t.Errorf("says %q before the top", text)
	}
	if text := said(l, c, s.moment(topT)); text != "Backstroke 24.1 cm ± 0.5" {
		t.Errorf("says %q at the top", text)
	}
}

func TestLengthRefuses(t *testing.T) {
	s := newStroke(640, 360)
	good := s.measures["backstroke_length"]
	missing, negative := good, good
	missing.Status, missing.Reason = track.NotMeasured, "no ruler"
	negative.Value = -1
	for name, try := range map[string]func() error{
		"a length that was not measured": func() error {
			_, err := NewBackstroke(s.ground, missing, s.event(track.Start), s.event(track.Top))
			return err
		},
		"a negative length": func() error {
			_, err := NewBackstroke(s.ground, negative, s.event(track.Start), s.event(track.Top))
			return err
		},
		"a ground without scale": func() error {
			_, err := NewBackstroke(Ground{}, good, s.event(track.Start), s.event(track.Top))
			return err
		},
		"an end that is not known": func() error {
			_, err := NewBackstroke(s.ground, good, s.event(track.Start), track.Event{Name: track.Top, Status: track.NotMeasured})
			return err
		},
	} {
		if err := try(); err == nil {
			t.Errorf("%s was taken", name)
		}
	}
}

func TestTrail(t *testing.T) {
	s := newStroke(640, 360)
	tr := must[*Trail](t)(NewTrail(s.samples, s.event(track.Impact)))
	t.Run("interpolates between frames", func(t *testing.T) {
		x, y, ok := tr.at(1.4321)
		wx, wy := s.head(1.4321)
		if !ok || math.Hypot(x-wx, y-wy) > 0.05 {
			t.Errorf("got %.2f, %.2f, want %.2f, %.2f", x, y, wx, wy)
		}
	})
	t.Run("shows nothing of what comes later", func(t *testing.T) {
		img := plain(640, 360, color.RGBA{0, 0, 255, 255})
		tr.Draw(canvas(t, img), s.moment(impactT+0.1))
		x, y := s.head(stopT)
		if p := img.RGBAAt(int(x), int(y)); p.R > 0 {
			t.Error("the finish is drawn before it was reached")
		}
		x, y = s.head(impactT + 0.05)
		if p := img.RGBAAt(int(x), int(y)); p.R < 200 {
			t.Error("the path after impact is not drawn")
		}
	})
	t.Run("breaks where the head was not seen", func(t *testing.T) {
		gap := append([]track.Sample(nil), s.samples...)
		for i := range gap {
			if gap[i].T > 2.2 && gap[i].T < 2.4 {
				gap[i].Seen = false
			}
		}
		img := plain(640, 360, color.RGBA{0, 0, 255, 255})
		must[*Trail](t)(NewTrail(gap, s.event(track.Impact))).Draw(canvas(t, img), s.moment(2.6))
		x, y := s.head(2.3)
		if p := img.RGBAAt(int(x), int(y)); p.R > 0 {
			t.Error("a path is drawn where none was seen")
		}
	})
	t.Run("refuses times that do not rise", func(t *testing.T) {
		if _, err := NewTrail([]track.Sample{{T: 1, Seen: true}, {T: 1, Seen: true}}, track.Event{}); err == nil {
			t.Error("taken")
		}
	})
}

func TestStillRefusesAnUnknownEvent(t *testing.T) {
	err := Still(room(320, 180), StillData{Event: track.Event{Name: track.Top, Status: track.NotMeasured, Reason: "no sticker"}, Moment: overlay.Moment{View: overlay.FullView()}})
	if err == nil || !strings.Contains(err.Error(), "no sticker") {
		t.Errorf("got %v", err)
	}
}

func TestStillWithoutScaleSaysWhy(t *testing.T) {
	s := newStroke(640, 360)
	d := StillData{Event: s.event(track.Top), Measures: map[string]track.Measure{
		"backstroke_length": {ID: "backstroke_length", Unit: "m", Status: track.NotMeasured, Reason: "no ruler in the picture"}}}
	if got := said(d.panel(), canvas(t, room(640, 360)), s.moment(topT)); !strings.Contains(got, "no ruler in the picture") || strings.Contains(got, "0 cm") {
		t.Errorf("the plate says %q", got)
	}
}

func TestWyeFadesWithDoubt(t *testing.T) {
	c := canvas(t, room(640, 360))
	w := NewWye(nil)
	m := overlay.Moment{View: overlay.FullView()}
	last := math.Inf(1)
	for _, u := range []float64{0, 3, 6, 9, 12} {
		k := w.sure(c, m, overlay.Object{U: u})
		if k > last {
			t.Errorf("surer at %g px than before", u)
		}
		last = k
	}
	if w.sure(c, m, overlay.Object{U: 1}) != 1 || last != 0 || w.sure(c, m, overlay.Object{U: math.NaN()}) != 0 {
		t.Error("a sure joint is not whole, or a doubtful one not gone")
	}
}

func TestSpeedWords(t *testing.T) {
	for speed, want := range map[float64]string{1: "full speed", 0.4: "2.5× slower", 0.5: "2× slower", 0: "", 0.999: "full speed"} {
		if got := speedWords(speed); got != want {
			t.Errorf("speed %g: got %q, want %q", speed, got, want)
		}
	}
}
