package practice

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

//go:embed drills.yaml
var standard []byte

// Book is a coach's drills.
type Book struct {
	Hold     float64 `yaml:"hold_s"`      // s, wanted hold of the finish
	EyesDown float64 `yaml:"eyes_down_s"` // s, wanted time from impact to looking up
	Drills   []Drill `yaml:"drills"`
}

// Drill is one drill and the case in which it is given. Its texts may hold names
// of numbers in braces.
type Drill struct {
	Title string   `yaml:"title"`
	When  string   `yaml:"when"`
	Do    []string `yaml:"do"`
	Often string   `yaml:"often"`
	Check []string `yaml:"check"`
}

// Cases in which a drill is given.
const (
	Always  = "always"
	Lengths = "lengths"
	Tempo   = "tempo"
	Hold    = "hold"
	LookUp  = "look_up"
	Ladder  = "ladder"
)

// cases lists the cases with the numbers that texts may name in each.
var cases = []struct {
	name    string
	numbers []string
}{
	{Always, nil}, {Lengths, []string{"back", "through"}}, {Tempo, []string{"back_time", "down_time", "tempo"}},
	{Hold, []string{"held", "hold"}}, {LookUp, []string{"look_up", "eyes_down"}}, {Ladder, nil},
}

// Bounds of a file of drills: what a printed page holds, several times over.
const (
	mostBytes  = 64 << 10
	mostDrills = 12
	mostSteps  = 8
	longest    = 500 // characters of a text
	mostWanted = 10  // s
)

// Parse reads drills from YAML. It refuses what it does not know, so that a
// mistyped word is not overlooked.
func Parse(data []byte) (Book, error) {
	if len(data) > mostBytes {
		return Book{}, fmt.Errorf("the file is larger than %d kB", mostBytes>>10)
	}
	var b Book
	dec := yaml.NewDecoder(bytes.NewReader(data))
	dec.KnownFields(true)
	switch err := dec.Decode(&b); {
	case errors.Is(err, io.EOF):
		return Book{}, errors.New("the file is empty")
	case err != nil:
		return Book{}, plain(err)
	}
	if err := dec.Decode(new(yaml.Node)); !errors.Is(err, io.EOF) {
		return Book{}, errors.New("something follows the drills after a line ---")
	}
	return b, b.check()
}

var (
	unknownKey = regexp.MustCompile(`field (\S+) not found in type \S+`)
	wrongKind  = regexp.MustCompile("cannot unmarshal !!\\w+ (?:`(.*?)` )?into (\\S+)")
	kinds      = map[string]string{"float64": "a number", "string": "a text", "[]string": "a list of texts", "[]practice.Drill": "a list of drills"}
)

// plain says what is wrong with the file without the words of the parser.
func plain(err error) error {
	text := strings.TrimPrefix(err.Error(), "yaml: ")
	if typed := new(yaml.TypeError); errors.As(err, &typed) {
		text = typed.Errors[0]
	}
	text = unknownKey.ReplaceAllString(text, "unknown key $1")
	if m := wrongKind.FindStringSubmatch(text); m != nil {
		wanted, ok := kinds[m[2]]
		if !ok {
			wanted = "keys with values"
		}
		text = strings.Replace(text, m[0], "must be "+wanted, 1)
		if m[1] != "" {
			text += fmt.Sprintf(" (got %q)", m[1])
		}
	}
	return errors.New(text)
}

// Fingerprint is a short name for the drills: equal drills have equal names
// whatever file they came from.
func (b Book) Fingerprint() string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%#v", b))
	return hex.EncodeToString(sum[:8])
}

// check names the first thing that no page can be made from.
func (b Book) check() error {
	for _, w := range []struct {
		key string
		s   float64
	}{{"hold_s", b.Hold}, {"eyes_down_s", b.EyesDown}} {
		if !(w.s > 0 && w.s <= mostWanted) {
			return fmt.Errorf("%s: must be a time above 0 and up to %d s (got %g)", w.key, mostWanted, w.s)
		}
	}
	if n := len(b.Drills); n == 0 || n > mostDrills {
		return fmt.Errorf("drills: must be 1 to %d drills (got %d)", mostDrills, n)
	}
	for i, d := range b.Drills {
		if err := d.check(); err != nil {
			return fmt.Errorf("drill %d (%q): %w", i+1, d.Title, err)
		}
	}
	return nil
}

func (d Drill) check() error {
	var numbers, names []string
	known := false
	for _, c := range cases {
		names = append(names, c.name)
		if c.name == d.When {
			known, numbers = true, c.numbers
		}
	}
	if !known {
		return fmt.Errorf("when: must be one of %s (got %q)", strings.Join(names, ", "), d.When)
	}
	for _, list := range []struct {
		key   string
		texts []string
	}{{"title", []string{d.Title}}, {"do", d.Do}, {"often", []string{d.Often}}, {"check", d.Check}} {
		if n := len(list.texts); n == 0 || n > mostSteps {
			return fmt.Errorf("%s: must be 1 to %d texts (got %d)", list.key, mostSteps, n)
		}
		for _, t := range list.texts {
			if err := checkText(t, d.When, numbers); err != nil {
				return fmt.Errorf("%s: %w", list.key, err)
			}
		}
	}
	return nil
}

var named = regexp.MustCompile(`\{([^{}]*)\}`)

func checkText(t, when string, numbers []string) error {
	if n := utf8.RuneCountInString(t); strings.TrimSpace(t) == "" || n > longest {
		return fmt.Errorf("must be a text of 1 to %d characters (got %d)", longest, n)
	}
	for _, m := range named.FindAllStringSubmatch(t, -1) {
		if !slices.Contains(numbers, m[1]) {
			if len(numbers) == 0 {
				return fmt.Errorf("there are no numbers for %s, so %s cannot be filled in", when, m[0])
			}
			return fmt.Errorf("%s is not known; for %s there are {%s}", m[0], when, strings.Join(numbers, "}, {"))
		}
	}
	if strings.ContainsAny(named.ReplaceAllString(t, ""), "{}") {
		return errors.New("a brace stands alone; braces go around the name of a number, such as {back}")
	}
	return nil
}

// fill puts numbers into a text.
func fill(text string, numbers map[string]string) string {
	return named.ReplaceAllStringFunc(text, func(m string) string { return numbers[m[1:len(m)-1]] })
}
