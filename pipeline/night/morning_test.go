package night

import (
	"fmt"
	"html"
	"math"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

// odd are names that break careless programs.
var odd = []string{
	"two words", "it's \"quoted\"", "a\nnew line", "100% sure %20 %s", "-rf", "💚 emoji ⛳", "<svg onload=alert(1)>", "javascript:alert(1)",
	"a&b;c?d#e", "back\\slash", "tab\there", "bell\a", "\x1b[31mred", "\u202eturned", "broken \xff\xfe", "{{.Lesson}}", strings.Repeat("é", 127),
}

func TestOddNames(t *testing.T) {
	b := newBox(t)
	for _, name := range odd {
		b.put(name+"/"+"before "+trimTo(name, 200)+".mp4", good)
		b.put(name+"/"+trimTo(name, 200)+" after.mp4", good)
		b.put(name+"/"+trimTo(name, 200)+" after 2.mp4", unreadable)
	}
	originals := tree(t, b.in)
	m := b.run()
	if m.Done() != len(odd) || m.Waiting() != len(odd) {
		t.Fatalf("%d of %d done: %s", m.Done(), len(odd), states(m))
	}
	if again := b.run(); again.Done() != len(odd) || len(b.measured) > 0 {
		t.Errorf("a second run measured %v", b.measured)
	}
	if fmt.Sprint(originals) != fmt.Sprint(tree(t, b.in)) {
		t.Error("the inbox has changed")
	}
	for _, name := range odd {
		if _, err := os.Stat(filepath.Join(b.out, name, "reel.mp4")); err != nil {
			t.Error(err)
		}
	}
	page, err := os.ReadFile(filepath.Join(b.out, pageFile))
	must(t, err)
	links := checkPage(t, b.out, string(page))
	if links != 2*len(odd) {
		t.Errorf("the page has %d links, want %d", links, 2*len(odd))
	}
	text, err := os.ReadFile(filepath.Join(b.out, textFile))
	must(t, err)
	for _, r := range string(text) {
		if r < ' ' && r != '\n' || r == 0x7f || r == '\u202e' {
			t.Errorf("the text has the character %U", r)
		}
	}
	if lines := strings.Count(string(text), "  film: "); lines != len(odd) {
		t.Errorf("the text has %d films", lines)
	}
}

// trimTo shortens a name to at most n bytes, at a whole character.
func trimTo(s string, n int) string {
	for len(s) > n {
		r := []rune(s)
		s = string(r[:len(r)-1])
	}
	return strings.ReplaceAll(s, "/", "")
}

var (
	anyTag  = regexp.MustCompile(`<([a-zA-Z/!][^\s>]*)`)
	address = regexp.MustCompile(`(?:href|src)="([^"]*)"`)
)

// checkPage makes sure that a page asks nobody for anything, has only the tags
// of its own template and links to what is there; it returns how many links.
func checkPage(t *testing.T, dir, page string) (links int) {
	t.Helper()
	known := map[string]bool{}
	for _, tag := range anyTag.FindAllStringSubmatch(pageText, -1) {
		known[tag[1]] = true
	}
	for _, tag := range anyTag.FindAllStringSubmatch(page, -1) {
		if !known[tag[1]] {
			t.Errorf("the page has the tag %q", tag[1])
		}
	}
	for _, a := range address.FindAllStringSubmatch(page, -1) {
		target := html.UnescapeString(a[1])
		if strings.HasPrefix(target, "data:image/jpeg;base64,") {
			continue
		}
		links++
		way, err := url.PathUnescape(target)
		if err != nil || !strings.HasPrefix(target, "./") {
			t.Errorf("link %q: %v", target, err)
			continue
		}
		if _, err := os.Stat(filepath.Join(dir, filepath.FromSlash(way))); err != nil {
			t.Errorf("link %q: %v", target, err)
		}
	}
	if strings.Contains(page, "http:") || strings.Contains(page, "https:") || strings.Contains(page, "ZgotmplZ") {
		t.Error("the page asks others or was cut by its escaping")
	}
	return links
}

func TestHeadline(t *testing.T) {
	lesson := func(state string, needs int) MorningLesson {
		return MorningLesson{State: state, Needs: make([]Need, needs), Result: &Result{Films: []string{"reel.mp4"}}}
	}
	for want, lessons := range map[string][]MorningLesson{
		"The inbox is empty.":                   nil,
		"1 lesson is done.":                     {lesson("done", 0)},
		"2 lessons are done, 1 needs a person.": {lesson("done", 2), lesson("unchanged", 0)},
		"0 lessons are done, 2 need a person.":  {lesson("waiting", 1), lesson("failed", 1)},
		"2 lessons are done.":                   {lesson("done", 0), lesson("unchanged", 0)},
	} {
		if got := (&Morning{Lessons: lessons}).Headline(); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

func TestWords(t *testing.T) {
	for got, want := range map[string]string{
		amount(0): "0 kB", amount(999_400_000): "1.0 GB", amount(12_345_678): "12 MB", amount(999_000): "1 MB",
		span(1400 * time.Millisecond): "1 s", span(59 * time.Minute): "59 min 00 s", span(3*time.Hour + 65*time.Second): "3 h 01 min",
		plain("a\nb"): "a␊b", plain("a\x7f"): "a␡", plain("é 💚"): "é 💚", plain("x\u202ey"): "x\ufffdy",
		link("a b", "c?d/e#f"): "./a%20b/c%3Fd/e%23f",
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

var colour = regexp.MustCompile(`--([a-z]+): #([0-9a-f]{6})`)

// luminance is the relative luminance of WCAG 2.2.
func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	v, err := strconv.ParseUint(hex, 16, 32)
	must(t, err)
	part := func(shift int) float64 {
		c := float64(v>>shift&255) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return 0.2126*part(16) + 0.7152*part(8) + 0.0722*part(0)
}

// TestContrast asks for 4.5 : 1 between text and ground, light and dark (WCAG
// 2.2, success criterion 1.4.3).
func TestContrast(t *testing.T) {
	light, dark, ok := strings.Cut(pageText, "prefers-color-scheme: dark")
	if !ok {
		t.Fatal("there is no dark page")
	}
	for name, css := range map[string]string{"light": light, "dark": dark} {
		palette := map[string]string{}
		for _, c := range colour.FindAllStringSubmatch(css, -1) {
			palette[c[1]] = c[2]
		}
		for _, pair := range []string{"ink ground", "ink sheet", "ink tint", "quiet ground", "quiet sheet", "mark tint", "link sheet", "on link"} {
			a, b, _ := strings.Cut(pair, " ")
			x, y := luminance(t, palette[a]), luminance(t, palette[b])
			if ratio := (max(x, y) + 0.05) / (min(x, y) + 0.05); ratio < 4.5 {
				t.Errorf("%s: %s has a contrast of %.2f", name, pair, ratio)
			}
		}
	}
}
