package shelf

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"strokereel/pipeline/site"
	"strokereel/pipeline/site/sitetest"
)

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func day(s string) time.Time {
	d, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return d
}

// academy is an outbox with the cards of its students, and a job to publish it.
func academy(t testing.TB, lessons ...sitetest.Lesson) Job {
	t.Helper()
	j := jobIn(inMemory(t))
	must(t, os.MkdirAll(j.Cards, 0o755))
	must(t, os.MkdirAll(j.Outbox, 0o755))
	for i, l := range lessons {
		l.Clip = fmt.Sprintf("%064x", 0xabc0+i)
		must(t, sitetest.Write(j.Outbox, l))
		must(t, sitetest.Card(j.Cards, l.Student, "2026-06-30"))
	}
	return j
}

func jobIn(dir string) Job {
	return Job{Outbox: filepath.Join(dir, "out"), Cards: filepath.Join(dir, "in"), Place: filepath.Join(dir, "shelf"), Look: site.DefaultOptions(), Today: day("2026-02-01")}
}

// inMemory is a folder for a test, in memory where there is such a place: shelves
// flush every file to the disk.
func inMemory(t testing.TB) string {
	dir, err := os.MkdirTemp("/dev/shm", "shelf-test-*")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

func small() []sitetest.Lesson {
	return []sitetest.Lesson{
		{Name: "a1", Student: "S-014", Coach: "C-02", Date: "2025-12-13"},
		{Name: "a2", Student: "S-014", Coach: "C-02", Date: "2026-01-17"},
		{Name: "b1", Student: "S-0141", Coach: "C-03", Date: "2026-01-10"},
	}
}

func publish(t testing.TB, j Job) Report {
	t.Helper()
	r, err := Publish(context.Background(), j)
	must(t, err)
	return r
}

// references finds what a page points at within the shelf.
var references = regexp.MustCompile(`(?:src|href|srcset|poster)="([^"#]*)`)

// entry is a page whose link somebody has: the root's, a list's, a student's.
var entry = regexp.MustCompile(`^([^/]+/)?index\.html$`)

// whole fails when a page that can be come to on the shelf points at something
// that is not there, and returns how many such pages there are.
func whole(t testing.TB, s Store) (pages int) {
	t.Helper()
	all, err := s.List(context.Background(), "")
	must(t, err)
	var ahead []string
	for name := range all {
		if entry.MatchString(name) {
			ahead = append(ahead, name)
		}
	}
	known := map[string]bool{}
	for _, name := range ahead {
		known[name] = true
	}
	for ; len(ahead) > 0; pages++ {
		name := ahead[0]
		ahead = ahead[1:]
		for _, m := range references.FindAllStringSubmatch(content(t, s, name), -1) {
			if m[1] == "" || strings.HasPrefix(m[1], "data:") {
				continue
			}
			to := path.Join(path.Dir(name), m[1])
			if size, ok := all[to]; !ok || size == 0 {
				t.Errorf("%s points at %s, which is not there", name, to)
			} else if path.Ext(to) == ".html" && !known[to] {
				known[to] = true
				ahead = append(ahead, to)
			}
		}
	}
	return pages
}

func content(t testing.TB, s Store, name string) string {
	t.Helper()
	r, err := s.Open(context.Background(), name)
	must(t, err)
	defer r.Close()
	data, err := io.ReadAll(r)
	must(t, err)
	return string(data)
}

func opened(t testing.TB, j Job) Store {
	t.Helper()
	s, err := OpenStore(context.Background(), j.Place)
	must(t, err)
	t.Cleanup(func() { s.Close() })
	return s
}

func TestPublish(t *testing.T) {
	j := academy(t, small()...)
	dry := j
	dry.DryRun = true
	if r := publish(t, dry); r.Count(Published) != 3 {
		t.Errorf("a dry run says %+v", r.Lines)
	}
	s := opened(t, j)
	if all, err := s.List(t.Context(), ""); err != nil || len(all) != 0 {
		t.Errorf("a dry run left %v, %v", all, err)
	}
	r := publish(t, j)
	if r.Count(Published) != 3 || len(r.Links.Students) != 2 || len(r.Links.Coaches) != 2 {
		t.Errorf("published %+v, links %+v", r.Lines, r.Links)
	}
	// The root, two pages of lists for the academy and each coach, two students,
	// three lessons.
	if n := whole(t, s); n != 1+3*2+2+3 {
		t.Errorf("%d pages", n)
	}
	for code, link := range r.Links.Students {
		if folder, file, _ := strings.Cut(link, "/"); !isToken.MatchString(folder) || file != site.Index || strings.Contains(link, code) {
			t.Errorf("the link of %s is %s", code, link)
		}
		page := content(t, s, link)
		for _, want := range []string{`name="robots" content="noindex`, `name="referrer" content="no-referrer"`, "Content-Security-Policy"} {
			if !strings.Contains(page, want) {
				t.Errorf("the page of %s lacks %s", code, want)
			}
		}
		if strings.Contains(page, r.Links.Academy[:26]) {
			t.Errorf("the page of %s gives away the academy's list", code)
		}
	}
	if r := publish(t, j); r.Count(Unchanged) != 3 {
		t.Errorf("a second run: %+v", r.Lines)
	}
	l := small()[1]
	l.Key = "made again"
	must(t, sitetest.Write(j.Outbox, l))
	again := publish(t, j)
	if again.Count(Updated) != 1 || again.Links.Students["S-014"] != r.Links.Students["S-014"] {
		t.Errorf("a lesson made again: %+v", again.Lines)
	}
	whole(t, s)
}

// What students agreed to decides, every day anew.
func TestConsentDecides(t *testing.T) {
	for _, c := range []struct {
		name, card, on string
		held           string // why, "" when published
	}{
		{"in force", "", "2026-06-30", ""},
		{"ended", "", "2026-07-01", "ended with 2026-06-30"},
		{"no card", "-", "2026-02-01", "there is no card of the student"},
		{"to measuring only", "student: S-014\nage: adult\nconsent:\n  measuring: {given: yes, by: x, on: 2026-01-01, until: 2026-12-31}\n", "2026-02-01", "there is no consent to publishing"},
		{"a card that cannot be read", "studnet: S-014\n", "2026-02-01", "there is no card of the student"},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := academy(t, small()[0])
			file := filepath.Join(j.Cards, "S-014", "student.yaml")
			switch c.card {
			case "":
			case "-":
				must(t, os.Remove(file))
			default:
				must(t, os.WriteFile(file, []byte(c.card), 0o644))
			}
			j.Today = day(c.on)
			r := publish(t, j)
			if got := r.Lines[0]; (got.What == Published) != (c.held == "") || !strings.Contains(got.Why, c.held) {
				t.Errorf("got %+v, want %q", got, c.held)
			}
		})
	}
}

