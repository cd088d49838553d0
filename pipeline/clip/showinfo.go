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
	key           bool    // coded by itself
	width, height int
}

// stamps turns the log into stamps. The exact time is pts times the time base,
// which showinfo prints once per filter graph; its pts_time column is rounded
// to six digits. A new graph, made when pictures change size, counts from 0.
type stamps struct {
	base   Rate // s per tick, 0/0 before the first graph
	before int  // pictures of earlier graphs
	next   int  // index of the next picture
}

const showinfo = "[Parsed_showinfo_"

// read returns the stamp on a line, if the line carries one.
func (s *stamps) read(line string) (stamp, bool) {
	if !strings.HasPrefix(line, showinfo) {
		return stamp{}, false
	}
	if _, after, ok := strings.Cut(line, "config in time_base: "); ok {
		base, _, _ := strings.Cut(after, ",")
		s.base, s.before = ratio(base, "/"), s.next
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
	st := stamp{index: s.before + int(n)}
	if rest, ok = strings.CutPrefix(rest, " pts:"); !ok {
		return stamp{}, false
	}
	if pts, _, ok := number(rest); ok && s.base.Num > 0 {
		st.t, st.known = float64(pts)*float64(s.base.Num)/float64(s.base.Den), true
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
	st.key = strings.Contains(size, " iskey:1 ")
	s.next = st.index + 1
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
