package tflite

import (
	"encoding/binary"
	"errors"
	"fmt"
)

// errDamaged is wrapped by every error about an offset that leads nowhere.
var errDamaged = errors.New("the file is damaged")

// flat reads a FlatBuffer. The first bad offset is kept and everything read
// after it is zero, so that callers check once.
type flat struct {
	b   []byte
	err error
}

func (f *flat) fail(what string, at int) {
	if f.err == nil {
		f.err = fmt.Errorf("%w: %s at byte %d", errDamaged, what, at)
	}
}

// bytes returns n bytes at a place, nil when they are not there.
func (f *flat) bytes(at, n int) []byte {
	if f.err != nil || at < 0 || n < 0 || at > len(f.b) || n > len(f.b)-at {
		f.fail("a value lies outside", at)
		return nil
	}
	return f.b[at : at+n]
}

func (f *flat) u8(at int) int {
	if b := f.bytes(at, 1); b != nil {
		return int(b[0])
	}
	return 0
}

func (f *flat) u16(at int) int {
	if b := f.bytes(at, 2); b != nil {
		return int(binary.LittleEndian.Uint16(b))
	}
	return 0
}

func (f *flat) i32(at int) int {
	if b := f.bytes(at, 4); b != nil {
		return int(int32(binary.LittleEndian.Uint32(b)))
	}
	return 0
}

// table is a table at a place; -1 is a missing one, all of whose fields are
// missing.
type table struct {
	f  *flat
	at int
}

// field returns where a field is stored, -1 when it has its default.
func (t table) field(i int) int {
	if t.at < 0 || t.f.err != nil {
		return -1
	}
	v := t.at - t.f.i32(t.at)
	size := t.f.u16(v)
	if 4+2*i+2 > size {
		return -1
	}
	if off := t.f.u16(v + 4 + 2*i); off != 0 {
		return t.at + off
	}
	return -1
}

func (t table) int(i, missing int) int {
	if at := t.field(i); at >= 0 {
		return t.f.i32(at)
	}
	return missing
}

func (t table) byte(i, missing int) int {
	if at := t.field(i); at >= 0 {
		return t.f.u8(at)
	}
	return missing
}

// follow returns where a field's offset points to, -1 when it is missing.
func (t table) follow(i int) int {
	at := t.field(i)
	if at < 0 {
		return -1
	}
	return at + t.f.i32(at)
}

func (t table) table(i int) table { return table{t.f, t.follow(i)} }

// vector returns where a vector's elements begin and how many there are.
func (t table) vector(i, size int) (at, n int) {
	at = t.follow(i)
	if at < 0 {
		return 0, 0
	}
	n = t.f.i32(at)
	if n < 0 || n > len(t.f.b)/size {
		t.f.fail("a list is too long", at)
		return 0, 0
	}
	if t.f.bytes(at+4, n*size) == nil {
		return 0, 0
	}
	return at + 4, n
}

func (t table) ints(i int) []int {
	at, n := t.vector(i, 4)
	out := make([]int, n)
	for k := range out {
		out[k] = t.f.i32(at + 4*k)
	}
	return out
}

// few reads a list that is short in any sound file, so that a damaged one whose
// lists share their bytes does not take for ever.
func (t table) few(i int) []int {
	if _, n := t.vector(i, 4); n > mostListed {
		t.f.fail("a list is too long", t.at)
		return nil
	}
	return t.ints(i)
}

const (
	// mostListed bounds shapes and the inputs of an operator.
	mostListed = 256
	// mostName bounds names, which tools put together from those of many layers.
	mostName = 1 << 14
)

func (t table) data(i int) []byte {
	at, n := t.vector(i, 1)
	if n == 0 {
		return nil
	}
	return t.f.bytes(at, n)
}

func (t table) text(i int) string {
	b := t.data(i)
	if len(b) > mostName {
		t.f.fail("a name is too long", t.at)
		return ""
	}
	return string(b)
}

func (t table) tables(i int) []table {
	at, n := t.vector(i, 4)
	out := make([]table, n)
	for k := range out {
		out[k] = table{t.f, at + 4*k + t.f.i32(at+4*k)}
	}
	return out
}
