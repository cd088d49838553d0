package night

import (
	"fmt"
	"slices"
	"time"

	"strokereel/pipeline/sheet"
)

// assign gives a role to every clip that has none yet, by the order of
// recording, and says what was assumed.
//
// With neither a before nor an after named, the largest gap between recordings
// splits them, since in it the lesson was given. With one of the two named, a
// clip recorded later than all befores (or not before all afters) is the other.
// With both named, a clip is what the clip nearest in time is. Where the times
// are not sure, nothing is assumed; ok is false when that leaves a clip open.
func assign(clips []*planClip, sure bool) (assumed []string, ok bool) {
	ordered := slices.Clone(clips)
	slices.SortStableFunc(ordered, func(a, b *planClip) int { return a.Recorded.Compare(b.Recorded) })
	var open, named []*planClip
	for _, c := range ordered {
		switch c.Role {
		case "":
			open = append(open, c)
		case sheet.Before, sheet.After:
			named = append(named, c)
		}
	}
	switch {
	case len(open) == 0:
		return nil, true
	case !sure:
		return nil, len(open)+len(named) == 1
	case len(named) > 0:
		for _, c := range open {
			c.Role = byNeighbours(c, named)
			assumed = append(assumed, fmt.Sprintf("%s is taken for %s by its time of recording%s", plain(c.Name), article(c.Role), byFile(c)))
		}
		return assumed, true
	case len(open) == 1:
		return nil, true
	}
	at, gap := 1, time.Duration(-1)
	for k := 1; k < len(open); k++ {
		if d := open[k].Recorded.Sub(open[k-1].Recorded); d > gap {
			at, gap = k, d
		}
	}
	for k, c := range open {
		c.Role = sheet.Before
		if k >= at {
			c.Role = sheet.After
		}
	}
	return []string{fmt.Sprintf("before ends with %s, after begins with %s: the longest pause between recordings, %s, lies there%s",
		plain(open[at-1].Name), plain(open[at].Name), gap.Round(time.Second), byFile(open...))}, true
}

// byNeighbours finds a clip's role from the clips that have theirs, in order of
// recording.
func byNeighbours(c *planClip, named []*planClip) sheet.Role {
	both := slices.ContainsFunc(named, func(n *planClip) bool { return n.Role != named[0].Role })
	if !both {
		if named[0].Role == sheet.Before && c.Recorded.After(named[len(named)-1].Recorded) {
			return sheet.After
		}
		if named[0].Role == sheet.After && !c.Recorded.Before(named[0].Recorded) {
			return sheet.After
		}
		return sheet.Before
	}
	nearest := slices.MinFunc(named, func(a, b *planClip) int {
		return int(min(max(a.Recorded.Sub(c.Recorded).Abs()-b.Recorded.Sub(c.Recorded).Abs(), -1), 1))
	})
	return nearest.Role
}

func article(r sheet.Role) string {
	if r == sheet.After {
		return "an after clip"
	}
	return "a before clip"
}

// byFile warns where the time is only that of the file.
func byFile(clips ...*planClip) string {
	if slices.ContainsFunc(clips, func(c *planClip) bool { return c.RecordedFrom == "file" }) {
		return " (time of the file, the clip has none of its own)"
	}
	return ""
}

// byRole orders clips as they are shown: by role, then as they were recorded.
func byRole(a, b *planClip) int {
	rank := func(c *planClip) int {
		if k := slices.Index(sheet.Roles(), c.Role); k >= 0 {
			return k
		}
		return len(sheet.Roles())
	}
	if d := rank(a) - rank(b); d != 0 {
		return d
	}
	return a.Recorded.Compare(b.Recorded)
}
