package shelf

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"strokereel/pipeline/sheet"
	"strokereel/pipeline/site"
	"strokereel/pipeline/site/sitetest"
)

// failing is a store that breaks after some changes, and stays broken.
type failing struct {
	Store
	left int
}

var errBroke = errors.New("the line broke")

func (s *failing) spend() error {
	if s.left--; s.left < 0 {
		return errBroke
	}
	return nil
}

func (s *failing) Put(ctx context.Context, name string, f site.File) error {
	if err := s.spend(); err != nil {
		return err
	}
	return s.Store.Put(ctx, name, f)
}

func (s *failing) Remove(ctx context.Context, name string) error {
	if err := s.spend(); err != nil {
		return err
	}
	return s.Store.Remove(ctx, name)
}

// Broken off after one change, three, six and so on, of a first publication and of one that
// updates, withdraws and adds, the shelf has no page that lacks something, and
// the next run makes it good.
func TestBrokenOffBetweenChanges(t *testing.T) {
	for n := 0; ; n += 3 { // three apart: one kind of run, then the other
		j := academy(t, small()...)
		if n%2 == 1 { // the second kind of run
			publish(t, j)
			l := small()[1]
			l.Key = "again"
			must(t, sitetest.Write(j.Outbox, l))
			must(t, sitetest.Card(j.Cards, "S-0141", "2026-01-15"))
			must(t, sitetest.Write(j.Outbox, sitetest.Lesson{Name: "a3", Student: "S-014", Date: "2026-01-24"}))
		}
		k, done, err := open(t.Context(), j.Outbox, j.Place, j.Look)
		must(t, err)
		broken := &failing{Store: k.store, left: n / 2}
		k.store = broken
		cards, err := sheet.ReadCards(j.Cards)
		must(t, err)
		lessons, err := lessonsIn(j.Outbox)
		must(t, err)
		err = (&publisher{keeper: k, job: j, cards: cards}).run(t.Context(), lessons)
		done()
		s := opened(t, j)
		whole(t, s)
		if err != nil && !errors.Is(err, errBroke) {
			t.Fatal(err)
		}
		publish(t, j)
		if pages := whole(t, s); pages < 8 {
			t.Fatalf("after %d changes the next run leaves %d pages", n/2, pages)
		}
		if err == nil && n%2 == 1 {
			return // nothing broke any more
		}
		if t.Failed() {
			t.Fatalf("broken off after %d changes", n/2)
		}
		if n > 1000 {
			t.Fatal("there is no end")
		}
	}
}

// A folder whose pages become more leads nowhere in vain, wherever filling it is
// broken off.
func TestFillBrokenOff(t *testing.T) {
	page := func(name string, links ...string) site.File {
		var text strings.Builder
		for _, l := range links {
			fmt.Fprintf(&text, `<a href="%s">`, l)
		}
		return site.File{Name: name, Data: []byte(text.String())}
	}
	few := []site.File{page("days-1.html", site.Index), page(site.Index, "days-1.html")}
	var many []site.File
	names := []string{site.Index, "days-1.html", "days-2.html", "days-3.html"}
	for _, name := range names {
		many = append(many, page(name, names...))
	}
	for n := 0; ; n++ {
		s, err := OpenStore(t.Context(), t.TempDir())
		must(t, err)
		k := &keeper{store: s}
		must(t, k.fill(t.Context(), "list", few))
		broken := &failing{Store: s, left: n}
		k.store = broken
		err = k.fill(t.Context(), "list", many)
		whole(t, s)
		must(t, s.Close())
		if t.Failed() {
			t.Fatalf("broken off after %d changes", n)
		}
		if err == nil {
			break
		}
	}
}

const childJob = "STROKEREEL_TEST_CHILD"

// TestMain is also the process that is killed.
func TestMain(m *testing.M) {
	what, dir, ok := strings.Cut(os.Getenv(childJob), " ")
	if !ok {
		os.Exit(m.Run())
	}
	var err error
	j := jobIn(dir)
	io.WriteString(os.Stdout, begins)
	switch what {
	case "publish":
		_, err = Publish(context.Background(), j)
	case "erase":
		_, err = Erase(context.Background(), j.Outbox, j.Cards, "S-014", j.Look)
	}
	if err != nil {
		io.WriteString(os.Stderr, err.Error())
		os.Exit(1)
	}
	os.Exit(0)
}