func TestExpiryWithdraws(t *testing.T) {
	j := academy(t, small()...)
	first := publish(t, j)
	must(t, sitetest.Card(j.Cards, "S-014", "2026-03-31"))
	if r := publish(t, j); r.Count(Unchanged) != 3 || len(r.Lines) != 3 {
		t.Errorf("with a shorter consent that is in force: %+v", r.Lines)
	}
	must(t, sitetest.Card(j.Cards, "S-014", "2026-01-31"))
	r := publish(t, j)
	if r.Count(Withdrawn) != 2 || r.Count(Unchanged) != 1 {
		t.Errorf("got %+v", r.Lines)
	}
	s := opened(t, j)
	gone(t, s, first.Links.Students["S-014"][:26], "S-014")
	whole(t, s)
	must(t, sitetest.Card(j.Cards, "S-014", "2026-12-31"))
	r = publish(t, j)
	if r.Count(Published) != 2 || r.Links.Students["S-014"] == first.Links.Students["S-014"] {
		t.Errorf("with consent again: %+v, the old link leads somewhere", r.Lines)
	}
}

// A card that cannot be read may be the one that says no: nothing new appears,
// and what is there stays until it can be read.
func TestBrokenCardHoldsBack(t *testing.T) {
	j := academy(t, small()[0])
	publish(t, j)
	must(t, os.WriteFile(filepath.Join(j.Cards, "S-014", "student.yaml"), []byte("student: [\n"), 0o644))
	must(t, sitetest.Write(j.Outbox, small()[2]))
	must(t, sitetest.Card(j.Cards, "S-0141", "2026-12-31"))
	r := publish(t, j)
	if r.Count(Withdrawn, Published) != 0 || len(r.Broken) != 1 || len(r.Links.Students) != 1 {
		t.Errorf("got %+v, %v", r.Lines, r.Broken)
	}
}

