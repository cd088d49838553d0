package night

import (
	"cmp"
	"fmt"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// filmed is a clip and what is known of when it was filmed.
type filmed struct {
	name string
	fact fact
}

const (
	// firstYear is before phones filmed putts at 60 frames/s; clocks that were never
	// set begin at years such as 1970, 2000 and 2004.
	firstYear = 2010
	// zones is how far clocks that are right may seem apart: a container may hold
	// local time and call it universal.
	zones = 26 * time.Hour
	// jitter is how far clips that follow each other may seem the wrong way round: a
	// container notes the beginning or the end.
	jitter = 5 * time.Second
	// wrapped is a jump of a phone's counter back to its beginning.
	wrapped = 1000
)

// doubts lists in words why the clips' times of recording cannot be trusted:
// each must agree with the file's own time, with the name, and with the order of
// the other names.
func doubts(clips []filmed, now time.Time) []string {
	var out []string
	own, file := 0, 0
	for _, c := range clips {
		if c.fact.RecordedFrom == "file" {
			file++
			continue
		}
		own++
		if d := c.doubt(now); d != "" {
			out = append(out, d)
		}
	}
	if own > 0 && file > 0 {
		out = append(out, fmt.Sprintf("%d of %d clips have no time of their own, only that of the file", file, own+file))
	}
	return append(out, crossed(clips)...)
}

// doubt compares a clip's clock with its file and its name.
func (c filmed) doubt(now time.Time) string {
	at := c.fact.Recorded
	written := time.Unix(0, c.fact.Modified)
	said := "the clock says that " + plain(c.name) + " was filmed on " + at.Format("2 January 2006")
	switch {
	case at.Year() < firstYear:
		return said + ": it was not set"
	case at.After(now.Add(zones)):
		return said + ", which is yet to come"
	case at.After(written.Add(zones)):
		return said + ", its file was written before, on " + written.Format("2 January 2006")
	}
	if named, ok := dateIn(c.name); ok && at.Sub(named).Abs() > zones {
		return said + ", its name another day"
	}
	return ""
}

var dated = regexp.MustCompile(`(20\d\d)[-_]?(\d\d)[-_]?(\d\d)`)

// dateIn finds the day that a name holds, at noon.
func dateIn(name string) (time.Time, bool) {
	for _, m := range dated.FindAllStringSubmatch(path.Base(name), -1) {
		if day, err := time.Parse("20060102", m[1]+m[2]+m[3]); err == nil {
			return day.Add(12 * time.Hour), true
		}
	}
	return time.Time{}, false
}

// counted is a name that holds a running number.
var counted = regexp.MustCompile(`^(.*?)(\d{3,})(\D*)$`)

// crossed finds clips whose running numbers and times contradict each other.
func crossed(clips []filmed) []string {
	type numbered struct {
		filmed
		number int
	}
	series := map[string][]numbered{}
	for _, c := range clips {
		m := counted.FindStringSubmatch(c.name)
		if m == nil || c.fact.RecordedFrom == "file" {
			continue
		}
		if n, err := strconv.Atoi(m[2]); err == nil {
			key := m[1] + "|" + strings.ToLower(m[3])
			series[key] = append(series[key], numbered{c, n})
		}
	}
	var out []string
	for _, key := range sorted(series) {
		s := series[key]
		slices.SortFunc(s, func(a, b numbered) int { return cmp.Compare(a.number, b.number) })
		for k := 1; k < len(s); k++ {
			a, b := s[k-1], s[k]
			if b.number-a.number < wrapped && a.fact.Recorded.Sub(b.fact.Recorded) > jitter {
				out = append(out, fmt.Sprintf("by their numbers %s comes before %s, by their clock after it", plain(a.name), plain(b.name)))
			}
		}
	}
	return out
}
