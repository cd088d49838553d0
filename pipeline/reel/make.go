package reel

import (
	"fmt"
	"math"

	"strokereel/overlay"
	"strokereel/overlay/scene"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/practice"
	"strokereel/track"
)

// Lesson is what a reel is made from.
type Lesson struct {
	Title  string
	Lines  []string // for the opening page, such as the student's code and the date
	Before []Clip
	After  []Clip
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
	var err error
	for i, role := range []string{"before", "after"} {
		if b.sources[i], err = source(role, l.clips(i), b.typical(i), o); err != nil {
			return Plan{}, err
		}
	}
	var p Plan
	for _, slower := range speeds(o.Slowest) {
		if p = b.plan(shape, slower); p.LengthS <= o.MaxLength {
			break
		}
	}
	return p, nil
}

func (l Lesson) clips(i int) []Clip {
	if i == 0 {
		return l.Before
	}
	return l.After
}

// builder lays segments one after the other.
type builder struct {
	lesson     Lesson
	comparison lesson.Comparison
	o          Options
	sources    [2]Source
	p          Plan
}

func (b *builder) typical(i int) lesson.Typical {
	if i == 0 {
		return b.comparison.Before
	}
	return b.comparison.After
}

func (b *builder) plan(shape Shape, slower float64) Plan {
	w, h := shape.size()
	b.p = Plan{Schema: Schema, Shape: shape, Width: w, Height: h, Rate: b.o.Rate, Sources: b.sources[:], Sounds: []Sound{}, Stills: []Still{}}
	b.add(Segment{Kind: Opening, Chapter: "Opening", Frames: b.frames(b.o.Opening), Page: b.openingPage()})
	for i := range b.sources {
		b.add(b.one(i, Full, 1))
		b.add(b.one(i, Slow, slower))
	}
	b.add(b.both(slower))
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
	return b.lesson.clips(i)[s.slot].Report.Strokes[s.Stroke]
}

// reach is how far the strokes of some sources go.
func (b *builder) reach(sources ...int) span {
	var r span
	for _, i := range sources {
		s := b.stroke(i)
		r.back = max(r.back, s.Measure("backstroke_length").Value)
		r.through = max(r.through, s.Measure("follow_through_length").Value)
	}
	return span{r.back + headRoom, r.through + headRoom}
}

// stop is a moment at which the picture stands.
type stop struct {
	name string
	t    float64
	hold float64 // s
}

// one shows one clip, slower times slower than life.
func (b *builder) one(i int, kind string, slower float64) Segment {
	src := b.sources[i]
	role := roleOf(src.Role)
	box := Box{0, 0, b.p.Width, b.p.Height}
	var stops []stop
	if kind == Slow {
		stops = b.stops(i)
	}
	seg := Segment{Kind: kind, Chapter: scene.RoleName(role) + ", " + spoken(slower),
		Panes: []Pane{{Source: i, Box: box, View: single(box, src, b.reach(i)), Runs: b.runs(src.FromS, src.ToS, 1/slower, stops)}}}
	seg.Frames = length(seg.Panes[0].Runs)
	seg.Texts = b.texts(seg, i)
	if kind == Full {
		b.keepSound(seg, i)
	} else {
		b.keepStills(seg, src)
	}
	return seg
}

// spoken says how fast a part is played.
func spoken(slower float64) string {
	if slower == 1 {
		return "at full speed"
	}
	return fmt.Sprintf("%g times slower", slower)
}

// stops of a clip: top, impact and finish where they are known.
func (b *builder) stops(i int) []stop {
	src, s := b.sources[i], b.stroke(i)
	if src.Stroke < 0 {
		return []stop{{track.Impact, src.ImpactS, b.o.Stop}}
	}
	var out []stop
	for _, name := range []string{track.Top, track.Impact, track.Stop} {
		if e := s.Event(name); e.Known() && e.T > src.FromS && e.T < src.ToS {
			out = append(out, stop{name, e.T, b.o.Stop})
		}
	}
	return out
}

// runs goes from one time to another with stops. Every stop falls exactly on a
// frame; for that the beginning moves by less than a frame.
func (b *builder) runs(from, to, speed float64, stops []stop) []Run {
	rate := float64(b.o.Rate)
	var out []Run
	for _, s := range stops {
		n := int(math.Round((s.t - from) / speed * rate))
		out = append(out, Run{Frames: n, FromS: s.t - float64(n)*speed/rate, Speed: speed},
			Run{Frames: b.frames(s.hold), FromS: s.t, At: s.name})
		from = s.t
	}
	return append(out, Run{Frames: int(math.Round((to - from) / speed * rate)), FromS: from, Speed: speed})
}

func length(runs []Run) int {
	n := 0
	for _, r := range runs {
		n += r.Frames
	}
	return n
}

// both shows the two clips side by side: from the longer way before impact to
// the longer after it, with a stop at impact and one at the end. A clip that
// has no picture so early or late stands still meanwhile.
func (b *builder) both(slower float64) Segment {
	var before, after float64
	for _, s := range b.sources {
		before, after = max(before, s.ImpactS-s.FromS), max(after, s.ToS-s.ImpactS)
	}
	boxes := b.p.Shape.boxes()
	views := paired(boxes, b.sources, b.reach(0, 1))
	seg := Segment{Kind: Both, Chapter: "Both, in step at impact"}
	for i, s := range b.sources {
		stops := []stop{{track.Impact, s.ImpactS, b.o.Stop}, {atEnd, s.ImpactS + after, b.o.Compared}}
		runs := b.runs(s.ImpactS-before, s.ImpactS+after, 1/slower, stops)
		seg.Panes = append(seg.Panes, Pane{Source: i, Box: boxes[i], View: views[i], Runs: runs})
	}
	seg.Frames = length(seg.Panes[0].Runs)
	seg.Texts = []Caption{{0, seg.Frames, "Before and after side by side, in step at impact, " + spoken(slower)}}
	poster, _ := stopFrame(seg.Panes[0].Runs, atEnd)
	b.p.Stills = append(b.p.Stills, Still{"poster", b.p.Frames + poster})
	return seg
}

// stopFrame is the first frame of a stop.
func stopFrame(runs []Run, at string) (frame int, ok bool) {
	for _, r := range runs {
		if r.At == at {
			return frame, true
		}
		frame += r.Frames
	}
	return 0, false
}

// keepStills notes the picture of each stop, in the middle of it.
func (b *builder) keepStills(seg Segment, src Source) {
	for _, r := range seg.Panes[0].Runs {
		if first, ok := stopFrame(seg.Panes[0].Runs, r.At); ok && r.At != "" {
			b.p.Stills = append(b.p.Stills, Still{src.Role + "-" + r.At, b.p.Frames + first + r.Frames/2})
		}
	}
}

// keepSound keeps the sound around the impact of a part at full speed.
func (b *builder) keepSound(seg Segment, i int) {
	src, run := b.sources[i], seg.Panes[0].Runs[0]
	from, to := max(src.ImpactS-b.o.SoundAround, run.FromS), min(src.ImpactS+b.o.SoundAround, src.ToS)
	if to <= from {
		return
	}
	at := float64(b.p.Frames)/float64(b.p.Rate) + from - run.FromS
	b.p.Sounds = append(b.p.Sounds, Sound{Source: i, FromS: from, ToS: to, AtS: at})
}

func roleOf(name string) overlay.Role {
	if name == "after" {
		return overlay.After
	}
	return overlay.Before
}
