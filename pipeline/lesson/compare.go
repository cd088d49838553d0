package lesson

import (
	"encoding/json"
	"fmt"
	"io"
	"math"

	"strokereel/track"
)

// ComparisonSchema names the form of lesson.json.
const ComparisonSchema = "strokereel/lesson-report/1"

// Verdicts on whether two putts may be compared.
const (
	SamePutt    = "same_putt"     // the ball speeds agree within their combined u95
	NotSamePutt = "not_same_putt" // they do not
	NotKnown    = "not_known"     // a ball speed is missing
)

// Directions of a change.
const (
	Up        = "up"
	Down      = "down"
	WithinU95 = "within_u95" // may as well be no change
	NoClaim   = "no_claim"   // unknown, or not to be compared
)

// Comparison is what changed from before to after, the content of lesson.json.
type Comparison struct {
	Schema      string       `json:"schema"`
	Before      Typical      `json:"before"`
	After       Typical      `json:"after"`
	LikeForLike LikeForLike  `json:"like_with_like"`
	Differences []Difference `json:"differences"`
	Sets        *Sets        `json:"sets,omitempty"`
	Rolling     *Rolling     `json:"rolling,omitempty"`
}

// LikeForLike says whether the two putts were the same task.
type LikeForLike struct {
	Verdict   string  `json:"verdict"`
	Text      string  `json:"text"`
	BallSpeed Measure `json:"ball_speed_change"`
}

// Difference is one measure before and after.
type Difference struct {
	ID         string  `json:"id"`
	Before     Measure `json:"before"`
	After      Measure `json:"after"`
	Change     Measure `json:"change"` // after - before
	Direction  string  `json:"direction"`
	Comparable bool    `json:"comparable"` // whether a direction may be claimed
}

// Measures that are made for the comparison: lengths per ball speed, in metres
// for each m/s.
const (
	BackPerSpeed    = "backstroke_per_ball_speed"
	ThroughPerSpeed = "follow_through_per_ball_speed"
)

// compared are the measures of a comparison, most telling first. Only those
// that hold for putts of any length may be claimed to have changed when the
// putts were not the same.
var compared = []struct {
	id      string
	anyPutt bool
}{
	{"ball_speed", false}, {"backstroke_length", false}, {"follow_through_length", false},
	{BackPerSpeed, true}, {ThroughPerSpeed, true}, {"through_to_back", true}, {"tempo", true},
	{"hold_time", false}, {"recoil", false}, {"backstroke_time", false}, {"downstroke_time", false}, {"follow_through_time", false},
	{"impact_speed", false}, {"ball_to_head", false}, {"look_up_after_impact", false}, {"head_shift", false}, {"shaft_lean_change", false},
	{"lead_wrist_finish", false}, {"elbow_spread_finish", false}, {"shoulder_rock_finish", false},
}

// Compare compares the typical stroke before with the one after. Each of the two
// is chosen among the clips of its role.
func Compare(before, after []Findings) Comparison {
	c := Comparison{Schema: ComparisonSchema, Before: Choose(before), After: Choose(after), Differences: []Difference{}, Sets: Gather(before, after)}
	b, okB := stroke(before, c.Before)
	a, okA := stroke(after, c.After)
	if !okB || !okA {
		c.LikeForLike = LikeForLike{Verdict: NotKnown, Text: "a clip has no measured putt: nothing is compared",
			BallSpeed: MeasureOf(missing("ball_speed", "a clip has no measured putt"))}
		return c
	}
	c.LikeForLike = likeForLike(b, a)
	for _, m := range compared {
		x, y := value(b, m.id), value(a, m.id)
		if x.Status == track.NotMeasured && y.Status == track.NotMeasured {
			continue
		}
		change := Change(x, y)
		comparable := m.anyPutt || c.LikeForLike.Verdict == SamePutt
		c.Differences = append(c.Differences, Difference{ID: m.id, Before: MeasureOf(x), After: MeasureOf(y), Change: MeasureOf(change),
			Direction: direction(change, comparable), Comparable: comparable})
	}
	return c
}

func stroke(clips []Findings, t Typical) (Stroke, bool) {
	if t.Stroke < 0 {
		return Stroke{}, false
	}
	return clips[t.Index].Report.Strokes[t.Stroke], true
}

