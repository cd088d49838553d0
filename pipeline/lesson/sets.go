package lesson

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"strokereel/track"
)

// Sets is what several putts before and after say that one of each cannot: how
// steady they are, and whether a change is more than their scatter.
type Sets struct {
	Before  []Spread    `json:"before"`
	After   []Spread    `json:"after"`
	Changes []SetChange `json:"changes"`
}

// Spread is one measure over a set of putts.
type Spread struct {
	ID    string  `json:"id"`
	Putts int     `json:"putts"`
	Mean  Measure `json:"mean"`
	// SD is the standard deviation from putt to putt; it holds what reading adds.
	SD Measure `json:"sd"`
	// Variation is SD over mean, the coefficient of variation.
	Variation Measure `json:"coefficient_of_variation"`
	// Unlike says that the putts were not of one length, so that the spread is not
	// that of equal putts.
	Unlike bool `json:"unlike_putts,omitempty"`

	values []float64
	doubt  float64 // u95 of one value by what all putts of a set share
}

// Verdicts on the change of a set.
const (
	Changed      = "changed"       // beyond the spread
	WithinSpread = "within_spread" // may as well be chance, with ever so many putts
	TooFew       = "too_few"       // more putts could tell
)

// SetChange is a measure's change from the set before to the set after.
type SetChange struct {
	ID      string  `json:"id"`
	Change  Measure `json:"change"` // of the mean
	Verdict string  `json:"verdict"`
	// Needed is how many putts before and after would tell a change of this size;
	// 0 when none are needed or many would not.
	Needed int     `json:"putts_needed,omitempty"`
	Spread Measure `json:"spread_ratio"` // SD after over SD before
	Text   string  `json:"text"`
}

// inSets are the measures of which sets are looked at: lengths and ball speed are
// only steady over putts of one length, tempo over all.
var inSets = []struct {
	id      string
	anyPutt bool
	scaled  bool // carries the ruler, which all putts of a clip share
}{
	{"backstroke_length", false, true}, {"follow_through_length", false, true}, {"through_to_back", true, false},
	{"ball_speed", false, true}, {"impact_speed", false, true}, {"tempo", true, false}, {"downstroke_time", true, false}, {"hold_time", true, false},
}

const (
	// mostPutts is as many as anybody films of one putt: a change that more would
	// be needed for is called within the spread.
	mostPutts = 30
	// oneLength is by how much the ball speeds of putts of one length may differ,
	// largest over smallest: 10.6 % is the scatter of skilled players' distances
	// over mixed putts (Karlsen and Nilsson 2008, doi 10.1260/174795408785024333),
	// half of that in speed; six of those apart.
	oneLength = 1.3
)

// Gather looks at the sets of a lesson. It is nil when no side has a putt.
func Gather(before, after []Findings) *Sets {
	s := &Sets{Before: spreads(before), After: spreads(after), Changes: []SetChange{}}
	if len(s.Before)+len(s.After) == 0 {
		return nil
	}
	for _, a := range s.After {
		for _, b := range s.Before {
			if a.ID == b.ID {
				s.Changes = append(s.Changes, setChange(b, a))
			}
		}
	}
	return s
}

// Putts lists the measured putts of clips.
func Putts(clips []Findings) []Stroke {
	var out []Stroke
	for _, f := range clips {
		for _, s := range f.Report.Strokes {
			if s.Kind == track.Putt {
				out = append(out, s)
			}
		}
	}
	return out
}

func spreads(clips []Findings) []Spread {
	putts := Putts(clips)
	unlike := !alike(putts)
	out := []Spread{}
	for _, d := range inSets {
		s := Spread{ID: d.id, Unlike: unlike && !d.anyPutt}
		unit := ""
		for _, p := range putts {
			// A hold that the clip cut short has no value to take the mean of.
			if m := p.Measure(d.id); m.Status == track.Measured {
				s.values, unit = append(s.values, m.Value), m.Unit
				if d.scaled {
					s.doubt = math.Max(s.doubt, half(m))
				}
			}
		}
		if len(s.values) > 0 {
			s.summarise(unit)
			out = append(out, s)
		}
	}
	return out
}

// alike reports whether putts may have been of one length; those without a ball
// speed do not speak against it.
func alike(putts []Stroke) bool {
	low, high := math.Inf(1), 0.0
	for _, p := range putts {
		if m := p.Measure("ball_speed"); m.Status == track.Measured {
			low, high = math.Min(low, m.Value), math.Max(high, m.Value)
		}
	}
	return high <= oneLength*low
}

