package night

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"strokereel/pipeline"
	"strokereel/pipeline/settings"
)

// origin is all that went into a lesson's result: a fingerprint by what it is
// of, in words.
type origin map[string]string

// origin of a lesson's result.
func (p *plan) origin(j Job) origin {
	o := origin{
		"the program's way of keeping results": format,
		"the settings of the film":             pipeline.Fingerprint(j.ReelVersion),
		"what is written about the lesson":     pipeline.Fingerprint(p.lesson.Sheet),
		"what was assumed or is needed":        pipeline.Fingerprint(p.notes, p.needs),
	}
	for _, c := range p.clips {
		name := plain(c.Name)
		o["the clip "+name] = pipeline.Fingerprint(c.sha256)
		o["what a person put right in "+name] = pipeline.Fingerprint(c.fix.Strokes, c.fix.Points)
		o["what other clips of the phone tell of the sound in "+name] = pipeline.Fingerprint(c.sound)
		o["the place of "+name] = pipeline.Fingerprint(c.folder, c.Impact)
		o["the settings that "+name+" is measured with"] = c.Settings.Fingerprint(settings.Measuring()...)
		o["the program that measures "+name] = pipeline.ProgramKey(c.Settings)
	}
	return o
}

// changes from an earlier origin, in words.
func (o origin) changes(was origin) []string {
	var out []string
	for _, what := range sorted(o) {
		switch old, there := was[what]; {
		case !there:
			out = append(out, what+" is new")
		case old != o[what]:
			out = append(out, what+" changed")
		}
	}
	for _, what := range sorted(was) {
		if _, there := o[what]; !there {
			out = append(out, what+" is gone")
		}
	}
	return out
}

// why says for what reason a lesson is made again, or that it need not be.
func (r *runner) why(p *plan) string {
	place := filepath.Join(r.out.dir, p.lesson.Name)
	var was Result
	switch {
	case p.state == blocked:
		return "it waits for a person"
	case !readJSON(filepath.Join(place, resultFile), &was):
		return "it was not made before"
	case was.Key != p.key:
		if changes := p.from.changes(was.From); len(changes) > 0 {
			return strings.Join(changes, ", ")
		}
		return "its result is of another version of the program"
	case was.Retry:
		return "a clip failed that may succeed another time"
	case !was.Files.there(place):
		return "files of its result are missing"
	}
	if len(was.Retired) > 0 {
		return "its films were removed for their age: remove its folder in the outbox to have them again"
	}
	return "nothing changed since " + was.Made.Local().Format("2 January 2006, 15:04")
}

// Reason says of one lesson whether and why the next night makes it.
type Reason struct {
	Lesson string
	Due    bool
	Why    string
}

// Why looks at an inbox and an outbox as a night would, and makes nothing.
func Why(ctx context.Context, j Job) ([]Reason, error) {
	out, plans, err := open(ctx, j)
	if err != nil {
		return nil, err
	}
	defer out.close()
	r := newRunner(j, out)
	unheard := r.listen(ctx, plans, r.remember)
	var all []Reason
	for _, p := range plans {
		reason := Reason{Lesson: p.lesson.Name, Due: p.state == waiting && !r.stands(p), Why: r.why(p)}
		waits := func(c *planClip) bool { return unheard[c.device] }
		if !reason.Due && p.state == waiting && slices.ContainsFunc(p.clips, waits) {
			reason.Why += "; what new clips of the phone tell of its sound may change that"
		}
		all = append(all, reason)
	}
	return all, nil
}

func (r Reason) String() string {
	what := "is not made again"
	if r.Due {
		what = "is made"
	}
	return fmt.Sprintf("%s %s: %s", plain(r.Lesson), what, r.Why)
}