// gone fails when the shelf still has a folder or mentions a student.
func gone(t testing.TB, s Store, folder, student string) {
	t.Helper()
	all, err := s.List(context.Background(), "")
	must(t, err)
	for name := range all {
		if strings.HasPrefix(name, folder) || hasWord([]byte(content(t, s, name)), student) {
			t.Errorf("%s is left", name)
		}
	}
}

// only are the contents that files of one owner have and no others.
func only(t testing.TB, s Store, own func(name string) bool) map[string]string {
	t.Helper()
	all, err := s.List(context.Background(), "")
	must(t, err)
	mine, others := map[string]string{}, map[string]bool{}
	for name := range all {
		if text := content(t, s, name); own(name) {
			mine[text] = name
		} else {
			others[text] = true
		}
	}
	for text := range others {
		delete(mine, text)
	}
	if len(mine) < 10 {
		t.Fatalf("there is little of the owner: %d files", len(mine))
	}
	return mine
}

// noneOf fails when anything holds one of some contents, whatever it is called.
func noneOf(t testing.TB, s Store, contents map[string]string) {
	t.Helper()
	all, err := s.List(context.Background(), "")
	must(t, err)
	for name := range all {
		held := content(t, s, name)
		for text, was := range contents {
			if strings.Contains(held, text) {
				t.Errorf("%s holds what was in %s", name, was)
			}
		}
	}
}

func TestWithdraw(t *testing.T) {
	j := academy(t, small()...)
	first := publish(t, j)
	_, err := Withdraw(t.Context(), j.Outbox, j.Place, "S-999", "", j.Look)
	if err == nil || !strings.Contains(err.Error(), `nothing of the student "S-999"`) {
		t.Errorf("got %v", err)
	}
	lines, err := Withdraw(t.Context(), j.Outbox, j.Place, "S-014", "a1", j.Look)
	must(t, err)
	s := opened(t, j)
	if page := content(t, s, first.Links.Students["S-014"]); len(lines) != 1 || strings.Contains(page, "13 December") || !strings.Contains(page, "17 January") {
		t.Errorf("one lesson withdrawn: %+v", lines)
	}
	whole(t, s)
	_, err = Withdraw(t.Context(), j.Outbox, j.Place, "S-014", "", j.Look)
	must(t, err)
	gone(t, s, first.Links.Students["S-014"][:26], "S-014")
	if r := publish(t, j); r.Count(Held) != 2 || r.Count(Published) != 0 {
		t.Errorf("withdrawn lessons came back: %+v", r.Lines)
	}
	j.Again = []string{"S-014"}
	if r := publish(t, j); r.Count(Published) != 2 || r.Links.Students["S-014"] == first.Links.Students["S-014"] {
		t.Errorf("not published again, or under the old link: %+v", r.Lines)
	}
}

func TestErase(t *testing.T) {
	j := academy(t, small()...)
	r := publish(t, j)
	other := j
	other.Place = filepath.Join(filepath.Dir(j.Place), "second shelf")
	r2 := publish(t, other)
	// What a night keeps beside the lessons: results of clips and its morning page.
	for name, text := range map[string]string{
		".work/clips/k1/report.json": fmt.Sprintf("%064x", 0xabc0), ".work/clips/k2/report.json": fmt.Sprintf("%064x", 0xabc2),
		fmt.Sprintf(".work/readings/%064x/seen-1.json.gz", 0xabc0): "packed", fmt.Sprintf(".work/readings/%064x/seen-1.json.gz", 0xabc2): "packed",
		".work/facts.json": fmt.Sprintf("%064x", 0xabc1), "morning.html": "lesson of S-014", "morning.txt": "S-0141 only",
	} {
		must(t, os.MkdirAll(filepath.Dir(filepath.Join(j.Outbox, name)), 0o755))
		must(t, os.WriteFile(filepath.Join(j.Outbox, name), []byte(text), 0o644))
	}
	type place struct {
		Store
		own map[string]string
	}
	var places []place
	for dir, own := range map[string]string{j.Place: r.Links.Students["S-014"][:26], other.Place: r2.Links.Students["S-014"][:26], j.Outbox: "a"} {
		s, err := OpenStore(t.Context(), dir)
		must(t, err)
		defer s.Close()
		places = append(places, place{s, only(t, s, func(name string) bool { return strings.HasPrefix(name, own) })})
	}
	receipt, err := Erase(t.Context(), j.Outbox, j.Cards, "S-014", j.Look)
	must(t, err)
	for _, held := range places {
		for _, p := range places {
			noneOf(t, held, p.own)
		}
	}
	if !receipt.Complete() || len(receipt.Shelves) != 2 || receipt.Shelves[0].Files == 0 || receipt.Outbox.Files < 2*18+3 || receipt.Inbox.Files != 1 {
		t.Errorf("receipt %+v", receipt)
	}
	gone(t, opened(t, j), r.Links.Students["S-014"][:26], "S-014")
	gone(t, opened(t, other), r2.Links.Students["S-014"][:26], "S-014")
	for _, dir := range []string{j.Outbox, j.Cards} {
		must(t, filepath.WalkDir(dir, func(p string, d os.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			data, err := os.ReadFile(p)
			if hasWord(data, "S-014") || hasWord([]byte(p), "S-014") || strings.Contains(string(data)+p, "000abc0") || strings.Contains(string(data), "000abc1") {
				t.Errorf("%s is left", p)
			}
			return err
		}))
	}
	for _, kept := range []string{".work/clips/k2/report.json", fmt.Sprintf(".work/readings/%064x/seen-1.json.gz", 0xabc2), "morning.txt", "b1/reel.mp4"} {
		if _, err := os.Stat(filepath.Join(j.Outbox, kept)); err != nil {
			t.Errorf("another student lost %s", kept)
		}
	}
	if again := publish(t, j); again.Count(Unchanged) != 1 || len(again.Lines) != 1 {
		t.Errorf("afterwards: %+v", again.Lines)
	}
}

