package main

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"

	"strokereel/pipeline/site/shelf"
	"strokereel/pipeline/site/sitetest"
)

// club is an inbox with cards, an outbox with three finished lessons of two
// students, and the place of a shelf.
type club struct {
	t              *testing.T
	in, out, shelf string
}

func newClub(t *testing.T) club {
	t.Helper()
	dir := t.TempDir()
	c := club{t, filepath.Join(dir, "in"), filepath.Join(dir, "out"), filepath.Join(dir, "shelf")}
	for i, l := range []sitetest.Lesson{{Name: "a1", Student: "S-014", Coach: "C-02", Date: "2025-12-13"}, {Name: "a2", Student: "S-014", Coach: "C-02", Date: "2026-01-17"},
		{Name: "b1", Student: "S-020", Date: "2026-01-10"}} {
		l.Clip = strings.Repeat("abc"[i:i+1], 64)
		c.must(sitetest.Write(c.out, l))
		c.consent(l.Student, "2999-12-31")
	}
	return c
}

func (c club) must(err error) {
	c.t.Helper()
	if err != nil {
		c.t.Fatal(err)
	}
}

func (c club) consent(student, until string) { c.must(sitetest.Card(c.in, student, until)) }

// publish publishes and returns the links.
func (c club) publish(more ...string) (code int, links map[string]string, side string) {
	c.t.Helper()
	code, out, side := strokereel(append([]string{"publish", c.out, c.shelf, "--cards", c.in, "--links"}, more...)...)
	links = map[string]string{}
	for line := range strings.Lines(out) {
		who, link, ok := strings.Cut(strings.TrimSuffix(line, "\n"), "\t")
		if !ok {
			c.t.Errorf("a link is given as %q", line)
		}
		links[who] = link
	}
	return code, links, side
}

