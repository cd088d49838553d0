package practice

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const small = "hold_s: 2\neyes_down_s: 0.5\ndrills:\n- {title: A, when: lengths, do: ['{back}'], often: daily, check: [c]}\n"

func TestParse(t *testing.T) {
	for _, c := range []struct{ name, old, to, want string }{
		{"a mistyped key", "often", "oftn", "line 4: unknown key oftn"},
		{"a key at the top that is not known", "hold_s: 2", "hold: 2", "line 1: unknown key hold"},
		{"a word for a number", "hold_s: 2", "hold_s: long", `must be a number (got "long")`},
		{"a text for a list", "[c]", "c", `must be a list of texts (got "c")`},
		{"no hold", "hold_s: 2\n", "", "hold_s: must be a time above 0"},
		{"a hold that is no number", "hold_s: 2", "hold_s: .nan", "hold_s: must be a time above 0"},
		{"a long wait", "0.5", "11", "eyes_down_s: must be a time"},
		{"a case that is not known", "lengths", "sundays", `drill 1 ("A"): when: must be one of always, lengths, tempo, hold, look_up, ladder (got "sundays")`},
		{"a number of another case", "{back}", "{held}", "do: {held} is not known; for lengths there are {back}, {through}"},
		{"a case without numbers", "lengths", "always", "there are no numbers for always"},
		{"a brace alone", "{back}", "{back", "a brace stands alone"},
		{"an empty text", "daily", "' '", "often: must be a text of 1 to 500"},
		{"a very long text", "daily", strings.Repeat("x", 501), "characters (got 501)"},
		{"nothing to do", "['{back}']", "[]", "do: must be 1 to 8 texts (got 0)"},
		{"a second document", "[c]}\n", "[c]}\n---\na: b\n", "something follows"},
		{"a list for the whole", small, "- a\n", "must be keys with values"},
		{"nothing", small, "", "the file is empty"},
		{"too much", "daily", strings.Repeat("x", 70000), "larger than 64 kB"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Parse([]byte(strings.Replace(small, c.old, c.to, 1)))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
	if b, err := Parse([]byte(small)); err != nil || b.Hold != 2 || b.Drills[0].Often != "daily" {
		t.Errorf("the small file: %+v, %v", b, err)
	}
}

// The drills of the program hold one for each case, and an own file replaces them.
func TestLoad(t *testing.T) {
	b, err := Load(DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	given := map[string]bool{}
	for _, d := range b.Drills {
		given[d.When] = true
	}
	for _, c := range cases {
		if !given[c.name] {
			t.Errorf("no drill for %s", c.name)
		}
	}
	own := filepath.Join(t.TempDir(), "own.yaml")
	if err := os.WriteFile(own, []byte(small), 0o644); err != nil {
		t.Fatal(err)
	}
	mine, err := Load(Options{File: own})
	if err != nil || len(mine.Drills) != 1 || mine.Fingerprint() == b.Fingerprint() {
		t.Errorf("own drills: %+v, %v", mine, err)
	}
	if err := os.WriteFile(own, []byte("drills: 3"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Load(Options{File: own}); err == nil || !strings.Contains(err.Error(), `own.yaml": line 1: must be a list of drills (got "3")`) {
		t.Errorf("a broken file: %v", err)
	}
	if _, err := Load(Options{File: own + "x"}); err == nil {
		t.Error("a file that is not there was read")
	}
}

// Whatever a file holds, it is refused or makes a page in which no brace is left.
func FuzzParse(f *testing.F) {
	f.Add([]byte(small))
	f.Add(standard)
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := Parse(data)
		if err != nil {
			return
		}
		s := b.Choose(lessonOf(0.8, 0.1, true))
		for _, g := range s.Drills {
			if strings.ContainsAny(g.Title+g.Often+strings.Join(g.Do, "")+strings.Join(g.Check, ""), "{}") {
				t.Errorf("a brace is left in %+v", g)
			}
		}
		if err := s.WritePage(io.Discard); err != nil {
			t.Error(err)
		}
	})
}
