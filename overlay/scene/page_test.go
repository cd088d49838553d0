package scene

import (
	"image/color"
	"testing"

	"strokereel/overlay"
	"strokereel/track"
)

// rows are a closing page with every kind of row.
func rows() []ChangeRow {
	m := func(v, u float64, unit string) track.Measure {
		return track.Measure{Value: v, U95: u, Unit: unit, Status: track.Measured}
	}
	out := []ChangeRow{
		{ID: "backstroke_length", Before: m(0.241, 0.005, "m"), After: m(0.273, 0.005, "m"), Change: m(0.032, 0.007, "m")},
		{ID: "follow_through_length", Before: m(0.368, 0.007, "m"), After: m(0.361, 0.008, "m"), Change: m(-0.007, 0.011, "m")},
		{ID: "tempo", Before: m(2.31, 0.06, "1"), After: m(2.02, 0.06, "1"), Change: m(-0.29, 0.08, "1")},
		{ID: "ball_speed", Before: m(1.98, 0.05, "m/s"), After: m(2.01, 0.05, "m/s"), Change: m(0.03, 0.07, "m/s")},
		{ID: "hold_time", Before: m(0.42, 0.03, "s"), After: track.Measure{Value: 1.62, U95: 0.01, Unit: "s", Status: track.AtLeast},
			Change: track.Measure{Value: 1.2, U95: 0.03, Unit: "s", Status: track.AtLeast}},
		{ID: "look_up_after_impact", Before: m(0.31, 0.04, "s"),
			After:  track.Measure{Status: track.NotMeasured, Reason: "the head left the picture"},
			Change: track.Measure{Status: track.NotMeasured, Reason: "the head left the picture"}},
	}
	for i, r := range out {
		out[i].Word = ChangeWord(r.ID, r.Change, true)
	}
	return out
}

func TestPageGolden(t *testing.T) {
	opening := &Opening{Title: "Putting lesson", Lines: []string{"Student S-014", "Indoor winter clinic, 12 January 2026", "Putt of 3.0 m, level"},
		Clips: []OpeningClip{{overlay.Before, "first putt of the hour"}, {overlay.After, "fourth putt, the most typical of five"}, {overlay.Reference, "coach"}}}
	closing, err := NewClosing("What changed", rows(), "Values with their 95 % intervals. Ball speeds agree: these were the same putt.")
	if err != nil {
		t.Fatal(err)
	}
	for name, page := range map[string]overlay.Element{"opening": opening, "closing": closing} {
		for shape, size := range map[string][2]int{"wide": {960, 540}, "tall": {540, 960}} {
			t.Run(name+" "+shape, func(t *testing.T) {
				img := plain(size[0], size[1], color.RGBA{255, 0, 255, 255})
				c := canvas(t, img)
				page.Draw(c, overlay.Moment{})
				if c.Err() != nil {
					t.Fatal(c.Err())
				}
				golden(t, name+"_"+shape, img)
			})
		}
	}
}

func TestClosingRefusesMoreThanCanBeRead(t *testing.T) {
	if _, err := NewClosing("What changed", make([]ChangeRow, MostRows+1)); err == nil {
		t.Fatal("a page with too many rows was made")
	}
}