// files lists what is on the shelf and mentions a text, in its name or within.
func files(t *testing.T, dir, text string) (found []string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if os.IsNotExist(err) {
			return nil
		}
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		if strings.Contains(path, text) || strings.Contains(string(data), text) {
			found = append(found, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func wantSaid(t *testing.T, code, wantCode int, side string, want ...string) {
	t.Helper()
	if code != wantCode {
		t.Errorf("ended with %d, want %d, and said %q", code, wantCode, side)
	}
	for _, w := range want {
		if !strings.Contains(side, w) {
			t.Errorf("said %q, want %q", side, w)
		}
	}
}

func TestWrongUsageOfShelves(t *testing.T) {
	c := newClub(t)
	for _, u := range []struct {
		name string
		args []string
		code int
		side string
	}{
		{"publish without a shelf", []string{"publish", c.out}, exitUsage, "name the outbox and the shelf (got 1)\ntry: strokereel publish --help"},
		{"publish without cards", []string{"publish", c.out, c.shelf}, exitUsage, "say where the students' cards lie: --cards INBOX"},
		{"publish of no outbox", []string{"publish", c.out + "x", c.shelf, "--cards", c.in}, exitNoStart, "opening the outbox: open " + c.out + "x"},
		{"publish with cards nowhere", []string{"publish", c.out, c.shelf, "--cards", c.in + "x"}, exitNoStart, "reading the cards: "},
		{"publish without a look", []string{"publish", c.out, c.shelf, "--cards", c.in, "--set", "site.accent=green"}, exitUsage, "site.accent: must be a colour as #1f5a46"},
		{"publish with a logo that is not there", []string{"publish", c.out, c.shelf, "--cards", c.in, "--set", "site.logo=none.png"}, exitNoStart, "reading the logo: open none.png"},
		{"withdraw of nobody", []string{"withdraw", c.out, c.shelf}, exitUsage, "name the outbox, the shelf and the student (got 2)"},
		{"erase of nobody", []string{"erase", c.out}, exitUsage, "name the outbox and the student (got 1)"},
		{"serve without a shelf", []string{"serve", c.out}, exitUsage, "name the outbox and the shelf (got 1)"},
		{"serve of a bucket", []string{"serve", c.out, "s3://lessons"}, exitUsage, `serve shows a folder (got "s3://lessons")`},
		{"serve of what was never published", []string{"serve", c.out, c.shelf}, exitNoStart, "nothing was ever published from "},
	} {
		t.Run(u.name, func(t *testing.T) {
			code, out, side := strokereel(u.args...)
			wantSaid(t, code, u.code, side, u.side)
			if out != "" {
				t.Errorf("printed %q", out)
			}
		})
	}
	if found := files(t, c.shelf, ""); len(found) > 0 {
		t.Errorf("left on the shelf: %v", found)
	}
}

func TestPublishCommand(t *testing.T) {
	c := newClub(t)
	code, links, side := c.publish("--dry-run")
	wantSaid(t, code, exitDone, side, "a1: published\n", "b1: published\n", "would be 3 published, 0 withdrawn, 0 unchanged, 0 held back\n")
	if found := files(t, c.shelf, ""); len(found)+len(links) > 0 {
		t.Errorf("a dry run left %v and gave away %v", found, links)
	}
	code, links, side = c.publish()
	wantSaid(t, code, exitDone, side, "a1: published\n", "\n3 published, 0 withdrawn, 0 unchanged, 0 held back\n")
	for _, who := range []string{"academy", "coach C-02", "student S-014", "student S-020"} {
		if page, err := os.ReadFile(filepath.Join(c.shelf, links[who])); err != nil || len(links) != 4 || !strings.Contains(string(page), "<h1>") {
			t.Errorf("the link of %s is %q of %v: %v", who, links[who], links, err)
		}
	}
	code, _, side = c.publish()
	wantSaid(t, code, exitDone, side, "0 published, 0 withdrawn, 3 unchanged, 0 held back\n")
	if strings.Contains(side, "a1") {
		t.Errorf("what is unchanged is told: %q", side)
	}

	c.consent("S-020", "2026-01-31")
	code, left, side := c.publish()
	wantSaid(t, code, exitDone, side, "b1: withdrawn: consent to measuring ended with 2026-01-31\n", "b1: held back: consent to measuring ended", "0 published, 1 withdrawn, 2 unchanged, 1 held back\n")
	if found := files(t, c.shelf, "S-020"); len(found) > 0 || left["student S-020"] != "" {
		t.Errorf("after consent has ended there are %v and the link %q", found, left["student S-020"])
	}

	c.must(os.WriteFile(filepath.Join(c.in, "student.yaml"), []byte("studnet: S-020\n"), 0o600))
	code, _, side = c.publish()
	wantSaid(t, code, exitSomeFailed, side, `card "student.yaml": line 1: "studnet" is not a known key`, "strokereel: 1 of the lessons and cards need a person\n")

	lock, err := os.Open(filepath.Join(c.out, ".shelf", "lock"))
	c.must(err)
	defer lock.Close()
	c.must(syscall.Flock(int(lock.Fd()), syscall.LOCK_EX|syscall.LOCK_NB))
	code, _, side = c.publish()
	wantSaid(t, code, exitNoStart, side, "strokereel: another process is publishing from this outbox\ntry: wait until it has ended\n")
	code, _, side = strokereel("withdraw", c.out, c.shelf, "S-014")
	wantSaid(t, code, exitNoStart, side, "another process is publishing", "try: wait until it has ended\n")
}

func TestWithdrawCommand(t *testing.T) {
	c := newClub(t)
	_, first, _ := c.publish()
	code, _, side := strokereel("withdraw", c.out, c.shelf, "S-999")
	wantSaid(t, code, exitNoStart, side, `this shelf has nothing of the student "S-999"`)
	code, _, side = strokereel("withdraw", c.out, c.shelf, "S-014", "--lesson", "b1")
	wantSaid(t, code, exitNoStart, side, `this shelf has no lesson "b1" of the student "S-014"`)
	code, _, side = strokereel("withdraw", c.out, c.shelf, "S-014", "--lesson", "a1")
	wantSaid(t, code, exitDone, side, "a1: withdrawn: by hand\n1 withdrawn\n")
	code, _, side = strokereel("withdraw", c.out, c.shelf, "S-014")
	wantSaid(t, code, exitDone, side, "a2: withdrawn: by hand\n1 withdrawn\n")
	if found := files(t, c.shelf, "S-014"); len(found) > 0 {
		t.Errorf("left on the shelf: %v", found)
	}
	if found := files(t, c.out, "reel.mp4"); len(found) == 0 {
		t.Error("the outbox lost the lessons")
	}
	code, _, side = c.publish()
	wantSaid(t, code, exitDone, side, "a1: held back: it was withdrawn by hand\n", "0 published, 0 withdrawn, 1 unchanged, 2 held back\n")
	code, again, side := c.publish("--again", "S-014")
	wantSaid(t, code, exitDone, side, "2 published")
	if again["student S-014"] == "" || again["student S-014"] == first["student S-014"] {
		t.Errorf("published again under %q, the first link was %q", again["student S-014"], first["student S-014"])
	}
}

func TestEraseCommand(t *testing.T) {
	c := newClub(t)
	c.publish()
	code, out, side := strokereel("erase", c.out, "s-014")
	wantSaid(t, code, exitSomeFailed, side, `nothing of "s-014" was found`)
	var r shelf.Receipt
	if err := json.Unmarshal([]byte(out), &r); err != nil || r.Schema != shelf.ReceiptSchema || r.Outbox.Files != 0 {
		t.Errorf("printed %q, %v", out, err)
	}

	receipt := filepath.Join(filepath.Dir(c.out), "receipt.json")
	code, out, side = strokereel("erase", c.out, "S-014", "--receipt", receipt)
	wantSaid(t, code, exitDone, side, "the original clips were left alone", "S-014 is erased\n")
	data, err := os.ReadFile(receipt)
	c.must(err)
	c.must(json.Unmarshal(data, &r))
	if out != "" || r.Student != "S-014" || !r.Complete() || r.Inbox != nil || r.Outbox.Files < 30 || len(r.Shelves) != 1 || r.Shelves[0].Files < 30 {
		t.Errorf("printed %q, the receipt is %s", out, data)
	}
	// The student's code, the fingerprints of the clips and the films themselves.
	for _, text := range []string{"S-014", strings.Repeat("a", 64), strings.Repeat("b", 64), "a1reel", "a2reel"} {
		if found := append(files(t, c.shelf, text), files(t, c.out, text)...); len(found) > 0 {
			t.Errorf("%s is left in %v", text, found)
		}
	}
	if len(files(t, c.shelf, "S-020")) == 0 || len(files(t, c.out, "b1reel")) == 0 || len(files(t, c.in, "S-014")) == 0 {
		t.Error("more was erased than was asked for")
	}

	code, _, side = strokereel("erase", c.out, "S-014", "--originals", c.in, "--receipt", receipt)
	wantSaid(t, code, exitDone, side, "S-014 is erased\n")
	if found := files(t, c.in, "S-014"); len(found) > 0 {
		t.Errorf("left in the inbox: %v", found)
	}

	c.must(os.Rename(c.shelf, c.shelf+" unplugged"))
	code, out, side = strokereel("erase", c.out, "S-020")
	wantSaid(t, code, exitSomeFailed, side, "not everything could be erased: the receipt says what is left")
	if !strings.Contains(out, "the shelf cannot be reached") {
		t.Errorf("the receipt is %s", out)
	}

	lock, err := os.Open(filepath.Join(c.out, ".work", "lock"))
	c.must(err)
	defer lock.Close()
	c.must(syscall.Flock(int(lock.Fd()), syscall.LOCK_EX|syscall.LOCK_NB))
	code, _, side = strokereel("erase", c.out, "S-020")
	wantSaid(t, code, exitNoStart, side, "is in use by process", "try: wait until the night has ended\n")
}

// serving starts serve and returns what it says first; end interrupts it.
func serving(t *testing.T, args ...string) (said string, end func() (code int)) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	t.Cleanup(cancel)
	read, write := io.Pipe()
	ended := make(chan int)
	go func() {
		code := run(ctx, args, io.Discard, write)
		write.Close()
		ended <- code
	}()
	lines := bufio.NewReader(read)
	said, err := lines.ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	go io.Copy(io.Discard, lines)
	return said, func() int { cancel(); return <-ended }
}

func TestServeCommand(t *testing.T) {
	c := newClub(t)
	_, links, _ := c.publish()
	said, end := serving(t, "serve", c.out, c.shelf, "--addr", "127.0.0.1:0")
	m := regexp.MustCompile(`^the shelf is at (http://127\.0\.0\.1:\d+/)(\S+)\n$`).FindStringSubmatch(said)
	if m == nil || m[2] != links["academy"] {
		t.Fatalf("said %q, the academy's list is %q", said, links["academy"])
	}
	films, err := filepath.Glob(filepath.Join(c.shelf, "*", "*", "reel-wide-*.mp4"))
	c.must(err)
	film, err := filepath.Rel(c.shelf, films[0])
	c.must(err)
	const own = "default-src 'none'; img-src 'self' data:; media-src 'self' data:; style-src 'self'; script-src 'self'"
	for _, g := range []struct {
		name, path, ranges string
		status             int
		kind, policy       string
		length             string
	}{
		{"the academy's list", links["academy"], "", 200, "text/html; charset=utf-8", own, ""},
		{"a student's page", strings.TrimSuffix(links["student S-014"], "index.html"), "", 200, "text/html; charset=utf-8", own, ""},
		{"the root", "", "", 200, "text/html; charset=utf-8", own, ""},
		{"a film", film, "", 200, "video/mp4", "sandbox", ""},
		{"the beginning of a film", film, "bytes=0-9", 206, "video/mp4", "sandbox", "10"},
		{"beyond a film", film, "bytes=999999-", 416, "", "sandbox", ""},
		{"a page that is not there", "nothing.html", "", 404, "", "sandbox", ""},
		{"the register", "../out/.shelf/lock", "", 404, "", "sandbox", ""},
	} {
		t.Run(g.name, func(t *testing.T) {
			r, err := http.NewRequest("GET", m[1]+g.path, nil)
			if err != nil {
				t.Fatal(err)
			}
			if g.ranges != "" {
				r.Header.Set("Range", g.ranges)
			}
			answer, err := http.DefaultClient.Do(r)
			if err != nil {
				t.Fatal(err)
			}
			answer.Body.Close()
			h := answer.Header
			if answer.StatusCode != g.status || g.kind != "" && h.Get("Content-Type") != g.kind || !strings.Contains(h.Get("Content-Security-Policy"), g.policy) || g.length != "" && h.Get("Content-Length") != g.length {
				t.Errorf("%d %v, want %+v", answer.StatusCode, h, g)
			}
			if h.Get("Referrer-Policy") != "no-referrer" || !strings.Contains(h.Get("X-Robots-Tag"), "noindex") || h.Get("X-Content-Type-Options") != "nosniff" || g.status < 400 && h.Get("Cache-Control") != "private, no-cache" {
				t.Errorf("answered with %v", h)
			}
		})
	}
	http.DefaultClient.CloseIdleConnections()
	if code := end(); code != exitInterrupted {
		t.Errorf("interrupted, it ended with %d", code)
	}
	if code, _, side := strokereel("serve", c.out, c.shelf, "--addr", "0.0.0.0:0"); code != exitUsage || !strings.Contains(side, "a shelf is shown on 127.0.0.1 only") {
		t.Errorf("shown to everybody: %d, %q", code, side)
	}
}
