package night

import (
	"cmp"
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
	lesson  Lesson
	clips   []*planClip
	notes   []string // what was assumed or passed over
	leftOut []LeftOut
	needs   []Need // what a person must do; with blocked nothing else is done
	key     string
	from    origin // what the key is made of, in words
	state   state
	card    string  // file of the student's card, "" when there is none
	result  *Result // when there is one
}

type planClip struct {
	Clip
	fact   fact
	fix    sheet.Correction
	sha256 string
	device string         // and its evening, "" when not known
	sound  pipeline.Delay // as other clips of the device tell it
	read   bool           // by this night already
	key    string         // "" when it cannot be read
	folder string         // of its results within the lesson's
	done   chan struct{}  // closed when out is there
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
	f := openFacts(out.work, j.reader(), j.Settings.Night.Cards)
	var clips []*foundClip
	for k := range lessons {
		l := &lessons[k]
		l.written, l.wrong = sheet.ReadFolder(l.dir)
		for i := range l.clips {
			clips = append(clips, &l.clips[i])
		}
	}
	if err := f.read(ctx, clips, Lanes(j.Settings.Night)); err != nil {
		return nil, err
	}
	for k := range lessons {
		if err := f.markCopies(ctx, &lessons[k], j.Settings.Clip); err != nil {
			return nil, err
		}
	}
	cards, err := readAlbum(j.Inbox, out.dir)
	if err != nil {
		return nil, err
	}
	var plans []*plan
	for _, l := range dealt(lessons, time.Now()) {
		p := newPlan(j, cards, l)
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

// newPlan finds out about one lesson.
func newPlan(j Job, cards album, l found) *plan {
	p := &plan{lesson: Lesson{Name: l.name}, notes: l.notes, needs: l.needs}
	if len(l.passed) > 0 {
		p.notes = append(p.notes, "Passed over: "+plain(strings.Join(l.passed, ", "))+".")
	}
	switch {
	case l.wrong != nil:
		p.block(Need{What: "What is written about the lesson cannot be followed: " + plain(l.wrong.Error()), Do: "correct that line"})
		return p
	case slices.Contains(reservedNames, l.name):
		p.block(Need{What: "The lesson has the name of a page in the outbox.", Do: "rename its folder"})
		return p
	case len(l.clips) == 0:
		p.block(Need{What: "There are no clips in the folder.", Do: "copy them into it, or remove it"})
		return p
	}
	for _, name := range l.unsorted {
		p.block(Need{Clip: name, What: "Nothing tells whose clip it is: it shows no card and follows none.",
			Do: "say it in corrections.yaml, as student: S-014 under the clip's name, or put it into a folder of its own"})
	}
	if l.student != "" {
		l.written.Sheet.Student = l.student
	}
	if why := refusal(l.written, cards.inbox, time.Now()); why != "" {
		p.block(Need{What: "The clips are not measured: " + plain(why) + ".", Do: askAgain})
		return p
	}
	note, err := cards.fill(&l.written)
	if note != "" {
		p.notes = append(p.notes, note)
	}
	set := j.Settings
	if err == nil {
		set, err = l.written.Sheet.Settings(j.Settings)
	}
	if err != nil {
		p.block(Need{What: upper(plain(err.Error())) + ".", Do: "correct the sheet"})
		return p
	}
	p.lesson.Sheet = l.written.Sheet
	p.card = cards.file(l)
	p.addClips(l, set)
	p.unknownNames(l)
	p.giveRoles()
	if ok, why := p.lesson.Sheet.ShowsReference(time.Now()); !ok && slices.ContainsFunc(p.clips, func(c *planClip) bool { return c.Role == sheet.Reference }) {
		p.notes = append(p.notes, "The reference is measured and not shown: "+plain(why)+".")
	}
	if p.state != blocked && len(p.clips) == 0 {
		p.block(Need{What: "No clip is left to be shown: all are marked unusable.", Do: "add clips, or remove the folder"})
	}
	p.seal(j)
	return p
}

// seal names all that goes into the results.
func (p *plan) seal(j Job) {
	for _, c := range p.clips {
		c.key = c.fingerprint()
	}
	p.key, p.from = p.fingerprint(j), p.origin(j)
}

// addClips adds the clips but those that a person put aside and second copies.
func (p *plan) addClips(l found, set settings.Settings) {
	first := map[string]string{}
	for _, fc := range l.clips {
		fix := l.written.Corrections[fc.name]
		c := &planClip{
			Clip: Clip{Name: fc.name, Path: fc.path, Impact: fix.Impact, Settings: set, Recorded: fc.fact.Recorded, RecordedFrom: fc.fact.RecordedFrom},
			fact: fc.fact, fix: fix, done: make(chan struct{}),
		}
		c.Role = cmp.Or(fix.Role, p.lesson.Sheet.Clips[fc.name], fc.role)
		if why := aside(c.Role, fc, first); why != "" {
			p.notes = append(p.notes, plain(fc.name)+" is left out: "+why+".")
			p.leftOut = append(p.leftOut, LeftOut{fc.name, fc.fact.SHA256})
			continue
		}
		if fc.unread == nil { // else it is refused when it is measured
			c.sha256, c.device = fc.fact.SHA256, p.deviceOf(fc.fact)
			first[c.sha256] = fc.name
		}
		p.clips = append(p.clips, c)
	}
}

// aside says why a clip is no part of its lesson, "" when it is; first names the
// clips that are, by their fingerprints.
func aside(role sheet.Role, c foundClip, first map[string]string) string {
	switch other, again := first[c.fact.SHA256]; {
	case role == sheet.Unusable:
		return "a person marked it unusable"
	case c.copyOf != "":
		return "it is the film " + plain(c.copyOf) + ", coded again by a messenger or an editor"
	case c.unread == nil && again:
		return "it is the same film as " + plain(other)
	}
	return ""
}

// giveRoles gives a role to clips that have none, and each clip its folder.
func (p *plan) giveRoles() {
	var times []filmed
	for _, c := range p.clips {
		if c.sha256 != "" {
			times = append(times, filmed{c.Name, c.fact})
		}
	}
	unsure := doubts(times, time.Now())
	assumed, ok := assign(p.clips, len(unsure) == 0)
	for _, a := range assumed {
		p.notes = append(p.notes, upper(a)+".")
	}
	for _, d := range unsure {
		p.notes = append(p.notes, upper(d)+".")
	}
	if !ok {
		p.needs = append(p.needs, Need{What: "Which clips are from before and which from after is not sure: " + strings.Join(unsure, "; ") + ".",
			Do: "say it in lesson.yaml under clips, and set the clock of the phone"})
	}
	slices.SortStableFunc(p.clips, byRole)
	counts := map[sheet.Role]int{}
	for _, c := range p.clips {
		counts[c.Role]++
		c.folder = fmt.Sprintf("%s-%d", cmp.Or(c.Role, "clip"), counts[c.Role])
	}
}

// unknownNames finds clips that people wrote about and that are not there.
func (p *plan) unknownNames(l found) {
	missing := func(file, name string) {
		if !slices.Contains(l.beside, name) {
			p.needs = append(p.needs, Need{Clip: name, What: file + " names a clip that is not there.", Do: "correct the name or copy the clip"})
		}
	}
	for _, name := range sorted(l.written.Sheet.Clips) {
		missing(sheet.SheetFile, name)
	}
	for _, name := range sorted(l.written.Corrections) {
		missing(sheet.CorrectionsFile, name)
	}
}

// fingerprint of a clip's own result: bytes, name as the report shows it,
// settings and versions.
func (c *planClip) fingerprint() string {
	if c.sha256 == "" {
		return ""
	}
	return pipeline.Fingerprint(format, pipeline.ResultKey(c.sha256, filepath.Base(c.Path), c.Settings), c.fix.Strokes, c.fix.Points, c.sound)
}

// fingerprint of a lesson's result.
func (p *plan) fingerprint(j Job) string {
	parts := []any{format, j.ReelVersion, p.lesson.Sheet, p.notes, p.needs, p.leftOut}
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
