package sheet

import (
	"strings"
	"testing"

	"strokereel/pipeline/settings"
)

// The sheet's bands win over the card's place by place, and reach the settings.
func TestBandsReachTheSettings(t *testing.T) {
	s, err := ParseSheet([]byte("bands:\n  lead_elbow: yellow\n  cap: none\n"))
	if err != nil {
		t.Fatal(err)
	}
	c, err := ParseCard([]byte("grip: claw\nbands:\n  lead_elbow: red\n  lead_wrist: blue\n  cap: lime\n"))
	if err != nil {
		t.Fatal(err)
	}
	if s, err = s.With(c); err != nil {
		t.Fatal(err)
	}
	got, err := s.Settings(settings.Default())
	if err != nil {
		t.Fatal(err)
	}
	b := got.Track.Body
	if b.LeadElbow != "yellow" || b.LeadWrist != "blue" || b.Cap != "none" || b.Shoulders != "none" || got.Sheet.Grip != "claw" {
		t.Errorf("got %+v, grip %q", b, got.Sheet.Grip)
	}
}

func TestBandsThatCannotBe(t *testing.T) {
	for text, want := range map[string]string{
		"bands:\n  knee: red\n":  "knee",
		"bands:\n  cap: mauve\n": "cap",
		"grip: loose\n":          "grip",
		"bands: yellow\n":        "bands",
	} {
		if _, err := ParseSheet([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want something about %q", text, err, want)
		}
	}
	s, err := ParseSheet([]byte("bands:\n  lead_elbow: red\n  cap: red\n"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Settings(settings.Default()); err == nil || !strings.Contains(err.Error(), "different colours") {
		t.Errorf("one colour for elbow and cap: got %v", err)
	}
}
