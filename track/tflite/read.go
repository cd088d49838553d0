package tflite

import "fmt"

// Types of tensors, by their numbers in the file.
const (
	float32Type = 0
	float16Type = 1
	int32Type   = 2
)

// Operators, by their numbers in the file.
const (
	opAdd            = 0
	opConcatenation  = 2
	opConv           = 3
	opDepthwise      = 4
	opDepthToSpace   = 5
	opDequantize     = 6
	opLogistic       = 14
	opMaxPool        = 17
	opReshape        = 22
	opResizeBilinear = 23
	opPad            = 34
	opDensify        = 124
)

type tensor struct {
	name  string
	shape []int
	kind  int
	data  []byte // of a constant
	spare table  // how a sparse constant is stored
}

func (t tensor) size() int {
	n := 1
	for _, d := range t.shape {
		n *= d
	}
	return n
}

type operator struct {
	code    int
	inputs  []int
	outputs []int
	options table
}

type network struct {
	tensors   []tensor
	operators []operator
	inputs    []int
	outputs   []int
}

// mostElements bounds a tensor: the largest of a body model has a few million.
const mostElements = 1 << 24

// read lists what a file holds.
func read(file []byte) (*network, error) {
	f := &flat{b: file}
	if len(file) < 8 || string(f.bytes(4, 4)) != "TFL3" {
		return nil, fmt.Errorf("reading a network: this is no .tflite file")
	}
	model := table{f, f.i32(0)}
	codes, graphs, buffers := model.tables(1), model.tables(2), model.tables(4)
	if f.err == nil && len(graphs) != 1 {
		return nil, fmt.Errorf("reading a network: it must have one graph (got %d)", len(graphs))
	}
	if f.err != nil {
		return nil, fmt.Errorf("reading a network: %w", f.err)
	}
	n := &network{inputs: graphs[0].few(1), outputs: graphs[0].few(2)}
	for _, t := range graphs[0].tables(0) {
		x := tensor{name: t.text(3), shape: t.few(0), kind: t.byte(1, float32Type), spare: t.table(6)}
		size := 1
		for _, d := range x.shape {
			if d < 1 || d > mostElements || size > mostElements/d {
				return nil, fmt.Errorf("reading a network: tensor %q has no usable shape %v", x.name, x.shape)
			}
			size *= d
		}
		if b := t.int(2, 0); b > 0 && b < len(buffers) {
			x.data = buffers[b].data(0)
		}
		n.tensors = append(n.tensors, x)
	}
	for _, t := range graphs[0].tables(3) {
		o := operator{inputs: t.few(1), outputs: t.few(2), options: t.table(4)}
		i := t.int(0, 0)
		if i < 0 || i >= len(codes) {
			return nil, fmt.Errorf("reading a network: operator of kind %d of %d: %w", i, len(codes), errDamaged)
		}
		// Old files keep the code in a byte, later ones in a field of its own.
		o.code = max(codes[i].byte(0, 0), codes[i].int(3, 0))
		n.operators = append(n.operators, o)
	}
	if f.err != nil {
		return nil, fmt.Errorf("reading a network: %w", f.err)
	}
	return n, n.check()
}

// check makes sure that every number of a tensor is one.
func (n *network) check() error {
	lists := [][]int{n.inputs, n.outputs}
	for _, o := range n.operators {
		lists = append(lists, o.inputs, o.outputs)
		if len(o.outputs) != 1 || len(o.inputs) == 0 {
			return fmt.Errorf("reading a network: operator %d has %d inputs and %d outputs", o.code, len(o.inputs), len(o.outputs))
		}
	}
	for _, l := range lists {
		for _, i := range l {
			if i < 0 || i >= len(n.tensors) {
				return fmt.Errorf("reading a network: tensor %d of %d: %w", i, len(n.tensors), errDamaged)
			}
		}
	}
	return nil
}
