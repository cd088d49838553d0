package tflite

import "encoding/binary"

// fields is a FlatBuffer table being written: numbers, texts, lists and other
// tables by field.
type fields map[int]any

// build writes a file whose root is the given table.
func build(root fields) []byte {
	b := &builder{b: []byte{0, 0, 0, 0, 'T', 'F', 'L', '3'}}
	at := b.table(root)
	binary.LittleEndian.PutUint32(b.b, uint32(at))
	return b.b
}

type builder struct{ b []byte }

func (b *builder) i32(v int) { b.b = binary.LittleEndian.AppendUint32(b.b, uint32(int32(v))) }

func (b *builder) align() {
	for len(b.b)%4 != 0 {
		b.b = append(b.b, 0)
	}
}

// table writes a table, every field four bytes wide, and then what it points to.
func (b *builder) table(t fields) int {
	b.align()
	most := -1
	for i := range t {
		most = max(most, i)
	}
	vtable := len(b.b)
	b.b = binary.LittleEndian.AppendUint16(b.b, uint16(4+2*(most+1)))
	b.b = binary.LittleEndian.AppendUint16(b.b, uint16(4+4*(most+1)))
	for i := range most + 1 {
		place := 0
		if _, ok := t[i]; ok {
			place = 4 + 4*i
		}
		b.b = binary.LittleEndian.AppendUint16(b.b, uint16(place))
	}
	b.align()
	at := len(b.b)
	b.i32(at - vtable)
	for i := range most + 1 {
		v, _ := t[i].(int)
		b.i32(v)
	}
	for i := range most + 1 {
		if v, ok := t[i]; ok {
			if _, number := v.(int); !number {
				field := at + 4 + 4*i
				target := b.value(v)
				binary.LittleEndian.PutUint32(b.b[field:], uint32(target-field))
			}
		}
	}
	return at
}

func (b *builder) value(v any) int {
	b.align()
	at := len(b.b)
	switch v := v.(type) {
	case fields:
		return b.table(v)
	case string:
		b.i32(len(v))
		b.b = append(b.b, v...)
	case []byte:
		b.i32(len(v))
		b.b = append(b.b, v...)
	case []int:
		b.i32(len(v))
		for _, x := range v {
			b.i32(x)
		}
	case []fields:
		b.i32(len(v))
		first := len(b.b)
		for range v {
			b.i32(0)
		}
		for i, t := range v {
			place := first + 4*i
			target := b.table(t)
			binary.LittleEndian.PutUint32(b.b[place:], uint32(target-place))
		}
	}
	return at
}

// halves are numbers as half floats; only small whole numbers.
func halves(v ...int) []byte {
	bits := map[int]uint16{0: 0, 1: 0x3C00, 2: 0x4000, 3: 0x4200, 4: 0x4400, 5: 0x4500, 6: 0x4600, -1: 0xBC00}
	var out []byte
	for _, x := range v {
		out = binary.LittleEndian.AppendUint16(out, bits[x])
	}
	return out
}

// small is a network of one convolution whose weights are half floats.
func small() []byte {
	return build(fields{
		1: []fields{{0: opConv}, {0: opDequantize}},
		2: []fields{{
			0: []fields{
				{0: []int{1, 4, 4, 2}, 3: "in"},
				{0: []int{3, 1, 1, 2}, 1: float16Type, 2: 1, 3: "half"},
				{0: []int{3, 1, 1, 2}, 3: "weights"},
				{0: []int{3}, 2: 2, 3: "bias"},
				{0: []int{1, 2, 2, 3}, 3: "out"},
			},
			1: []int{0}, 2: []int{4},
			3: []fields{
				{0: 1, 1: []int{1}, 2: []int{2}},
				{0: 0, 1: []int{0, 2, 3}, 2: []int{4}, 4: fields{0: 0, 1: 2, 2: 2, 3: relu6}},
			},
		}},
		4: []fields{{}, {0: halves(1, 2, 3, 4, 5, 6)}, {0: make([]byte, 12)}},
	})
}
