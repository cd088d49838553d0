package night

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// answer is a card with one answer about measuring.
func answer(card, given, until string) string {
	return card + "age: minor\nconsent:\n  measuring: {given: " + given + ", by: G-014, guardian: yes, on: 2026-01-10, until: " + until + "}\n"
}

const (
	code   = "student: S-014\n"
	ahead  = "2999-12-31"
	passed = "2026-01-31"
)

// Nothing of a student is measured without consent in force, wherever the card
// lies; the others are done.
func TestConsentToMeasuring(t *testing.T) {
	for _, c := range []struct {
		name  string
		files map[string]string
		says  string // "" when it is measured
	}{
		{"given", map[string]string{"x/student.yaml": answer(code, "yes", ahead)}, ""},
		{"refused", map[string]string{"x/student.yaml": answer(code, "no", ahead)}, "consent to measuring was refused on 2026-01-10"},
		{"ended", map[string]string{"x/student.yaml": answer(code, "yes", passed)}, "consent to measuring ended with " + passed},
		{"given to publishing only", map[string]string{"x/student.yaml": strings.Replace(answer(code, "yes", ahead), "measuring", "publishing", 1)}, "there is no consent to measuring"},
		{"of a minor for itself", map[string]string{"x/student.yaml": strings.Replace(answer(code, "yes", ahead), "guardian: yes", "guardian: no", 1)}, "must come from a guardian"},
		{"a card without answers", map[string]string{"x/student.yaml": code + "handedness: left\n"}, ""},
		{"no card", nil, ""},
		{"a card without a code", map[string]string{"x/student.yaml": answer("", "no", ahead)}, "was refused"},
		{"refused on a card elsewhere", map[string]string{"x/lesson.yaml": code, "cards/S-014/student.yaml": answer(code, "no", ahead)}, "was refused"},
		{"another student's refusal", map[string]string{"x/lesson.yaml": code, "cards/S-01/student.yaml": answer("student: S-01\n", "no", ahead)}, ""},
		{"refused later elsewhere", map[string]string{"x/student.yaml": answer(code, "yes", ahead), "cards/S-014/student.yaml": strings.Replace(answer(code, "no", ahead), "on: 2026-01-10", "on: 2026-01-11", 1)}, "was refused on 2026-01-11"},
		{"given again elsewhere", map[string]string{"x/student.yaml": answer(code, "no", ahead), "cards/S-014/student.yaml": strings.Replace(answer(code, "yes", ahead), "on: 2026-01-10", "on: 2026-01-11", 1)}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBox(t)
			b.lesson("other")
			b.lesson("x")
			for name, text := range c.files {
				b.put(name, text)
			}
			m := b.run()
			if c.says == "" {
				wantMeasured(t, b, "before.mp4", "after.mp4", "before.mp4", "after.mp4")
				return
			}
			wantMeasured(t, b, "before.mp4", "after.mp4")
			if got := needs(m, "x"); !strings.Contains(got, "The clips are not measured: ") || !strings.Contains(got, c.says) || !strings.Contains(got, askAgain) {
				t.Errorf("the page says %q, want %q", got, c.says)
			}
			if _, err := os.Stat(filepath.Join(b.out, "x")); err == nil {
				t.Error("there is a result")
			}
		})
	}
}

// An answer that changes neither measures nor draws a lesson again; when consent
// ends its result stays, and the page asks for a person.
func TestConsentChanges(t *testing.T) {
	b := newBox(t)
	b.lesson("x")
	for _, c := range []struct{ card, states string }{
		{code, "x=done"},
		{answer(code, "yes", ahead), "x=unchanged"},
		{answer(code, "yes", "2999-11-30"), "x=unchanged"},
		{answer(code, "yes", passed), "x=waiting+1"},
		{answer(code, "yes", ahead), "x=unchanged"},
		{answer(code+"handedness: left\n", "yes", ahead), "x=done"},
	} {
		b.put("x/student.yaml", c.card)
		wantStates(t, b.run(), c.states)
		if drawn := len(b.reels) > 0; drawn != (c.states == "x=done") {
			t.Errorf("%q: the reel was drawn: %v", c.card, drawn)
		}
		if _, err := os.Stat(filepath.Join(b.out, "x", "reel.mp4")); err != nil {
			t.Errorf("%q: %v", c.card, err)
		}
	}
}
