package night

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"strokereel/pipeline"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
)

// format grows when what this package writes changes, so that it is made again.
const format = "1"

// plan is a lesson with all that decides its result.
type plan struct {
	lesson Lesson
	clips  []*planClip
	notes  []string // what was assumed or passed over
	needs  []Need   // what a person must do; with blocked nothing else is done
	key    string
	from   origin // what the key is made of, in words
	state  state
	result *Result // when there is one
}

type planClip struct {
	Clip
	sha256 string
	key    string        // "" when it cannot be read
	folder string        // of its results within the lesson's
	done   chan struct{} // closed when out is there
	out    outcome
}

// state is how a lesson fares.
type state int

const (
	waiting   state = iota // not reached
	blocked                // a person must do something first
	failed                 // tried, to be tried again
	unchanged              // done earlier
	made                   // done now
)

// prepare reads what there is to know before anything is measured.
func prepare(ctx context.Context, j Job, out *outbox, lessons []found) ([]*plan, error) {
	f := openFacts(out.work)
	cards, err := sheet.ReadCards(j.Inbox)
	if err != nil {
		return nil, err
	}
	var plans []*plan
	for _, l := range lessons {
		p, err := newPlan(ctx, j, f, cards, l)
		if err != nil {
			return nil, err
		}
		if err := out.free(l.name); err != nil && p.state != blocked {
			p.block(Need{What: "The result cannot be put in its place: " + err.Error(), Do: "move that folder away or rename the lesson's"})
		}
		plans = append(plans, p)
	}
	return plans, f.save()
}

func (p *plan) block(n Need) {
	p.needs, p.state = append(p.needs, n), blocked
}

// newPlan finds out about one lesson; only an interruption is an error.
func newPlan(ctx context.Context, j Job, f *facts, cards sheet.Cards, l found) (*plan, error) {
	p := &plan{lesson: Lesson{Name: l.name}}
	if len(l.passed) > 0 {
		p.notes = append(p.notes, "Passed over: "+plain(strings.Join(l.passed, ", "))+".")
	}
	w, err := sheet.ReadFolder(l.dir)
	if err != nil {
		p.block(Need{What: "What is written about the lesson cannot be followed: " + plain(err.Error()), Do: "correct that line"})
		return p, nil
	}
	p.lesson.Sheet = w.Sheet
	if why := refusal(w, cards, time.Now()); why != "" {
		p.block(Need{What: "The clips are not measured: " + plain(why) + ".", Do: askAgain})
		return p, nil
	}
	set, err := w.Sheet.Settings(j.Settings)
	if err != nil {
		p.block(Need{What: plain(err.Error()), Do: "correct the sheet"})
		return p, nil
	}
	if slices.Contains(reservedNames, l.name) {
		p.block(Need{What: "The lesson has the name of a page in the outbox.", Do: "rename its folder"})
		return p, nil
	}
	if err := p.addClips(ctx, f, l, set, w.Corrections); err != nil {
		return nil, err
	}
	p.unknownNames(w, l)
	for _, a := range assign(p.clips) {
		p.notes = append(p.notes, upper(a)+".")
	}
	slices.SortStableFunc(p.clips, byRole)
	counts := map[sheet.Role]int{}
	for _, c := range p.clips {
		counts[c.Role]++
		role := string(c.Role)
		if role == "" {
			role = "clip"
		}
		c.folder = fmt.Sprintf("%s-%d", role, counts[c.Role])
		c.key = c.fingerprint()
	}
	if len(p.clips) == 0 {
		p.block(Need{What: "There are no clips in the folder.", Do: "copy them into it, or remove it"})
	}
	p.key, p.from = p.fingerprint(j, w), p.origin(j, w)
	return p, nil
}

// addClips reads the clips and drops second copies of the same.
func (p *plan) addClips(ctx context.Context, f *facts, l found, set settings.Settings, fixes sheet.Corrections) error {
	first := map[string]string{}
	for _, fc := range l.clips {
		fix := fixes[fc.name]
		if fix.Unusable {
			p.notes = append(p.notes, plain(fc.name)+" is left out: a person marked it unusable.")
			continue
		}
		c := &planClip{Clip: Clip{Name: fc.name, Path: fc.path, Role: fc.role, Impact: fix.Impact, Settings: set}, done: make(chan struct{})}
		for _, r := range []sheet.Role{p.lesson.Sheet.Clips[fc.name], fix.Role} {
			if r != "" {
				c.Role = r
			}
		}
		known, err := f.of(ctx, fc.path)
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if err == nil {
			c.sha256, c.Recorded, c.RecordedFrom = known.SHA256, known.Recorded, known.RecordedFrom
			if other, again := first[c.sha256]; again {
				p.notes = append(p.notes, plain(fc.name)+" is left out: it is the same film as "+plain(other)+".")
				continue
			}
			first[c.sha256] = fc.name
		} // else it is refused when it is measured
		p.clips = append(p.clips, c)
	}
	return nil
}

// unknownNames finds clips that people wrote about and that are not there.
func (p *plan) unknownNames(w sheet.Written, l found) {
	missing := func(file, name string) {
		if !slices.ContainsFunc(l.clips, func(c foundClip) bool { return c.name == name }) {
			p.needs = append(p.needs, Need{Clip: name, What: file + " names a clip that is not there.", Do: "correct the name or copy the clip"})
		}
	}
	for _, name := range sorted(w.Sheet.Clips) {
		missing(sheet.SheetFile, name)
	}
	for _, name := range sorted(w.Corrections) {
		missing(sheet.CorrectionsFile, name)
	}
}

// fingerprint of a clip's own result: bytes, name as the report shows it,
// settings and versions.
func (c *planClip) fingerprint() string {
	if c.sha256 == "" {
		return ""
	}
	return pipeline.Fingerprint(format, pipeline.ResultKey(c.sha256, filepath.Base(c.Path), c.Settings))
}

// fingerprint of a lesson's result.
func (p *plan) fingerprint(j Job, w sheet.Written) string {
	parts := []any{format, j.ReelVersion, decisive(w), p.notes, p.needs}
	for _, c := range p.clips {
		parts = append(parts, c.key, c.folder, c.Impact)
	}
	return pipeline.Fingerprint(parts...)
}

// shown lists the clips that a reel can show.
func (p *plan) shown() []Clip {
	var out []Clip
	for _, c := range p.clips {
		if c.out.shows() || c.Impact > 0 && c.out.State == filmAgain {
			out = append(out, c.Clip)
		}
	}
	return out
}