// begins is what the process says before it works.
const begins = "!"

// child works in a process of its own, which is killed after a while.
func child(t *testing.T, what string, j Job, kill time.Duration) (took time.Duration, ended bool) {
	t.Helper()
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), childJob+"="+what+" "+filepath.Dir(j.Outbox))
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	must(t, err)
	must(t, c.Start())
	_, err = io.ReadFull(out, make([]byte, len(begins)))
	must(t, err)
	begun := time.Now()
	timer := time.AfterFunc(kill, func() { c.Process.Kill() })
	defer timer.Stop()
	err = c.Wait()
	return time.Since(begun), err == nil
}

// undisturbed is how long a child takes that nobody kills.
func undisturbed(t *testing.T, what string, j Job) time.Duration {
	t.Helper()
	took, ended := child(t, what, j, time.Minute)
	if !ended {
		t.Fatal("the undisturbed run failed")
	}
	return took
}

// Killed at 50 random moments, among them of films being copied.
func TestKilledAtRandom(t *testing.T) {
	film := sitetest.Film(string(make([]byte, 4<<20)))
	var lessons []sitetest.Lesson
	for _, l := range small() {
		l.Wide = film
		lessons = append(lessons, l)
	}
	j := academy(t, lessons...)
	random := rand.New(rand.NewPCG(8, 50))
	all := undisturbed(t, "publish", j)
	s := opened(t, j)
	killed, fresh := 0, true
	for tries := 0; killed < 50 && tries < 500; tries++ {
		must(t, os.RemoveAll(j.Outbox+"/"+registerDir))
		if fresh {
			there, err := s.List(t.Context(), "")
			must(t, err)
			for name := range there {
				must(t, s.Remove(t.Context(), name))
			}
		}
		took, ended := child(t, "publish", j, time.Duration(random.Int64N(int64(all))))
		switch {
		case !ended:
			killed++
		case fresh:
			all = took // the machine has become faster
		}
		// Mostly go on with what the last one left, if it left anything to do.
		fresh = ended || killed%4 == 0
		whole(t, s)
		if t.Failed() {
			t.Fatalf("at kill %d", killed)
		}
	}
	if killed < 50 {
		t.Errorf("only %d runs were killed in time", killed)
	}
	t.Logf("undisturbed %.2f s", all.Seconds())
	undisturbed(t, "publish", j)
	whole(t, s)
}

// However far an erasure came, the next one finds all that is left.
func TestEraseKilledAtRandom(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 20))
	j := academy(t, small()...)
	publish(t, j)
	all := undisturbed(t, "erase", j)
	killed := 0
	for tries := 0; killed < 20 && tries < 200; tries++ {
		j := academy(t, small()...)
		work := filepath.Join(j.Outbox, ".work/clips/k1")
		must(t, os.MkdirAll(work, 0o755))
		for name, text := range map[string]string{"report.json": fmt.Sprintf("%064x", 0xabc0), "picture.jpg": "a picture of S-014"} {
			must(t, os.WriteFile(filepath.Join(work, name), []byte(text), 0o644))
		}
		folder := publish(t, j).Links.Students["S-014"][:26]
		s := opened(t, j)
		out, err := OpenStore(t.Context(), j.Outbox)
		must(t, err)
		own := only(t, out, func(name string) bool { return strings.HasPrefix(name, "a") || strings.HasPrefix(name, ".work") })
		if took, ended := child(t, "erase", j, time.Duration(random.Int64N(int64(all)))); ended {
			all = took // the machine has become faster
		} else {
			killed++
		}
		receipt, err := Erase(t.Context(), j.Outbox, j.Cards, "S-014", j.Look)
		must(t, err)
		if !receipt.Complete() {
			t.Errorf("receipt %+v", receipt)
		}
		gone(t, s, folder, "S-014")
		gone(t, out, "a", "S-014")
		noneOf(t, s, own)
		noneOf(t, out, own)
		out.Close()
		whole(t, s)
		if t.Failed() {
			t.Fatalf("at kill %d", killed)
		}
	}
	if killed < 20 {
		t.Errorf("only %d runs were killed in time", killed)
	}
}
