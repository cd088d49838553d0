package track

import "testing"

func TestFault(t *testing.T) {
	for _, c := range []struct {
		name     string
		f        Fault
		in, kind string
	}{
		{"none", Fault{}, "", ""},
		{"without a number", Fault{Text: "no disc fits"}, "no disc fits", "no disc fits"},
		{"one number", Fault{Text: "not seen in %.0f frames", Got: 7}, "not seen in 7 frames", "not seen in … frames"},
		{"number and limit", Fault{Text: "misfit %.2f, most %.2f", Got: 0.312, Limit: 0.2}, "misfit 0.31, most 0.20", "misfit …, most 0.20"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.f.String(); got != c.in {
				t.Errorf("said %q, want %q", got, c.in)
			}
			if got := c.f.Kind(); got != c.kind {
				t.Errorf("kind %q, want %q", got, c.kind)
			}
			if c.f.OK() != (c.in == "") {
				t.Errorf("OK is %v", c.f.OK())
			}
		})
	}
}
