package sheet

import (
	"strings"
	"testing"
	"time"
)

const consenting = `student: S-014
age: minor
consent:
  measuring:  {given: yes, by: G-014, guardian: yes, on: 2026-01-10, until: 2026-12-31}
  publishing: {given: yes, by: G-014, guardian: yes, on: 2026-01-10, until: 2026-06-30}
  bench:      {given: no, by: G-014, guardian: yes, on: 2026-01-10}
`

func day(s string) time.Time {
	d, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return d
}

func TestConsent(t *testing.T) {
	for _, c := range []struct {
		name, from, to string // what is changed in the card
		purpose        Purpose
		on             string
		why            string // "" when it is allowed
	}{
		{"given", "", "", ToPublish, "2026-03-01", ""},
		{"on its first day", "", "", ToPublish, "2026-01-10", ""},
		{"on its last day", "", "", ToPublish, "2026-06-30", ""},
		{"a day later", "", "", ToPublish, "2026-07-01", "ended with 2026-06-30"},
		{"one purpose says nothing of another", "", "", ToMeasure, "2026-07-01", ""},
		{"the day before", "", "", ToPublish, "2026-01-09", "begins only on 2026-01-10"},
		{"refused", "", "", ToBench, "2026-03-01", "refused on 2026-01-10"},
		{"never asked", "", "", ToReference, "2026-03-01", "there is no consent to reference"},
		{"a minor for itself", "guardian: yes", "guardian: no", ToPublish, "2026-03-01", "must come from a guardian"},
		{"an adult for itself", "age: minor", "age: adult", ToPublish, "2026-03-01", ""},
		{"age not known", "age: minor\n", "", ToPublish, "2026-03-01", "does not say whether the student is a minor"},
	} {
		t.Run(c.name, func(t *testing.T) {
			card, err := ParseCard([]byte(strings.ReplaceAll(consenting, c.from, c.to)))
			if c.from == "" {
				card, err = ParseCard([]byte(consenting))
			}
			if err != nil {
				t.Fatal(err)
			}
			ok, why := card.Allows(c.purpose, day(c.on))
			if ok != (c.why == "") || !strings.Contains(why, c.why) {
				t.Errorf("allowed %v, because %q, want %q", ok, why, c.why)
			}
		})
	}
}

func TestUnclearConsent(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"no answer", "{by: a, on: 2026-01-10}", "given: yes or no"},
		{"nobody", "{given: yes, on: 2026-01-10, until: 2026-02-01}", "by whom"},
		{"no day", "{given: no, by: a}", "on which day"},
		{"without end", "{given: yes, by: a, on: 2026-01-10}", "until which day"},
		{"ends before it begins", "{given: yes, by: a, on: 2026-01-10, until: 2026-01-09}", "before it was given"},
		{"perhaps", "{given: perhaps, by: a, on: 2026-01-10}", "must be one of yes, no"},
		{"misspelt", "{giving: yes}", "is not a known key"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ParseCard([]byte("consent:\n  publishing: " + c.text + "\n"))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
	if _, err := ParseCard([]byte("consent:\n  everything: {given: yes}\n")); err == nil {
		t.Error("consent to everything was taken")
	}
}

// Another player's stroke is shown only with that player's consent.
func TestReferenceConsent(t *testing.T) {
	const given = "reference_consent: {given: yes, by: P-003, on: 2026-01-10, until: 2026-06-30}\n"
	for _, c := range []struct{ name, sheet, on, why string }{
		{"given", given, "2026-03-01", ""},
		{"never asked", "student: S-014\n", "2026-03-01", "has no reference_consent"},
		{"refused", "reference_consent: {given: no, by: P-003, on: 2026-01-10}\n", "2026-03-01", "refused it on 2026-01-10"},
		{"not yet", given, "2026-01-09", "begins only on 2026-01-10"},
		{"no longer", given, "2026-07-01", "ended with 2026-06-30"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, err := ParseSheet([]byte(c.sheet))
			if err != nil {
				t.Fatal(err)
			}
			if ok, why := s.ShowsReference(day(c.on)); ok != (c.why == "") || !strings.Contains(why, c.why) {
				t.Errorf("shown %v, because %q, want %q", ok, why, c.why)
			}
		})
	}
	if _, err := ParseSheet([]byte("reference_consent: {given: yes, by: P-003, on: 2026-01-10}\n")); err == nil || !strings.Contains(err.Error(), "until which day") {
		t.Errorf("a consent without an end gave %v", err)
	}
}
