package reel

import (
	"fmt"
	"math"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/practice"
)

// Lesson is what a reel is made from.
type Lesson struct {
	Title  string
	Lines  []string // for the opening page, such as the student's code and the date
	Before []Clip
	After  []Clip
	// Reference is somebody else's stroke, for which whoever names it has that
	// person's consent; Drill is practice. Both may be empty.
	Reference []Clip
	Drill     []Clip
	// Putting is what is known of green and distances; nil leaves rolls out.
	Putting *lesson.Putting
	// Practice are the drills that a practice sheet is chosen from; nil makes none.
	Practice *practice.Book
}

// findings of clips, as the lesson compares them.
func findings(clips []Clip) []lesson.Findings {
	out := make([]lesson.Findings, len(clips))
	for i, c := range clips {
		out[i] = c.Findings
	}
	return out
}

// Compare is the comparison a reel of the lesson is made with.
func (l Lesson) Compare() lesson.Comparison {
	before, after := findings(l.Before), findings(l.After)
	c := lesson.Compare(before, after)
	if l.Putting != nil {
		c.Rolling = lesson.RollOut(before, after, *l.Putting)
	}
	return c
}

// speeds are how many times slower the slow parts may be, slowest first.
func speeds(slowest float64) []float64 {
	const step = 0.25
	out := []float64{slowest}
	for k := math.Ceil(slowest/step - 1); k*step >= 1; k-- {
		if k*step < slowest {
			out = append(out, k*step)
		}
	}
	return out
}

// Make plans the reel of a lesson in a shape: as slow as fits the length.
func Make(l Lesson, c lesson.Comparison, shape Shape, o Options) (Plan, error) {
	if err := o.Validate(); err != nil {
		return Plan{}, fmt.Errorf("planning the reel: %w", err)
	}
	if len(l.Before) == 0 || len(l.After) == 0 {
		return Plan{}, fmt.Errorf("planning the reel: needs a clip before and a clip after (got %d and %d)", len(l.Before), len(l.After))
	}
	b := builder{lesson: l, comparison: c, o: o}
	for _, role := range showOrder {
		clips := l.clips(role)
		if len(clips) == 0 {
			continue
		}
		chosen := b.choose(role)
		s, err := source(role, clips, chosen, o)
		if err != nil {
			return Plan{}, err
		}
		b.sources, b.chosen = append(b.sources, s), append(b.chosen, chosen)
	}
	var p Plan
	for _, slower := range speeds(o.Slowest) {
		if p = b.plan(shape, slower); p.LengthS <= o.MaxLength {
			break
		}
	}
	return p, nil
}

// clips of a role.
func (l Lesson) clips(role string) []Clip {
	switch role {
	case roleBefore:
		return l.Before
	case roleAfter:
		return l.After
	case roleReference:
		return l.Reference
	}
	return l.Drill
}

// builder lays segments one after the other.
type builder struct {
	lesson     Lesson
	comparison lesson.Comparison
	o          Options
	sources    []Source         // before, after, and what else there is
	chosen     []lesson.Typical // of each source
	p          Plan
}

// choose says which stroke stands for a role.
func (b *builder) choose(role string) lesson.Typical {
	switch role {
	case roleBefore:
		return b.comparison.Before
	case roleAfter:
		return b.comparison.After
	}
	return lesson.Choose(findings(b.lesson.clips(role)))
}

func (b *builder) plan(shape Shape, slower float64) Plan {
	w, h := shape.size()
	b.p = Plan{Schema: Schema, Shape: shape, Width: w, Height: h, Rate: b.o.Rate, Sources: b.sources, Sounds: []Sound{}, Stills: []Still{}}
	b.add(Segment{Kind: Opening, Chapter: "Opening", Frames: b.frames(b.o.Opening), Page: b.openingPage()})
	for i := range 2 {
		b.add(b.one(i, Full, 1))
		b.add(b.one(i, Slow, slower))
	}
	b.add(b.both(slower))
	for i, s := range b.sources {
		switch s.Role {
		case roleReference:
			b.add(b.beside(i, slower))
		case roleDrill:
			b.add(b.one(i, Full, 1))
		}
	}
	b.add(Segment{Kind: Closing, Chapter: "What changed", Frames: b.frames(b.o.Closing), Page: b.closingPage()})
	b.p.LengthS = float64(b.p.Frames) / float64(b.p.Rate)
	return b.p
}

func (b *builder) frames(s float64) int { return int(math.Round(s * float64(b.o.Rate))) }

// add puts a segment at the end of the plan.
func (b *builder) add(s Segment) {
	s.Start = b.p.Frames
	for i := range s.Texts {
		s.Texts[i].Start += s.Start
	}
	if s.Texts == nil {
		s.Texts = []Caption{}
	}
	b.p.Frames += s.Frames
	b.p.Segments = append(b.p.Segments, s)
}

// stroke is the stroke a source shows; without numbers it is empty, and none of
// its events is known.
func (b *builder) stroke(i int) lesson.Stroke {
	s := b.sources[i]
	if s.Stroke < 0 {
		return lesson.Stroke{}
	}
	return b.lesson.clips(s.Role)[s.slot].Report.Strokes[s.Stroke]
}