// summarise computes mean and spread. The mean of n is uncertain by Student's t
// (JCGM 100:2008, G.3), the standard deviation by chi-squared.
func (s *Spread) summarise(unit string) {
	s.Putts = len(s.values)
	n := float64(s.Putts)
	mean, sd := s.moments()
	if s.Putts < 2 {
		few := missing(s.ID, "one putt has no spread")
		s.Mean = MeasureOf(track.Measure{Value: mean, Unit: unit, Status: track.Measured, U95: s.doubt, How: "of one putt"})
		s.SD, s.Variation = MeasureOf(few), MeasureOf(few)
		return
	}
	t := student(n-1) * sd / math.Sqrt(n)
	s.Mean = MeasureOf(track.Measure{Value: mean, Unit: unit, Status: track.Measured, U95: math.Hypot(t, s.doubt), How: fmt.Sprintf("mean of %d putts", s.Putts)})
	chi := distuv.ChiSquared{K: n - 1}
	lo, hi := math.Sqrt((n-1)/chi.Quantile(0.975)), math.Sqrt((n-1)/chi.Quantile(0.025))
	between := func(v float64, unit string) Measure {
		return MeasureOf(track.Measure{Value: v, Lo95: lo * v, Hi95: hi * v, Unit: unit, Status: track.Measured, How: fmt.Sprintf("spread of %d putts", s.Putts)})
	}
	s.SD = between(sd, unit)
	if s.Variation = MeasureOf(missing(s.ID, "the mean is not above zero")); mean > 0 {
		s.Variation = between(sd/mean, "1")
	}
}

func (s Spread) moments() (mean, sd float64) {
	n := float64(len(s.values))
	for _, v := range s.values {
		mean += v / n
	}
	for _, v := range s.values {
		sd += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(sd / math.Max(n-1, 1))
}

func student(dof float64) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: dof}.Quantile(0.975)
}

// setChange compares two sets by Welch's interval of the difference of means,
// widened by what the putts of a set share.
func setChange(b, a Spread) SetChange {
	out := SetChange{ID: a.ID, Verdict: TooFew}
	switch {
	case b.Unlike || a.Unlike:
		return out.silent(WithinSpread, "the putts of a set were of different lengths: their spread is not that of equal putts")
	case b.Putts < 2 || a.Putts < 2:
		return out.silent(TooFew, fmt.Sprintf("%s: a spread needs at least two putts before and after", counted(b.Putts, a.Putts)))
	}
	mb, sb := b.moments()
	ma, sa := a.moments()
	vb, va := sb*sb/float64(b.Putts), sa*sa/float64(a.Putts)
	shared := math.Hypot(b.doubt, a.doubt)
	change, u95 := ma-mb, shared
	if v := vb + va; v > 0 {
		dof := v * v / (vb*vb/float64(b.Putts-1) + va*va/float64(a.Putts-1))
		u95 = math.Hypot(student(dof)*math.Sqrt(v), shared)
	}
	out.Change = MeasureOf(track.Measure{Value: change, U95: u95, Unit: a.Mean.Unit, Status: track.Measured, How: "mean after - mean before, against the spread of both"})
	out.Spread = spreadRatio(b, a, sb, sa)
	switch needed := neededPutts(math.Abs(change), sb, sa, shared); {
	case math.Abs(change) > u95:
		out.Verdict, out.Text = Changed, counted(b.Putts, a.Putts)+": the change is more than the spread explains"
	case needed > 0:
		out.Needed = needed
		out.Text = fmt.Sprintf("%s are too few to say: about %d before and %d after would tell a change of this size", counted(b.Putts, a.Putts), needed, needed)
	default:
		out.Verdict, out.Text = WithinSpread, counted(b.Putts, a.Putts)+": the change is within the spread"
	}
	return out
}

func (c SetChange) silent(verdict, text string) SetChange {
	none := MeasureOf(missing(c.ID, text))
	c.Verdict, c.Text, c.Change, c.Spread = verdict, text, none, none
	return c
}

func counted(before, after int) string {
	if before == after {
		return fmt.Sprintf("%d putts each", before)
	}
	return fmt.Sprintf("%d and %d putts", before, after)
}

// spreadRatio is how the spread changed, with the interval of Fisher's F: with
// three putts each it reaches from a sixth to six times.
func spreadRatio(b, a Spread, sb, sa float64) Measure {
	if !(sb > 0) || !(sa > 0) {
		return MeasureOf(missing(a.ID, "a set has no spread"))
	}
	f := distuv.F{D1: float64(a.Putts - 1), D2: float64(b.Putts - 1)}
	r := sa / sb
	return MeasureOf(track.Measure{Value: r, Lo95: r / math.Sqrt(f.Quantile(0.975)), Hi95: r / math.Sqrt(f.Quantile(0.025)), Unit: "1", Status: track.Measured, How: "SD after : SD before"})
}

// neededPutts is the smallest number of putts before and after with which a
// change of this size would lie outside its interval if the spreads stay as they
// are; 0 when more than anybody films.
func neededPutts(change, sb, sa, shared float64) int {
	for n := 3; n <= mostPutts; n++ {
		if math.Hypot(student(float64(2*n-2))*math.Sqrt((sb*sb+sa*sa)/float64(n)), shared) < change {
			return n
		}
	}
	return 0
}
