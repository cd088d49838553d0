package clip

import (
	"math"
	"strconv"
	"strings"
)

// stamp is one picture as the log of ffmpeg's showinfo filter describes it.
type stamp struct {
	index         int
	t             float64 // s since the file's own zero
	known         bool    // false when the picture carries no time
	width, height int
}

// stamps turns the log into stamps. The exact time is pts times the time base,
// which showinfo prints once per filter graph; its pts_time column is rounded
// to six digits.
type stamps struct {
	base float64 // s per tick, 0 before the first graph
}

const showinfo = "[Parsed_showinfo_"

// read returns the stamp on a line, if the line carries one.
func (s *stamps) read(line string) (stamp, bool) {
	if !strings.HasPrefix(line, showinfo) {
		return stamp{}, false
	}
	if _, after, ok := strings.Cut(line, "config in time_base: "); ok {
		r := ratio(strings.TrimSuffix(strings.Fields(after + " .")[0], ","), "/")
		s.base = r.Float()
		return stamp{}, false
	}
	_, rest, ok := strings.Cut(line, "] n:")
	if !ok {
		return stamp{}, false
	}
	n, rest, ok := number(rest)
	if !ok || n < 0 || n > math.MaxInt32 {
		return stamp{}, false
	}
	st := stamp{index: int(n)}
	if rest, ok = strings.CutPrefix(rest, " pts:"); !ok {
		return stamp{}, false
	}
	if pts, _, ok := number(rest); ok && s.base > 0 {
		st.t, st.known = float64(pts)*s.base, true
	}
	_, size, ok := strings.Cut(rest, " s:")
	if !ok {
		return stamp{}, false
	}
	w, size, okW := number(size)
	h, _, okH := number(strings.TrimPrefix(size, "x"))
	if !okW || !okH || w <= 0 || h <= 0 || w > maxSideCoded || h > maxSideCoded {
		return stamp{}, false
	}
	st.width, st.height = int(w), int(h)
	return st, true
}

// number reads an integer after optional spaces and returns what follows it.
func number(s string) (v int64, rest string, ok bool) {
	s = strings.TrimLeft(s, " ")
	end := 0
	for end < len(s) && (s[end] >= '0' && s[end] <= '9' || end == 0 && s[end] == '-') {
		end++
	}
	v, err := strconv.ParseInt(s[:end], 10, 64)
	return v, s[end:], err == nil
}
