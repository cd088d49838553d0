package phase

import (
	"strings"
	"testing"

	"strokereel/track"
)

// A moment that may lie anywhere in a stroke is no number.
func TestEventToldTooBadlyIsRefused(t *testing.T) {
	for _, c := range []struct {
		u      float64
		status string
	}{{0.004, track.Measured}, {0.099, track.Measured}, {0.5, track.NotMeasured}} {
		s := Stroke{Events: []track.Event{{Name: track.Stop}}}
		s.tell(track.Event{Name: track.Stop, T: 2, U: c.u, Status: track.Measured})
		e := s.Event(track.Stop)
		if e.Status != c.status {
			t.Errorf("u %g s: %s, want %s", c.u, e.Status, c.status)
		}
		if c.status == track.NotMeasured && !strings.Contains(e.Reason, "1.0 s") {
			t.Errorf("reason %q", e.Reason)
		}
	}
}
