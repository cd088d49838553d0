package tflite

import (
	"encoding/binary"
	"fmt"
	"math"
)

// floats returns a constant's values.
func (t tensor) floats() ([]float32, error) {
	width := map[int]int{float32Type: 4, float16Type: 2}[t.kind]
	if width == 0 {
		return nil, fmt.Errorf("weights %q are of type %d, which is not known", t.name, t.kind)
	}
	if len(t.data)%width != 0 {
		return nil, fmt.Errorf("weights %q: %w", t.name, errDamaged)
	}
	out := make([]float32, len(t.data)/width)
	for i := range out {
		if width == 4 {
			out[i] = math.Float32frombits(binary.LittleEndian.Uint32(t.data[4*i:]))
		} else {
			out[i] = half(binary.LittleEndian.Uint16(t.data[2*i:]))
		}
	}
	if t.spare.at >= 0 {
		return t.densified(out)
	}
	if len(out) != t.size() {
		return nil, fmt.Errorf("weights %q: %d values for shape %v", t.name, len(out), t.shape)
	}
	return out, nil
}

// half is a half-precision number (IEEE 754-2008, binary16).
func half(h uint16) float32 {
	sign, exponent, fraction := uint32(h>>15)<<31, uint32(h>>10)&31, uint32(h)&1023
	switch exponent {
	case 0:
		v := float32(fraction) / (1 << 24)
		if sign != 0 {
			v = -v
		}
		return v
	case 31:
		return math.Float32frombits(sign | 255<<23 | fraction<<13)
	}
	return math.Float32frombits(sign | (exponent+112)<<23 | fraction<<13)
}

func (t tensor) integers() ([]int, error) {
	if t.kind != int32Type || len(t.data) != 4*t.size() {
		return nil, fmt.Errorf("numbers %q: %w", t.name, errDamaged)
	}
	out := make([]int, t.size())
	for i := range out {
		out[i] = int(int32(binary.LittleEndian.Uint32(t.data[4*i:])))
	}
	return out, nil
}

// sparse is how the values of a sparse tensor are laid out: level by level,
// each either with all its places or with a list of those that hold something.
type sparse struct {
	order    []int // dimension of each level; those beyond the rank are of blocks
	blockMap []int // dimension that a block divides
	size     []int // places of a full level
	segments [][]int
	indices  [][]int
	full     []bool
}

func (t tensor) sparsity() (sparse, error) {
	s := sparse{order: t.spare.few(0), blockMap: t.spare.few(1)}
	for _, level := range t.spare.tables(2) {
		s.full = append(s.full, level.byte(0, 0) == 0)
		s.size = append(s.size, level.int(1, 0))
		s.segments = append(s.segments, indexList(level, 2))
		s.indices = append(s.indices, indexList(level, 4))
	}
	rank := len(t.shape)
	bad := len(s.order) != len(s.full) || len(s.order) != rank+len(s.blockMap) || t.spare.f.err != nil
	for i, d := range s.order {
		bad = bad || d < 0 || (i < rank) != (d < rank) || d >= len(s.order)
	}
	for _, d := range s.blockMap {
		bad = bad || d < 0 || d >= rank
	}
	if bad {
		return s, fmt.Errorf("weights %q are stored in an unknown way: %w", t.name, errDamaged)
	}
	return s, nil
}

// indexList reads one of the three widths in which a list of places is stored.
func indexList(t table, i int) []int {
	list := t.table(i + 1)
	switch t.byte(i, 0) {
	case 1:
		return list.ints(0)
	case 2:
		at, n := list.vector(0, 2)
		out := make([]int, n)
		for k := range out {
			out[k] = t.f.u16(at + 2*k)
		}
		return out
	case 3:
		var out []int
		for _, b := range list.data(0) {
			out = append(out, int(b))
		}
		return out
	}
	return nil
}

// stepsEach is how many levels a value may take to its place.
const stepsEach = 16

// densified puts the stored values in their places.
func (t tensor) densified(values []float32) ([]float32, error) {
	s, err := t.sparsity()
	if err != nil {
		return nil, err
	}
	out := make([]float32, t.size())
	place := make([]int, len(s.order))
	next, steps := 0, 0
	var fill func(level, before int) bool
	put := func() bool {
		at := make([]int, len(t.shape))
		for i, p := range place {
			if d := s.order[i]; d < len(t.shape) {
				at[d] = p
			} else {
				at[s.blockMap[d-len(t.shape)]] = at[s.blockMap[d-len(t.shape)]]*s.size[i] + p
			}
		}
		flat := 0
		for d, p := range at {
			if p < 0 || p >= t.shape[d] {
				return false
			}
			flat = flat*t.shape[d] + p
		}
		if next >= len(values) {
			return false
		}
		out[flat] = values[next]
		next++
		return true
	}
	fill = func(level, before int) bool {
		if steps++; steps > stepsEach*(len(out)+len(place)) {
			return false // levels that lead nowhere
		}
		if level == len(place) {
			return put()
		}
		if s.full[level] {
			for i := range s.size[level] {
				if place[level] = i; !fill(level+1, before*s.size[level]+i) {
					return false
				}
			}
			return true
		}
		seg := s.segments[level]
		if before+1 >= len(seg) || seg[before] < 0 || seg[before+1] > len(s.indices[level]) {
			return false
		}
		for i := seg[before]; i < seg[before+1]; i++ {
			if place[level] = s.indices[level][i]; !fill(level+1, i) {
				return false
			}
		}
		return true
	}
	if !fill(0, 0) {
		return nil, fmt.Errorf("weights %q: a value has no place: %w", t.name, errDamaged)
	}
	return out, nil
}

// channelsFirst turns weights from output, height, width, input to output,
// input, height, width.
func channelsFirst(v []float32, s []int) ([]float32, []int) {
	out := make([]float32, len(v))
	o, h, wd, in := s[0], s[1], s[2], s[3]
	for i := range v {
		c, rest := i%in, i/in
		x, rest := rest%wd, rest/wd
		y, k := rest%h, rest/h
		out[((k*in+c)*h+y)*wd+x] = v[i]
	}
	return out, []int{o, in, h, wd}
}

// depthFirst turns weights from 1, height, width, channels to channels, 1,
// height, width.
func depthFirst(v []float32, s []int) ([]float32, []int) {
	out := make([]float32, len(v))
	h, wd, ch := s[1], s[2], s[3]
	for i := range v {
		c, rest := i%ch, i/ch
		out[c*h*wd+rest%(h*wd)] = v[i]
	}
	return out, []int{ch, 1, h, wd}
}