// likeForLike compares the ball speeds: they, and nothing a student does with
// the putter, say how long the putt was meant to be.
func likeForLike(b, a Stroke) LikeForLike {
	change := Change(b.Measure("ball_speed"), a.Measure("ball_speed"))
	out := LikeForLike{BallSpeed: MeasureOf(change)}
	switch {
	case change.Status != track.Measured:
		out.Verdict, out.Text = NotKnown, "the ball speeds are not both known: whether it was the same putt cannot be said"
	case math.Abs(change.Value) <= change.U95:
		out.Verdict, out.Text = SamePutt, "the ball speeds agree within their uncertainty: the same putt"
	default:
		out.Verdict, out.Text = NotSamePutt, "the ball speeds differ: not the same putt, so lengths are compared per ball speed only"
	}
	return out
}

// value is a measure of a stroke, or one made for the comparison.
func value(s Stroke, id string) track.Measure {
	switch id {
	case BackPerSpeed:
		return perSpeed(id, s.Measure("backstroke_length"), s.Measure("ball_speed"))
	case ThroughPerSpeed:
		return perSpeed(id, s.Measure("follow_through_length"), s.Measure("ball_speed"))
	}
	return s.Measure(id)
}

// perSpeed divides a length by the ball speed. Both carry the same ruler, whose
// error cancels; taking them as independent only makes u95 larger.
func perSpeed(id string, length, speed track.Measure) track.Measure {
	for _, m := range []track.Measure{length, speed} {
		if m.Status != track.Measured || !(m.Value > 0) {
			return missing(id, "needs length and ball speed: "+m.Reason)
		}
	}
	v := length.Value / speed.Value
	return track.Measure{ID: id, Unit: "m/(m/s)", Value: v, Status: track.Measured, How: "length : ball speed",
		U95: v * math.Hypot(length.U95/length.Value, speed.U95/speed.Value)}
}

// Change is after - before. The two uncertainties are combined as if
// independent (JCGM 100:2008, 5.1.2). Clips of one lesson share terms - the
// same ball as ruler, the same sticker, the same assumed offset and distance -
// and a shared term counts less in a difference than it does here, so the
// interval is rather too wide; without proof of what is shared it stays so.
func Change(before, after track.Measure) track.Measure {
	out := track.Measure{ID: after.ID, Unit: after.Unit, Status: track.Measured, How: "after - before"}
	for _, m := range []track.Measure{before, after} {
		if m.Word != "" {
			return missing(after.ID, "a word has no difference")
		}
		if m.Status == track.NotMeasured || m.Status == track.Predicted {
			return missing(after.ID, m.Reason)
		}
	}
	if before.Status == track.AtLeast {
		return missing(after.ID, "the clip before ended first: the change has no bound")
	}
	if after.Status == track.AtLeast {
		out.Status, out.Reason = track.AtLeast, after.Reason
	}
	out.Value, out.U95 = after.Value-before.Value, math.Hypot(half(before), half(after))
	return out
}

// half is the half width of a measure's 95 % interval, the wider side where it
// is not symmetric.
func half(m track.Measure) float64 {
	if m.Lo95 != 0 || m.Hi95 != 0 {
		return max(m.Hi95-m.Value, m.Value-m.Lo95)
	}
	return m.U95
}

func direction(change track.Measure, comparable bool) string {
	switch {
	case change.Status == track.NotMeasured, change.Status == track.AtLeast && change.Value <= change.U95:
		return NoClaim
	case math.Abs(change.Value) <= change.U95:
		return WithinU95
	case !comparable:
		return NoClaim
	case change.Value > 0:
		return Up
	}
	return Down
}

func missing(id, reason string) track.Measure {
	return track.Measure{ID: id, Status: track.NotMeasured, Reason: reason}
}

// ReadComparison reads a lesson.json of the form this version writes.
func ReadComparison(r io.Reader) (Comparison, error) {
	var c Comparison
	if err := json.NewDecoder(r).Decode(&c); err != nil {
		return Comparison{}, err
	}
	if c.Schema != ComparisonSchema {
		return Comparison{}, fmt.Errorf("it is not of the form %s", ComparisonSchema)
	}
	return c, nil
}

// Marshal returns the comparison as indented JSON.
func (c Comparison) Marshal() ([]byte, error) {
	b, err := json.MarshalIndent(c, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("writing the comparison: %w", err)
	}
	return append(b, '\n'), nil
}
