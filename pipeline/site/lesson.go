package site

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"strokereel/overlay/scene"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/practice"
	"strokereel/pipeline/reel"
)

// Record is what is kept of a lesson for lists and charts.
type Record struct {
	Student string `json:"student"`
	Coach   string `json:"coach,omitempty"`
	Date    string `json:"date,omitempty"` // yyyy-mm-dd
	Folder  string `json:"folder"`         // of its page, within the student's
	// Before and After are the measures of the typical putts, by id.
	Before map[string]lesson.Measure `json:"before,omitempty"`
	After  map[string]lesson.Measure `json:"after,omitempty"`
}

// Day writes the date as people say it.
func (r Record) Day() string { return day(r.Date) }

// On names the lesson by its day.
func (r Record) On() string {
	if r.Date == "" {
		return "Lesson without a date"
	}
	return "Lesson of " + day(r.Date)
}

func day(date string) string {
	d, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return "without a date"
	}
	return d.Format("2 January 2006")
}

// Lesson is a finished lesson as its page shows it.
type Lesson struct {
	Record
	Films      []Film // as many shapes as there are, wide first
	Comparison *lesson.Comparison
	Practice   []string // files of the practice sheet, the sheet first
}

// Film is a reel and what belongs to it.
type Film struct {
	Plan     reel.Plan
	File     string
	Captions []byte // WebVTT
	Poster   string
	Pairs    []Pair
}

// Pair is the same moment before and after.
type Pair struct {
	Name          string // in words
	Before, After string // files
}

// ReadLesson reads the folder of a finished lesson; films names the reels in it.
func ReadLesson(dir string, r Record, films []string) (Lesson, error) {
	l := Lesson{Record: r}
	for _, name := range films {
		if strings.HasSuffix(name, ".send.mp4") {
			continue // the same reel, smaller
		}
		f, err := readFilm(dir, name)
		if err != nil {
			return l, err
		}
		l.Films = append(l.Films, f)
	}
	if len(l.Films) == 0 {
		return l, errors.New("it has no reel")
	}
	slices.SortStableFunc(l.Films, func(a, b Film) int { return b.Plan.Width - a.Plan.Width })
	if err := l.readComparison(filepath.Join(dir, "lesson.json")); err != nil {
		return l, err
	}
	for _, name := range practice.Files() {
		if path := filepath.Join(dir, name); plain(path) {
			l.Practice = append(l.Practice, path)
		}
	}
	return l, nil
}

func (l *Lesson) readComparison(path string) error {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("reading what changed: %w", err)
	}
	defer f.Close()
	c, err := lesson.ReadComparison(f)
	if err != nil {
		return fmt.Errorf("reading what changed: %q: %w", filepath.Base(path), err)
	}
	l.Comparison = &c
	l.Before, l.After = map[string]lesson.Measure{}, map[string]lesson.Measure{}
	for _, d := range c.Differences {
		l.Before[d.ID], l.After[d.ID] = d.Before, d.After
	}
	return nil
}

// readFilm reads a reel's plan and finds what lies beside it.
func readFilm(dir, name string) (Film, error) {
	if name != filepath.Base(name) {
		return Film{}, fmt.Errorf("the reel %q lies outside the lesson", name)
	}
	base := filepath.Join(dir, strings.TrimSuffix(name, ".mp4"))
	f := Film{File: filepath.Join(dir, name)}
	if err := checkFilm(f.File); err != nil {
		return f, err
	}
	data, err := os.ReadFile(base + ".reel.json")
	if err != nil {
		return f, fmt.Errorf("reading the plan of the reel: %w", err)
	}
	if f.Plan, err = reel.ReadPlan(data); err != nil {
		return f, fmt.Errorf("reading the plan of the reel %q: %w", filepath.Base(base+".reel.json"), err)
	}
	if f.Captions, err = os.ReadFile(base + ".vtt"); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return f, fmt.Errorf("reading the captions: %w", err)
	}
	if path := base + ".poster.jpg"; plain(path) {
		f.Poster = path
	}
	for _, s := range f.Plan.Stills {
		moment, ok := strings.CutPrefix(s.Name, "before-")
		if !ok || moment != filepath.Base(moment) {
			continue
		}
		p := Pair{scene.EventName(moment), base + ".before-" + moment + ".jpg", base + ".after-" + moment + ".jpg"}
		if plain(p.Before) && plain(p.After) {
			f.Pairs = append(f.Pairs, p)
		}
	}
	return f, nil
}

// plain reports whether a path is a plain file.
func plain(path string) bool {
	st, err := os.Lstat(path)
	return err == nil && st.Mode().IsRegular()
}
