package sheet

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestReadCards(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"in/one/student.yaml":        "student: S-014\nconsent:\n  measuring:  {given: yes, by: a, on: 2026-01-10, until: 2026-12-31}\n  publishing: {given: yes, by: a, on: 2026-01-10, until: 2026-12-31}\n",
		"in/a/b/student.yaml":        "student: S-014\nage: adult\nconsent:\n  measuring:  {given: no, by: a, on: 2026-02-01}\n  publishing: {given: yes, by: a, on: 2026-01-10, until: 2026-06-30}\n",
		"in/two/student.yaml":        "age: minor\nconsent:\n  bench: {given: no, by: a, on: 2026-01-10}\n",
		"in/two/lesson.yaml":         "student: S-002\n",
		"in/nobody/student.yaml":     "handedness: left\n",
		"in/broken/student.yaml":     "studnet: S-003\n",
		"in/.hidden/student.yaml":    "student: S-004\n",
		"in/a/b/student.yaml.backup": "student: S-005\n",
	} {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	link := filepath.Join(dir, "link")
	if err := os.Symlink("in", link); err != nil {
		t.Fatal(err)
	}
	for _, in := range []string{filepath.Join(dir, "in"), link} {
		cards, err := ReadCards(in)
		if err != nil {
			t.Fatal(err)
		}
		one, ok := cards.Of("S-014")
		if !ok || one.Age != Adult || one.Consents[ToMeasure].Given || one.Consents[ToPublish].Until != "2026-06-30" {
			t.Errorf("two cards of one student say %+v", one)
		}
		if two, ok := cards.Of("S-002"); !ok || two.Age != Minor || two.Consents[ToBench].On != "2026-01-10" {
			t.Errorf("the card beside the sheet of S-002 says %+v", two)
		}
		for _, other := range []string{"", "S-003", "S-004", "S-005"} {
			if _, ok := cards.Of(other); ok {
				t.Errorf("there is a card of %q", other)
			}
		}
		if len(cards.Broken) != 1 || !strings.Contains(cards.Broken[0].Error(), `card "broken/student.yaml": line 1`) {
			t.Errorf("broken are %v", cards.Broken)
		}
	}
	if _, err := ReadCards(filepath.Join(dir, "none")); err == nil || !strings.HasPrefix(err.Error(), "reading the cards: ") {
		t.Errorf("got %v", err)
	}
}
