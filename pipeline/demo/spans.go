package demo

// spans hold for every row of a picture one run of columns, lo to hi, empty
// where hi <= lo. Only rows from top to bottom may have one.
type spans struct {
	lo, hi      []int32
	top, bottom int
}

func newSpans(h int) spans {
	return spans{lo: make([]int32, h), hi: make([]int32, h), top: h}
}

// wholeSpans covers a picture.
func wholeSpans(w, h int) spans {
	s := newSpans(h)
	for y := range h {
		s.add(y, 0, w)
	}
	return s
}

// add widens row y so that it holds the columns lo to hi.
func (s *spans) add(y, lo, hi int) {
	if hi <= lo {
		return
	}
	if s.hi[y] <= s.lo[y] {
		s.lo[y], s.hi[y] = int32(lo), int32(hi)
	} else {
		s.lo[y], s.hi[y] = min(s.lo[y], int32(lo)), max(s.hi[y], int32(hi))
	}
	s.top, s.bottom = min(s.top, y), max(s.bottom, y+1)
}

// join adds every run of o.
func (s *spans) join(o *spans) {
	for y := o.top; y < o.bottom; y++ {
		lo, hi := o.row(y)
		s.add(y, lo, hi)
	}
}

func (s *spans) row(y int) (lo, hi int) { return int(s.lo[y]), int(s.hi[y]) }

func (s *spans) clear() {
	for y := s.top; y < s.bottom; y++ {
		s.lo[y], s.hi[y] = 0, 0
	}
	s.top, s.bottom = len(s.lo), 0
}

// grown writes to g the runs of s widened by n columns and rows, to whole
// blocks of bw columns and bh rows, inside a picture of width w.
func (s *spans) grown(g *spans, n, bw, bh, w int) {
	g.clear()
	h := len(s.lo)
	for y := s.top; y < s.bottom; y++ {
		lo, hi := s.row(y)
		if hi <= lo {
			continue
		}
		lo, hi = max(0, lo-n)/bw*bw, min(w, (hi+n+bw-1)/bw*bw)
		for r := max(0, y-n) / bh * bh; r < min(h, (y+n+bh)/bh*bh); r++ {
			g.add(r, lo, hi)
		}
	}
}
