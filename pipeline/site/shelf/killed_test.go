package shelf

import (
	"context"
	"errors"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"
	"time"

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
		cards, err := ReadCards(j.Cards)
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

const childJob = "STROKEREEL_TEST_PUBLISH"

// TestMain is also the process that is killed.
func TestMain(m *testing.M) {
	dir := os.Getenv(childJob)
	if dir == "" {
		os.Exit(m.Run())
	}
	j := Job{Outbox: dir + "/out", Cards: dir + "/in", Place: dir + "/shelf", Look: site.DefaultOptions(), Today: day("2026-02-01")}
	if _, err := Publish(context.Background(), j); err != nil {
		io.WriteString(os.Stderr, err.Error())
		os.Exit(1)
	}
	os.Exit(0)
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
	dir := j.Outbox[:len(j.Outbox)-len("/out")]
	random := rand.New(rand.NewPCG(8, 50))
	run := func(kill time.Duration) (ended bool) {
		c := exec.Command(os.Args[0])
		c.Env = append(os.Environ(), childJob+"="+dir)
		c.Stderr = os.Stderr
		must(t, c.Start())
		timer := time.AfterFunc(kill, func() { c.Process.Kill() })
		defer timer.Stop()
		return c.Wait() == nil
	}
	begun := time.Now()
	if !run(time.Minute) {
		t.Fatal("the undisturbed run failed")
	}
	whole1 := time.Since(begun)
	s := opened(t, j)
	killed := 0
	for tries := 0; killed < 50 && tries < 200; tries++ {
		must(t, os.RemoveAll(j.Outbox+"/"+registerDir))
		all, err := s.List(t.Context(), "")
		must(t, err)
		if tries%4 == 0 { // mostly go on with what the last one left
			for name := range all {
				must(t, s.Remove(t.Context(), name))
			}
		}
		if !run(time.Duration(random.Int64N(int64(whole1)))) {
			killed++
		}
		whole(t, s)
		if t.Failed() {
			t.Fatalf("at kill %d", killed)
		}
	}
	if killed < 50 {
		t.Errorf("only %d runs were killed in time", killed)
	}
	if !run(time.Minute) {
		t.Fatal("the last run failed")
	}
	whole(t, s)
}
