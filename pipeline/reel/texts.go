package reel

import (
	"fmt"
	"strings"

	"strokereel/overlay/scene"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// openingPage names the lesson and what is shown of each role. It never names a
// file: coaches name files after people.
func (b *builder) openingPage() *Page {
	p := &Page{Title: b.lesson.Title, Lines: b.lesson.Lines}
	if p.Title == "" {
		p.Title = "Before and after"
	}
	for i, s := range b.sources {
		p.Clips = append(p.Clips, PageClip{s.Role, b.whichPutt(i)})
	}
	return p
}

// whichPutt says which of a role's putts is shown.
func (b *builder) whichPutt(i int) string {
	t, role := b.chosen[i], b.sources[i].Role
	switch role {
	case roleReference:
		return "another player"
	case roleDrill:
		return "practice"
	}
	clip, of := "", ""
	if len(b.lesson.clips(role)) > 1 {
		clip = fmt.Sprintf("clip %d, ", t.Index+1)
		of = fmt.Sprintf(" of clip %d", t.Index+1)
	}
	switch {
	case b.sources[i].Stroke < 0:
		return clip + "without numbers"
	case t.Among > 1:
		return fmt.Sprintf("putt %d%s, the most typical of %d", t.Stroke+1, of, t.Among)
	}
	return clip + "one putt"
}

// closingPage says what changed.
func (b *builder) closingPage() *Page {
	c := b.comparison
	p := &Page{Title: "What changed", Rows: rows(c)}
	if b.sources[0].Stroke < 0 || b.sources[1].Stroke < 0 {
		p.Title, p.Rows = "Without a comparison", nil
		for i := range 2 {
			p.Notes = append(p.Notes, b.alone(i)...)
		}
		return p
	}
	switch c.LikeForLike.Verdict {
	case lesson.NotSamePutt:
		p.Notes = append(p.Notes, "These were not the same putt: the ball speeds differ. Lengths are given per m/s of ball speed.")
	case lesson.NotKnown:
		p.Notes = append(p.Notes, "Whether it was the same putt is not known: a ball speed is missing.")
	}
	p.Notes = append(p.Notes, "± is a 95 % interval.")
	return p
}

// alone is what can be said of a clip that has nothing to be compared with: its
// numbers, or why there are none.
func (b *builder) alone(i int) []string {
	src := b.sources[i]
	role := scene.RoleName(roleOf(src.Role))
	if src.Stroke < 0 {
		return []string{strings.Replace(src.Notice, "No numbers", role+" has no numbers", 1)}
	}
	out := []string{role + ":"}
	for _, at := range []string{track.Top, track.Stop, track.Impact} {
		for _, id := range stopMeasures[at] {
			if m := b.stroke(i).Measure(id); m.Status == track.Measured {
				out = append(out, scene.MeasureName(id)+" "+scene.Show(m).String())
			}
		}
	}
	return out
}

// rowsOf are the measures of the closing page by the verdict, most telling
// first.
var rowsOf = map[string][]string{
	lesson.SamePutt:    {"ball_speed", "backstroke_length", "follow_through_length", "through_to_back", "tempo", "hold_time", "recoil"},
	lesson.NotSamePutt: {"ball_speed", lesson.BackPerSpeed, lesson.ThroughPerSpeed, "through_to_back", "tempo"},
	lesson.NotKnown:    {"through_to_back", "tempo"},
}

func rows(c lesson.Comparison) []lesson.Difference {
	var out []lesson.Difference
	for _, id := range rowsOf[c.LikeForLike.Verdict] {
		for _, d := range c.Differences {
			if d.ID == id {
				out = append(out, d)
			}
		}
	}
	return out
}

// stopMeasures are what a stop is about.
var stopMeasures = map[string][]string{
	track.Top:    {"backstroke_length"},
	track.Impact: {"tempo", "ball_speed"},
	track.Stop:   {"follow_through_length"},
}

// texts are the captions of one clip's segment: what is shown, and at each stop
// its values.
func (b *builder) texts(seg Segment, i int) []Caption {
	name := seg.Chapter
	if n := b.sources[i].Notice; n != "" {
		name += ". " + n
	}
	var out []Caption
	at, begin := 0, 0
	for _, r := range seg.Panes[0].Runs {
		if r.At != "" {
			if at > begin {
				out = append(out, Caption{begin, at - begin, name})
			}
			out = append(out, Caption{at, r.Frames, b.stopText(i, r.At)})
			begin = at + r.Frames
		}
		at += r.Frames
	}
	if at > begin {
		out = append(out, Caption{begin, at - begin, name})
	}
	return out
}

func (b *builder) stopText(i int, at string) string {
	parts := []string{scene.EventName(at)}
	for _, id := range stopMeasures[at] {
		m := b.stroke(i).Measure(id)
		if b.sources[i].Stroke >= 0 && (m.Status == track.Measured || m.Status == track.AtLeast) {
			parts = append(parts, scene.MeasureName(id)+" "+scene.Show(m).String())
		}
	}
	return strings.Join(parts, ". ")
}
