package shelf

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"strokereel/pipeline/sheet"
	"strokereel/pipeline/site"
)

// Job is an outbox to be published.
type Job struct {
	Outbox string
	Place  string // the shelf: a folder or a bucket's URL
	Cards  string // folder below which the students' cards lie
	Look   site.Options
	Today  time.Time
	DryRun bool // only say what would be done
	// Again lists students whose lessons were withdrawn by hand and are to be
	// published once more.
	Again []string
	Told  func(Line) // hears each line as it is done; may be nil
}

// What came of a lesson.
const (
	Published = "published"
	Updated   = "updated"
	Unchanged = "unchanged"
	Withdrawn = "withdrawn"
	Held      = "held back"
	Failed    = "failed"
)

// Line is what came of one lesson and why.
type Line struct{ Lesson, Student, What, Why string }

// Report is what was done.
type Report struct {
	Lines  []Line
	Broken []error // cards that cannot be read; nothing new is published with one
	Links  Links
}

// Count counts the lessons of which one of these came.
func (r Report) Count(what ...string) (n int) {
	for _, l := range r.Lines {
		if slices.Contains(what, l.What) {
			n++
		}
	}
	return n
}

// Publish makes a shelf show the finished lessons of an outbox whose students
// allow it, and no others of this outbox.
func Publish(ctx context.Context, j Job) (Report, error) {
	cards, err := sheet.ReadCards(j.Cards)
	if err != nil {
		return Report{}, err
	}
	lessons, err := lessonsIn(j.Outbox)
	if err != nil {
		return Report{}, err
	}
	k, done, err := open(ctx, j.Outbox, j.Place, j.Look)
	if err != nil {
		return Report{}, err
	}
	defer done()
	p := &publisher{keeper: k, job: j, cards: cards, report: Report{Broken: cards.Broken}}
	err = p.run(ctx, lessons)
	p.report.Links = k.reg.links()
	return p.report, err
}

// open opens a shelf and its register for this process alone.
func open(ctx context.Context, outbox, place string, o site.Options) (*keeper, func(), error) {
	look, err := site.NewLook(o)
	if err != nil {
		return nil, nil, err
	}
	lock, err := hold(outbox)
	if err != nil {
		return nil, nil, err
	}
	reg, err := openRegister(outbox, address(place))
	if err != nil {
		return nil, nil, errors.Join(err, lock.Close())
	}
	store, err := OpenStore(ctx, place)
	if err != nil {
		return nil, nil, errors.Join(err, lock.Close())
	}
	k := &keeper{store: store, reg: reg, look: look, lookKey: fingerprint(look, o)}
	return k, func() { store.Close(); lock.Close() }, nil
}

type publisher struct {
	*keeper
	job    Job
	cards  sheet.Cards
	report Report
}

func (p *publisher) tell(f finished, what, why string) {
	l := Line{f.Lesson, f.Student, what, why}
	p.report.Lines = append(p.report.Lines, l)
	if p.job.Told != nil {
		p.job.Told(l)
	}
}

func (p *publisher) run(ctx context.Context, lessons []finished) error {
	if err := p.allowAgain(); err != nil {
		return err
	}
	if err := p.withdraw(lessons); err != nil {
		return err
	}
	if !p.job.DryRun {
		if err := p.settle(ctx); err != nil {
			return err
		}
	}
	for _, f := range lessons {
		if err := p.lesson(ctx, f); err != nil {
			return err
		}
	}
	if p.job.DryRun {
		return nil
	}
	return p.settle(ctx)
}

func (p *publisher) allowAgain() error {
	for _, code := range p.job.Again {
		s, ok := p.reg.students[code]
		if !ok || p.job.DryRun {
			continue
		}
		s.Withdrawn = map[string]bool{}
		if err := p.reg.save(s); err != nil {
			return err
		}
	}
	return nil
}

