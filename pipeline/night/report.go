package night

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"strokereel/overlay/scene"
	"strokereel/pipeline"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/practice"
	"strokereel/pipeline/sheet"
	"strokereel/track"
)

// comparisonFile is the comparison of before and after, in a lesson's folder.
const comparisonFile = "lesson.json"

// report sums up the finished draft.
func (p *plan) report(draft string) (*Result, error) {
	s := p.lesson.Sheet
	res := &Result{
		Schema: ResultSchema, Key: p.key, From: p.from, Version: pipeline.Version, Made: time.Now().Round(time.Second), Lesson: p.lesson.Name,
		Student: s.Student, Coach: s.Coach, Date: s.Date, LeftOut: p.leftOut, Films: []string{},
		Notes: append([]string{}, p.notes...), Needs: append([]Need{}, p.needs...),
	}
	for _, c := range p.clips {
		res.Retry = res.Retry || c.out.State == gaveUp
		res.Clips = append(res.Clips, ResultClip{c.Name, c.sha256, c.Role, c.folder, c.out.State, c.out.Code, append([]string{}, c.out.Reasons...)})
	}
	if err := p.compare(draft, res); err != nil {
		return nil, err
	}
	films, err := fs.Glob(os.DirFS(draft), "*.mp4")
	if err != nil {
		return nil, err
	}
	res.Films = append(res.Films, films...)
	res.Picture = p.picture()
	if smallPoster(draft) == nil {
		res.Picture = pictureFile
	} // else a clip's own picture will do
	if _, err := os.Stat(filepath.Join(draft, practice.PageFile)); err == nil {
		res.Practice = practice.PageFile
	}
	res.Files, err = list(draft)
	return res, err
}

// picture chooses a clip's picture for the lesson: the first after clip's, else
// the first there is.
func (p *plan) picture() string {
	pictured := func(role sheet.Role) func(*planClip) bool {
		return func(c *planClip) bool { return c.out.Picture && (role == "" || c.Role == role) }
	}
	for _, role := range []sheet.Role{sheet.After, ""} {
		if k := slices.IndexFunc(p.clips, pictured(role)); k >= 0 {
			return p.clips[k].folder + "/" + pictureFile
		}
	}
	return ""
}

// compare notes the few numbers that the morning page shows, and whether the
// clips before and after were the same task. The film was made from a comparison
// and has left it; without a film it is written here.
func (p *plan) compare(draft string, res *Result) error {
	found := map[sheet.Role][]lesson.Findings{}
	for _, c := range p.shown() {
		report, err := readReport(filepath.Join(c.Results, pipeline.ReportFile))
		if err != nil {
			return err
		}
		found[c.Role] = append(found[c.Role], lesson.Findings{File: c.Path, Report: report})
	}
	before, after := found[sheet.Before], found[sheet.After]
	res.Numbers = numbers(typical(before), typical(after))
	if len(before) == 0 || len(after) == 0 {
		return nil
	}
	path := filepath.Join(draft, comparisonFile)
	comparison, err := readComparison(path)
	if errors.Is(err, fs.ErrNotExist) {
		comparison = lesson.Compare(before, after)
		err = writeJSON(path, comparison)
	}
	res.Compared = upper(comparison.LikeForLike.Text) + "."
	return err
}

func readComparison(path string) (lesson.Comparison, error) {
	f, err := os.Open(path)
	if err != nil {
		return lesson.Comparison{}, err
	}
	defer f.Close()
	c, err := lesson.ReadComparison(f)
	if err != nil {
		return c, fmt.Errorf("reading what changed: %q: %w", filepath.Base(path), err)
	}
	return c, nil
}

func readReport(path string) (lesson.Report, error) {
	f, err := os.Open(path)
	if err != nil {
		return lesson.Report{}, err
	}
	defer f.Close()
	return lesson.ReadReport(io.Reader(f))
}

// typical is the typical putt of some clips, nil when they have none.
func typical(clips []lesson.Findings) *lesson.Stroke {
	t := lesson.Choose(clips)
	if t.Stroke < 0 {
		return nil
	}
	return &clips[t.Index].Report.Strokes[t.Stroke]
}

// shownMeasures are the few numbers of the morning page.
var shownMeasures = [...]string{"backstroke_length", "follow_through_length", "tempo", "ball_speed", "hold_time"}

func numbers(before, after *lesson.Stroke) []Number {
	out := []Number{}
	for _, id := range shownMeasures {
		n := Number{scene.MeasureName(id), inWords(id, before), inWords(id, after)}
		if n.Before.Text != "" || n.After.Text != "" {
			out = append(out, n)
		}
	}
	return out
}

func inWords(id string, s *lesson.Stroke) Shown {
	if s == nil {
		return Shown{}
	}
	m := s.Measure(id)
	if m.Status == track.NotMeasured || m.Status == "" {
		return Shown{}
	}
	v := scene.Show(m)
	return Shown{v.Text, v.Interval}
}
