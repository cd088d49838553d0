package reel

import (
	"fmt"
	"math"
	"strings"

	"strokereel/overlay/scene"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

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
	box, head, below := b.p.Shape.alone()
	var stops []stop
	if kind == Slow {
		stops = b.stops(i)
	}
	seg := Segment{Kind: kind, Chapter: scene.RoleName(role) + ", " + spoken(slower),
		Panes: []Pane{{Source: i, Box: box, Head: head, View: single(box, src, b.reach(i), below, b.p.Shape == Tall), Runs: b.runs(src.FromS, src.ToS, 1/slower, stops)}}}
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

// both shows the clips before and after side by side, with a stop at impact and
// one at the end.
func (b *builder) both(slower float64) Segment {
	seg := b.pair(Both, [2]int{0, 1}, slower)
	seg.Chapter = "Both, in step at impact"
	seg.Texts = []Caption{{0, seg.Frames, "Before and after side by side, in step at impact, " + spoken(slower)}}
	poster, _ := stopFrame(seg.Panes[0].Runs, atEnd)
	b.p.Stills = append(b.p.Stills, Still{"poster", b.p.Frames + poster})
	return seg
}

// beside shows the clip after beside somebody else's.
func (b *builder) beside(reference int, slower float64) Segment {
	seg := b.pair(Beside, [2]int{1, reference}, slower)
	seg.Chapter = "After, beside a reference"
	text := "After, beside another player's stroke, in step at impact, " + spoken(slower)
	if n := seg.Panes[1].Notice; n != "" {
		text += ". " + n
	}
	seg.Texts = []Caption{{0, seg.Frames, text}}
	return seg
}

// opposite reports whether a clip's player stands the other way round than the
// one after the lesson.
func (b *builder) opposite(i int) bool {
	hands := [2]string{b.handedness(1), b.handedness(i)}
	return hands == [2]string{"right", "left"} || hands == [2]string{"left", "right"}
}

func (b *builder) handedness(i int) string {
	s := b.sources[i]
	return b.lesson.clips(s.Role)[s.slot].Report.Clip.Handedness
}

// mirrored says of a pane that it is.
func (b *builder) mirrored(p Pane) string {
	if !p.Mirror {
		return ""
	}
	return "Mirrored: this player is " + b.handedness(p.Source) + "-handed."
}

// unlike says so when two clips do not show the same putt, or when that is not
// known; of a clip without numbers its own notice says enough.
func (b *builder) unlike(i, k int) string {
	if b.sources[i].Stroke < 0 || b.sources[k].Stroke < 0 {
		return ""
	}
	change := lesson.Change(b.stroke(i).Measure("ball_speed"), b.stroke(k).Measure("ball_speed"))
	switch {
	case change.Status != track.Measured:
		return "Whether it was the same putt is not known."
	case math.Abs(change.Value) > change.U95:
		return "Not the same putt: the ball speeds differ."
	}
	return ""
}

// lean is how far the pictures of a source must be turned for a level ground.
func (b *builder) lean(i int) float64 {
	s := b.sources[i]
	return lean(b.lesson.clips(s.Role)[s.slot].Report.Camera)
}

// pair shows two clips side by side: from the longer way before impact to the
// longer after it, with their grounds level. A clip that has no picture so early
// or late stands still meanwhile.
func (b *builder) pair(kind string, of [2]int, slower float64) Segment {
	s := [2]Source{b.sources[of[0]], b.sources[of[1]]}
	before, after := max(s[0].ImpactS-s[0].FromS, s[1].ImpactS-s[1].FromS), max(s[0].ToS-s[0].ImpactS, s[1].ToS-s[1].ImpactS)
	boxes := b.p.Shape.boxes()
	seg := Segment{Kind: kind}
	for i, k := range of {
		// Another player is shown the way round the student stands.
		p := Pane{Source: k, Box: boxes[i], Mirror: kind == Beside && b.opposite(k), Turn: b.lean(k)}
		if p.Mirror {
			p.Turn = -p.Turn
		}
		s[i] = p.shown(s[i])
		seg.Panes = append(seg.Panes, p)
	}
	below := linesRoom
	if kind == Beside {
		n := strings.TrimSpace(b.mirrored(seg.Panes[1]) + " " + b.unlike(of[0], of[1]))
		if seg.Panes[1].Notice = n; n != "" {
			below += noticeRoom
		}
	}
	views := paired(boxes, s, b.reach(of[:]...), below)
	for i := range s {
		stops := []stop{{track.Impact, s[i].ImpactS, b.o.Stop}, {atEnd, s[i].ImpactS + after, b.o.Compared}}
		seg.Panes[i].View = views[i]
		seg.Panes[i].Runs = b.runs(s[i].ImpactS-before, s[i].ImpactS+after, 1/slower, stops)
	}
	seg.Frames = length(seg.Panes[0].Runs)
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
	if src.LinedUpBy == byNone {
		return
	}
	from, to := max(src.ImpactS-b.o.SoundAround, run.FromS), min(src.ImpactS+b.o.SoundAround, src.ToS)
	if to <= from {
		return
	}
	at := float64(b.p.Frames)/float64(b.p.Rate) + from - run.FromS
	b.p.Sounds = append(b.p.Sounds, Sound{Source: i, FromS: from, ToS: to, AtS: at})
}
