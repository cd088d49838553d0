package night

import (
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"strokereel/pipeline/lesson"
)

// Names of the pages in the outbox.
const (
	pageFile = "morning.html"
	textFile = "morning.txt"
	jsonFile = "morning.json"
)

// Pages lists the files of the morning page in an outbox: for a browser, as text,
// as JSON.
func Pages(outbox string) []string {
	var pages []string
	for _, name := range reservedNames {
		pages = append(pages, filepath.Join(outbox, name))
	}
	return pages
}

// reservedNames cannot be lessons' names.
var reservedNames = []string{pageFile, textFile, jsonFile}

// MorningSchema names the form of morning.json.
const MorningSchema = "strokereel/morning/1"

// Morning is what the coach reads the next day.
type Morning struct {
	Schema    string          `json:"schema"`
	Began     time.Time       `json:"began"`
	Ended     time.Time       `json:"ended"`
	Inbox     string          `json:"inbox"` // its name, without the way to it
	Lessons   []MorningLesson `json:"lessons"`
	UsedBytes int64           `json:"used_bytes"` // by the lessons listed
	FreeBytes int64           `json:"free_bytes"` // left on the disk, 0 when not known
}

// MorningLesson is one lesson on the page.
type MorningLesson struct {
	Lesson string   `json:"lesson"`
	State  string   `json:"state"` // done, unchanged, waiting, failed
	Folder string   `json:"folder,omitempty"`
	Result *Result  `json:"result,omitempty"`
	Notes  []string `json:"notes"`
	Needs  []Need   `json:"needs"`
}

// newMorning sums up the night.
func newMorning(j Job, plans []*plan, began time.Time) *Morning {
	m := &Morning{Schema: MorningSchema, Began: began.Round(time.Second), Ended: time.Now().Round(time.Second), Inbox: filepath.Base(j.Inbox), Lessons: []MorningLesson{}}
	if abs, err := filepath.Abs(j.Inbox); err == nil {
		m.Inbox = filepath.Base(abs)
	}
	for _, p := range plans {
		l := MorningLesson{Lesson: p.lesson.Name, State: p.state.String(), Notes: append([]string{}, p.notes...), Needs: append([]Need{}, p.needs...)}
		if p.result != nil {
			l.Folder, l.Result = p.lesson.Name, p.result
			m.UsedBytes += p.result.Files.bytes()
		}
		m.Lessons = append(m.Lessons, l)
	}
	var st syscall.Statfs_t
	if syscall.Statfs(j.Outbox, &st) == nil {
		m.FreeBytes = int64(st.Bavail) * st.Bsize
	}
	return m
}

func (s state) String() string {
	return [...]string{waiting: "waiting", blocked: "waiting", failed: "failed", unchanged: "unchanged", made: "done"}[s]
}

// AllDone reports whether nothing is left for a person to do.
func (m *Morning) AllDone() bool { return m.Waiting() == 0 }

// Waiting counts the lessons that need a person.
func (m *Morning) Waiting() (n int) {
	for _, l := range m.Lessons {
		if len(l.Needs) > 0 {
			n++
		}
	}
	return n
}

// Done counts the lessons whose result is in the outbox and up to date.
func (m *Morning) Done() (n int) {
	for _, l := range m.Lessons {
		if l.Finished() {
			n++
		}
	}
	return n
}

// Finished reports whether the lesson's result is in the outbox, up to date, and
// worth opening: with a film, or at least with nothing missing.
func (l MorningLesson) Finished() bool {
	ready := l.State == made.String() || l.State == unchanged.String()
	return ready && (len(l.Result.Films) > 0 || len(l.Needs) == 0)
}

