package night

import (
	"fmt"
	"html"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// odd are names that break careless programs.
var odd = []string{
	"two words", "it's \"quoted\"", "a\nnew line", "100% sure %20 %s", "-rf", "💚 emoji ⛳", "<svg onload=alert(1)>", "javascript:alert(1)",
	"a&b;c?d#e", "back\\slash", "tab\there", "bell\a", "\x1b[31mred", "‮turned", "broken \xff\xfe", "{{.Lesson}}", strings.Repeat("é", 127),
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
		if r < ' ' && r != '\n' || r == 0x7f || r == '‮' {
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
		plain("a\nb"): "a␊b", plain("a\x7f"): "a␡", plain("é 💚"): "é 💚", plain("x‮y"): "x\ufffdy",
		link("a b", "c?d/e#f"): "./a%20b/c%3Fd/e%23f",
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
