package shelf

import (
	"fmt"
	"path"
	"syscall"
	"testing"
	"time"

	"strokereel/pipeline/site/sitetest"
)

// An academy of 200 students with 10 lessons each, and a dozen coaches.
const (
	manyStudents = 200
	manyLessons  = 10
	manyCoaches  = 12
)

// What a phone is asked to load of one page, bytes, and what a coach is asked to
// wait for when one lesson is added.
const (
	largestPage = 100_000
	longestWait = 2 * time.Second
)

func TestTwoThousandLessons(t *testing.T) {
	var lessons []sitetest.Lesson
	for n := range manyStudents * manyLessons {
		s, k := n/manyLessons, n%manyLessons
		lessons = append(lessons, sitetest.Lesson{Name: fmt.Sprintf("lesson-%04d", n), Student: fmt.Sprintf("S-%03d", s), Coach: fmt.Sprintf("C-%02d", s%manyCoaches),
			Date: day("2024-01-08").AddDate(0, 2*k, s%28).Format(time.DateOnly), Tempo: [2]float64{2.5 - 0.03*float64(k), 2.4 - 0.03*float64(k)}})
	}
	j := academy(t, lessons...)
	begun := time.Now()
	if r := publish(t, j); r.Count(Published) != len(lessons) {
		t.Fatalf("published %d", r.Count(Published))
	}
	t.Logf("all at first: %.1f s", time.Since(begun).Seconds())

	s := opened(t, j)
	largest := map[string]int64{}
	all, err := s.List(t.Context(), "")
	must(t, err)
	for name, size := range all {
		if path.Ext(name) != ".html" {
			continue
		}
		kind := "a list or a student's page"
		if path.Dir(path.Dir(name)) != "." {
			kind = "a lesson's page"
		}
		largest[kind] = max(largest[kind], size)
		if size >= largestPage {
			t.Errorf("%s has %d bytes", name, size)
		}
	}
	t.Logf("largest pages in bytes: %v", largest)

	begun = time.Now()
	if r := publish(t, j); r.Count(Unchanged) != len(lessons) {
		t.Fatalf("unchanged %d", r.Count(Unchanged))
	}
	t.Logf("nothing to do: %.2f s", time.Since(begun).Seconds())
	must(t, sitetest.Write(j.Outbox, sitetest.Lesson{Name: "one more", Student: "S-117", Coach: "C-03", Date: "2026-01-30"}))
	begun, worked := time.Now(), atWork(t)
	if r := publish(t, j); r.Count(Published) != 1 {
		t.Fatalf("published %d", r.Count(Published))
	}
	worked = atWork(t) - worked
	t.Logf("one more: %.2f s, %.2f s of them at work", time.Since(begun).Seconds(), worked.Seconds())
	if worked > longestWait {
		t.Errorf("publishing one more lesson took %.2f s", worked.Seconds())
	}
	whole(t, s)
}

// atWork is how long this process has worked: what it takes on a machine that has
// nothing else to do.
func atWork(t *testing.T) time.Duration {
	t.Helper()
	var u syscall.Rusage
	must(t, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
