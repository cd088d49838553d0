package settings

import (
	"maps"
	"testing"
)

func TestChangedRestoresTheSettings(t *testing.T) {
	s := Default()
	if c := s.Changed(); c != nil {
		t.Errorf("defaults changed: %v", c)
	}
	s.Track.Marker.Colour, s.Track.Phase.StopDistance, s.Reel.Stop = "blue", 3.25, s.Reel.Stop/2
	changed := s.Changed(Measuring()...)
	if want := map[string]string{"track.marker.colour": "blue", "track.phase.stop_distance": "3.25"}; !maps.Equal(changed, want) {
		t.Fatalf("changed %v, want %v", changed, want)
	}
	back, err := Of(changed, s.Fingerprint(Measuring()...))
	if err != nil {
		t.Fatal(err)
	}
	if back.Track != s.Track || back.Reel != Default().Reel {
		t.Errorf("restored %+v", back.Track)
	}
	if _, err := Of(changed, Default().Fingerprint(Measuring()...)); err == nil {
		t.Error("settings that are not those of the fingerprint are taken for them")
	}
	if _, err := Of(map[string]string{"track.gone": "1"}, ""); err == nil {
		t.Error("an unknown setting is passed over")
	}
}