// write puts the three pages into the outbox.
func (m *Morning) write(outbox string) error {
	if err := writeJSON(filepath.Join(outbox, jsonFile), m); err != nil {
		return err
	}
	if err := lesson.WriteFile(filepath.Join(outbox, textFile), m.text); err != nil {
		return err
	}
	page, err := parsePage(outbox)
	if err != nil {
		return err
	}
	if err := lesson.WriteFile(filepath.Join(outbox, pageFile), func(w io.Writer) error { return page.Execute(w, m) }); err != nil {
		return err
	}
	return flushOne(outbox)
}

// text is the page for a terminal or a mail.
func (m *Morning) text(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s\n", m.Headline(), m.Footing())
	if m.Waiting() > 0 {
		b.WriteString("\nNEEDS A PERSON\n")
	}
	for _, l := range m.Lessons {
		for _, n := range l.Needs {
			fmt.Fprintf(&b, "\n  %s\n", plain(strings.Trim(l.Lesson+" / "+n.Clip, " /")))
			fmt.Fprintf(&b, "    %s\n    What to do: %s.\n", plain(n.What), plain(n.Do))
		}
	}
	if m.Done() > 0 {
		b.WriteString("\nDONE\n")
	}
	for _, l := range m.Lessons {
		if !l.Finished() {
			continue
		}
		fmt.Fprintf(&b, "\n  %s\n", plain(l.Lesson))
		for _, f := range l.Result.Films {
			fmt.Fprintf(&b, "    film: %s\n", plain(l.Folder+"/"+f))
		}
		if p := l.Result.Practice; p != "" {
			fmt.Fprintf(&b, "    practice sheet: %s\n", plain(l.Folder+"/"+p))
		}
		for _, n := range l.Result.Numbers {
			fmt.Fprintf(&b, "    %s: before %s, after %s\n", n.Name, n.Before, n.After)
		}
		for _, n := range l.Notes {
			fmt.Fprintf(&b, "    %s\n", n)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Headline says in one line how the night went.
func (m *Morning) Headline() string {
	if len(m.Lessons) == 0 {
		return "The inbox is empty."
	}
	s := fmt.Sprintf("%s done", count(m.Done(), "lesson is", "lessons are"))
	switch n := m.Waiting(); n {
	case 0:
		return s + "."
	case 1:
		return s + ", 1 needs a person."
	default:
		return fmt.Sprintf("%s, %d need a person.", s, n)
	}
}

// Footing says what the night took.
func (m *Morning) Footing() string {
	s := fmt.Sprintf("%s to %s, %s. Results take %s", m.Began.Local().Format("2 January 2006, 15:04"), m.Ended.Local().Format("15:04"),
		span(m.Ended.Sub(m.Began)), amount(m.UsedBytes))
	if m.FreeBytes > 0 {
		s += ", " + amount(m.FreeBytes) + " are free"
	}
	return s + "."
}

//go:embed morning.html
var pageText string

// parsePage readies the page; its pictures lie within the outbox and are put
// into it, so that it can be sent alone.
func parsePage(outbox string) (*template.Template, error) {
	return template.New(pageFile).Funcs(template.FuncMap{
		"plain": plain, "shape": shape,
		"link": func(parts ...string) template.URL { return template.URL(link(parts...)) },
		"picture": func(folder, name string) template.URL {
			return embedded(filepath.Join(outbox, folder, filepath.FromSlash(name)))
		},
	}).Parse(pageText)
}

// link is the way from the page to a file, each part escaped.
func link(parts ...string) string {
	var escaped []string
	for _, p := range strings.Split(strings.Join(parts, "/"), "/") {
		escaped = append(escaped, url.PathEscape(p))
	}
	return "./" + strings.Join(escaped, "/")
}

// embedded is a picture as part of the page; nothing when it is not there.
func embedded(path string) template.URL {
	data, err := os.ReadFile(path)
	if err != nil {
		return ""
	}
	return template.URL("data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(data))
}

// shape names a film by its file.
func shape(film string) string {
	switch {
	case strings.Contains(film, "tall"):
		return "Reel for phones"
	case strings.Contains(film, "send"):
		return "Reel to send"
	}
	return "Reel"
}
