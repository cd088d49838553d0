package tflite

import (
	"encoding/binary"
	"math"
)

// message is a protocol buffer message being written (fields: onnx.proto of the
// ONNX project).
type message struct{ b []byte }

func (m *message) varint(field int, v int64) {
	m.b = binary.AppendUvarint(m.b, uint64(field)<<3)
	m.b = binary.AppendUvarint(m.b, uint64(v))
}

func (m *message) bytes(field int, v []byte) {
	m.b = binary.AppendUvarint(m.b, uint64(field)<<3|2)
	m.b = binary.AppendUvarint(m.b, uint64(len(v)))
	m.b = append(m.b, v...)
}

func (m *message) text(field int, v string)     { m.bytes(field, []byte(v)) }
func (m *message) message(field int, v message) { m.bytes(field, v.b) }

func (m *message) float(field int, v float32) {
	m.b = binary.AppendUvarint(m.b, uint64(field)<<3|5)
	m.b = binary.LittleEndian.AppendUint32(m.b, math.Float32bits(v))
}

// attribute is a named parameter of a node.
type attribute struct {
	name  string
	value any // int, []int, float32 or string
}

func (a attribute) message() message {
	var m message
	m.text(1, a.name)
	switch v := a.value.(type) {
	case int:
		m.varint(3, int64(v))
		m.varint(20, 2)
	case []int:
		for _, x := range v {
			m.varint(8, int64(x))
		}
		m.varint(20, 7)
	case float32:
		m.float(2, v)
		m.varint(20, 1)
	case string:
		m.text(4, v)
		m.varint(20, 3)
	}
	return m
}

func node(op string, inputs []string, output string, attributes ...attribute) message {
	var m message
	for _, in := range inputs {
		m.text(1, in)
	}
	m.text(2, output)
	m.text(3, op+" "+output)
	m.text(4, op)
	for _, a := range attributes {
		m.message(5, a.message())
	}
	return m
}

// floats is a constant tensor.
func floats(name string, shape []int, values []float32) message {
	var m message
	for _, d := range shape {
		m.varint(1, int64(d))
	}
	m.varint(2, 1)
	m.text(8, name)
	raw := make([]byte, 0, 4*len(values))
	for _, v := range values {
		raw = binary.LittleEndian.AppendUint32(raw, math.Float32bits(v))
	}
	m.bytes(9, raw)
	return m
}

func integers(name string, values []int) message {
	var m message
	m.varint(1, int64(len(values)))
	m.varint(2, 7)
	m.text(8, name)
	var raw []byte
	for _, v := range values {
		raw = binary.LittleEndian.AppendUint64(raw, uint64(v))
	}
	m.bytes(9, raw)
	return m
}

// value is the declaration of an input or output.
func value(name string, shape []int) message {
	var dims, tensor, kind, m message
	for _, d := range shape {
		var dim message
		dim.varint(1, int64(d))
		dims.message(1, dim)
	}
	tensor.varint(1, 1)
	tensor.message(2, dims)
	kind.message(1, tensor)
	m.text(1, name)
	m.message(2, kind)
	return m
}