// withdraw marks what must go: lessons of students who no longer allow it, and
// lessons that turned out to be another student's.
func (p *publisher) withdraw(lessons []finished) error {
	owner := map[string]string{}
	for _, f := range lessons {
		owner[f.Lesson] = f.Student
	}
	for _, code := range slices.Sorted(maps.Keys(p.reg.students)) {
		s := p.reg.students[code]
		ok, why := mayShow(p.cards, code, p.job.Today)
		if _, known := p.cards.Of(code); !ok && !known && len(p.cards.Broken) > 0 {
			ok = true // its card may be the one that cannot be read
		}
		for _, name := range slices.Sorted(maps.Keys(s.Lessons)) {
			now, here := owner[name]
			switch {
			case !ok:
			case !here && !s.Lessons[name].There:
				why = "it was never finished and is no longer in the outbox"
			case here && now != code:
				why = "it is no longer this student's"
			default:
				continue
			}
			p.tell(finished{Lesson: name, Student: code}, Withdrawn, why)
			if p.job.DryRun {
				continue
			}
			if err := p.leave(s, name); err != nil {
				return err
			}
		}
	}
	return nil
}

// why says why a lesson may not be published now.
func (p *publisher) why(f finished) string {
	s := p.reg.students[f.Student]
	switch {
	case f.Student == "":
		return "the sheet names no student"
	case len(f.Films) == 0:
		return "there is no reel"
	case s != nil && (s.Withdrawn[f.Lesson] || s.Withdrawn[everything]) && !slices.Contains(p.job.Again, f.Student):
		return "it was withdrawn by hand"
	}
	if ok, why := mayShow(p.cards, f.Student, p.job.Today); !ok {
		return why
	}
	if known := s != nil && s.Lessons[f.Lesson] != nil; !known && len(p.cards.Broken) > 0 {
		return "a student's card cannot be read, it may be the one that says no"
	}
	return ""
}

// lesson publishes one lesson. An error is one of the shelf; one of the lesson
// becomes a line.
func (p *publisher) lesson(ctx context.Context, f finished) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if why := p.why(f); why != "" {
		p.tell(f, Held, why)
		return nil
	}
	what, made := Published, f.made(p.lookKey)
	var rec *lessonRecord
	if s := p.reg.students[f.Student]; s != nil {
		rec = s.Lessons[f.Lesson]
	}
	if rec != nil && rec.There {
		what = Updated
	}
	if rec != nil && rec.Made == made {
		p.tell(f, Unchanged, "")
		return nil
	}
	record := site.Record{Student: f.Student, Coach: f.Coach, Date: f.Date, Folder: token()}
	if rec != nil {
		record.Folder = rec.Folder
	}
	l, err := site.ReadLesson(f.dir, record, f.Films)
	if err != nil {
		p.tell(f, Failed, err.Error())
		return nil
	}
	if p.job.DryRun {
		p.tell(f, what, "")
		return nil
	}
	files, err := site.LessonPage(l, p.look)
	if err == nil && !f.same() {
		err = errors.New("it is being made again, publish it when the night is over")
	}
	if err != nil {
		p.tell(f, Failed, err.Error())
		return nil
	}
	if err := p.place(ctx, f, rec, l.Record, files, made); err != nil {
		return fmt.Errorf("publishing %q: %w", f.Lesson, err)
	}
	p.tell(f, what, "")
	return nil
}

// place puts a lesson's folder on the shelf, having noted its name.
func (p *publisher) place(ctx context.Context, f finished, rec *lessonRecord, r site.Record, files []site.File, made string) error {
	s := p.reg.student(f.Student)
	if rec == nil {
		rec = &lessonRecord{Record: r}
		s.Lessons[f.Lesson] = rec
	}
	rec.Made = ""
	if err := p.reg.save(s); err != nil {
		return err
	}
	if err := p.fill(ctx, s.Folder+"/"+r.Folder, files); err != nil {
		return err
	}
	rec.Record, rec.There, rec.Made = r, true, made
	return p.reg.save(s)
}
