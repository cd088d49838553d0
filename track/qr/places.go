package qr

import (
	"cmp"
	"image"
	"math"
	"slices"
)

// place is where a code may be.
type place struct {
	area   image.Rectangle
	module float64 // px
}

const (
	// mostPlaces are looked at in one picture.
	mostPlaces = 4
	// leastContrast is between ink and paper of a finder pattern, levels.
	leastContrast = 24
	// leastModule is the smallest module, px, whose pattern the scan can tell.
	leastModule = 1.7
	// around is how far a code reaches beyond the middles of two of its finder
	// patterns, in modules: version 4 has 33 modules, 26 between the middles, and
	// its third pattern may lie on either side.
	around = 34
)

// finder is one of the three patterns that every code has in its corners: dark,
// light and dark in the ratio 1:1:3:1:1 along any line through its middle
// (ISO/IEC 18004, 5.3.2).
type finder struct {
	x, y, module float64 // px
	lines        int     // of the picture on which it was met
}

// places lists the parts of a grey picture in which a code may be: around pairs
// of finder patterns of like size at a code's distance.
func places(grey []byte, width int) []place {
	found := finders(grey, width)
	slices.SortStableFunc(found, func(a, b finder) int { return cmp.Compare(b.lines, a.lines) })
	whole := image.Rect(0, 0, width, len(grey)/width)
	var out []place
	for i, a := range found {
		for _, b := range found[i+1:] {
			m := (a.module + b.module) / 2
			apart := math.Hypot(a.x-b.x, a.y-b.y) / m
			if ratio := a.module / b.module; ratio < 0.6 || ratio > 1/0.6 || apart < 10 || apart > 42 {
				continue
			}
			middle := image.Pt(int((a.x+b.x)/2), int((a.y+b.y)/2))
			if slices.ContainsFunc(out, func(p place) bool { return middle.In(p.area) }) {
				continue
			}
			r := int(around * m)
			out = append(out, place{image.Rectangle{middle.Sub(image.Pt(r, r)), middle.Add(image.Pt(r, r))}.Intersect(whole), m})
			if len(out) == mostPlaces {
				return out
			}
		}
	}
	return out
}

// finders scans the rows of a grey picture for finder patterns.
func finders(grey []byte, width int) []finder {
	var out []finder
	height := len(grey) / width
	s := scan{grey: grey, width: width, height: height}
	// A card in the shade of a bright wall is told from it only near by, a large
	// pattern only from farther away.
	for y := range height {
		for _, share := range []int{24, 80} {
			s.row(y, max(width/share, 8))
			for k := 0; k+5 <= len(s.runs); k++ {
				if f, ok := s.pattern(y, s.runs[k:k+5]); ok {
					out = add(out, f)
				}
			}
		}
	}
	return slices.DeleteFunc(out, func(f finder) bool { return f.lines < 2 })
}

// add notes a pattern, or that one was met again.
func add(found []finder, f finder) []finder {
	for k, g := range found {
		if math.Hypot(f.x-g.x, f.y-g.y) < 3*max(f.module, g.module) {
			found[k].lines++
			return found
		}
	}
	return append(found, f)
}

// scan looks at one row after the other.
type scan struct {
	grey          []byte
	width, height int
	runs          []run
}

// run is a stretch of a row on one side of its local mean.
type run struct {
	dark     bool
	from, to int // px, to is beyond the last
}

func (r run) length() float64 { return float64(r.to - r.from) }
func (r run) middle() int     { return (r.from + r.to) / 2 }

// row splits a row into runs of pixels darker and lighter than the mean of those
// within reach.
func (s *scan) row(y, reach int) {
	row := s.grey[y*s.width : (y+1)*s.width]
	sum, n := 0, 0
	for x := 0; x < min(reach, s.width); x++ {
		sum, n = sum+int(row[x]), n+1
	}
	s.runs = s.runs[:0]
	for x, v := range row {
		if x+reach < s.width {
			sum, n = sum+int(row[x+reach]), n+1
		}
		if x-reach-1 >= 0 {
			sum, n = sum-int(row[x-reach-1]), n-1
		}
		dark := int(v)*n < sum
		if len(s.runs) == 0 || s.runs[len(s.runs)-1].dark != dark {
			s.runs = append(s.runs, run{dark, x, x})
		}
		s.runs[len(s.runs)-1].to = x + 1
	}
}

// pattern reports whether five runs are a finder pattern that is one upright as
// well.
func (s *scan) pattern(y int, r []run) (finder, bool) {
	if !r[0].dark {
		return finder{}, false
	}
	module := float64(r[4].to-r[0].from) / 7
	if module < leastModule || !likeFinder([5]float64{r[0].length(), r[1].length(), r[2].length(), r[3].length(), r[4].length()}) {
		return finder{}, false
	}
	x := r[2].middle()
	ink, paper := int(s.grey[y*s.width+x]), int(min(s.grey[y*s.width+r[1].middle()], s.grey[y*s.width+r[3].middle()]))
	if paper-ink < leastContrast {
		return finder{}, false
	}
	at, upright, ok := s.upright(x, y, (ink+paper)/2, 8*module)
	if !ok || upright < 0.6*module || upright > module/0.6 {
		return finder{}, false
	}
	return finder{float64(r[2].from+r[2].to) / 2, at, (module + upright) / 2, 1}, true
}

// upright follows the column through a pattern's middle from its dark heart to
// both sides.
func (s *scan) upright(x, y, level int, reach float64) (middle, module float64, ok bool) {
	var edges [2][3]int // of the heart, the light ring, the dark ring
	for side, step := range []int{-1, 1} {
		at, dark := y, true
		for ring := range 3 {
			for (int(s.grey[at*s.width+x]) < level) == dark {
				at += step
				if at < 0 || at >= s.height || math.Abs(float64(at-y)) > reach {
					return 0, 0, false
				}
			}
			edges[side][ring], dark = at, !dark
		}
	}
	up, down := edges[0], edges[1]
	lengths := [5]float64{float64(up[1] - up[2]), float64(up[0] - up[1]), float64(down[0] - up[0] - 1), float64(down[1] - down[0]), float64(down[2] - down[1])}
	return float64(up[0]+down[0]) / 2, float64(down[2]-up[2]-1) / 7, likeFinder(lengths)
}

// likeFinder compares five lengths with 1:1:3:1:1; blur moves every edge by up
// to a pixel.
func likeFinder(l [5]float64) bool {
	m := (l[0] + l[1] + l[2] + l[3] + l[4]) / 7
	for k, want := range [5]float64{1, 1, 3, 1, 1} {
		if math.Abs(l[k]-want*m) > 0.5*want*m+1 {
			return false
		}
	}
	return true
}