// A shelf that cannot be reached is in the receipt, not passed over.
// Clips that were dropped into the inbox without a folder are known by their
// bytes; a film that another student's lesson shows too stays.
func TestEraseLooseClips(t *testing.T) {
	j := academy(t, small()...)
	for name, text := range map[string]string{"IMG_0001.mp4": "a film of S-014", "IMG_0002.mp4": "of both", "IMG_0003.mp4": "of S-0141"} {
		must(t, os.WriteFile(filepath.Join(j.Cards, name), []byte(text), 0o644))
	}
	filmed := func(lesson string, was int, text string) {
		path := filepath.Join(j.Outbox, lesson, "result.json")
		data, err := os.ReadFile(path)
		must(t, err)
		data = bytes.ReplaceAll(data, fmt.Appendf(nil, "%064x", was), fmt.Appendf(nil, "%x", sha256.Sum256([]byte(text))))
		must(t, os.WriteFile(path, data, 0o644))
	}
	filmed("a1", 0xabc0, "a film of S-014")
	filmed("a2", 0xabc1, "of both")
	filmed("b1", 0xabc2, "of both")
	publish(t, j)
	receipt, err := Erase(t.Context(), j.Outbox, j.Cards, "S-014", j.Look)
	must(t, err)
	if len(receipt.Left) != 1 || !strings.HasSuffix(receipt.Left[0], "b1/result.json") { // it names the film of both
		t.Errorf("receipt %+v", receipt)
	}
	left, err := filepath.Glob(filepath.Join(j.Cards, "*.mp4"))
	must(t, err)
	if len(left) != 2 || filepath.Base(left[0]) != "IMG_0002.mp4" {
		t.Errorf("left %v", left)
	}
}

func TestEraseWithoutItsShelf(t *testing.T) {
	j := academy(t, small()...)
	publish(t, j)
	must(t, os.Rename(j.Place, j.Place+" elsewhere"))
	receipt, err := Erase(t.Context(), j.Outbox, "", "S-014", j.Look)
	must(t, err)
	if receipt.Complete() || !strings.Contains(receipt.Shelves[0].Failed, "cannot be reached") {
		t.Errorf("receipt %+v", receipt)
	}
}

func TestTellingFilmIsNotPublished(t *testing.T) {
	l := small()[0]
	l.Wide = []byte("\x00\x00\x00\x0cftypisom\x00\x00\x00\x14moov\xa9xyz+48.1+11")
	j := academy(t, l)
	if r := publish(t, j); r.Count(Failed) != 1 || !strings.Contains(r.Lines[0].Why, "where or with what it was recorded") {
		t.Errorf("got %+v", r.Lines)
	}
}

func TestOneAtATime(t *testing.T) {
	j := academy(t, small()...)
	lock, err := hold(j.Outbox)
	must(t, err)
	defer lock.Close()
	if _, err := Publish(t.Context(), j); !errors.Is(err, ErrHeld) {
		t.Errorf("got %v", err)
	}
}
