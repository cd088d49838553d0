package tflite

import (
	"fmt"
	"slices"
	"strconv"
)

// Convert turns a network into ONNX. Outputs names those that are wanted, as the
// file names them; operators that only serve others are left out.
func Convert(file []byte, outputs ...string) ([]byte, error) {
	n, err := read(file)
	if err != nil {
		return nil, err
	}
	w := &writer{network: n, constants: map[int][]float32{}}
	if err := w.graphOf(outputs); err != nil {
		return nil, fmt.Errorf("converting a network: %w", err)
	}
	var model, opset message
	model.varint(1, 6)
	opset.text(1, "")
	opset.varint(2, 11)
	model.message(7, w.graph)
	model.message(8, opset)
	return model.b, nil
}

// writer writes the graph of one network.
type writer struct {
	*network
	graph     message
	constants map[int][]float32
	extra     int
}

func (w *writer) graphOf(outputs []string) error {
	wanted := map[int]bool{}
	w.graph.text(2, "network")
	for _, name := range outputs {
		i := slices.IndexFunc(w.outputs, func(i int) bool { return w.tensors[i].name == name })
		if i < 0 {
			return fmt.Errorf("it has no output %q", name)
		}
		wanted[w.outputs[i]] = true
	}
	for i := len(w.operators) - 1; i >= 0; i-- {
		if o := w.operators[i]; wanted[o.outputs[0]] {
			for _, in := range o.inputs {
				wanted[in] = true
			}
		}
	}
	for _, i := range w.inputs {
		w.graph.message(11, value(w.name(i), turned(w.tensors[i].shape)))
	}
	for i, o := range w.operators {
		if !wanted[o.outputs[0]] {
			continue
		}
		if err := w.operator(o); err != nil {
			return fmt.Errorf("operator %d (kind %d, %q): %w", i, o.code, w.tensors[o.outputs[0]].name, err)
		}
	}
	for _, name := range outputs {
		i := w.outputs[slices.IndexFunc(w.outputs, func(i int) bool { return w.tensors[i].name == name })]
		w.graph.message(12, value(w.name(i), turned(w.tensors[i].shape)))
	}
	return nil
}

// turned moves the channels of a picture's shape from last to second.
func turned(shape []int) []int {
	if len(shape) != 4 {
		return shape
	}
	return []int{shape[0], shape[3], shape[1], shape[2]}
}

// name is a tensor's name in the graph. Wanted outputs keep their own.
func (w *writer) name(i int) string {
	if slices.Contains(w.outputs, i) {
		return w.tensors[i].name
	}
	return "t" + strconv.Itoa(i)
}

func (w *writer) fresh() string {
	w.extra++
	return "x" + strconv.Itoa(w.extra)
}

func (w *writer) node(op string, inputs []string, output string, a ...attribute) {
	w.graph.message(1, node(op, inputs, output, a...))
}

// constant is the values of a tensor that does not depend on the input.
func (w *writer) constant(i int) ([]float32, error) {
	if v, ok := w.constants[i]; ok {
		return v, nil
	}
	if w.tensors[i].data == nil {
		return nil, fmt.Errorf("tensor %q should be a constant", w.tensors[i].name)
	}
	return w.tensors[i].floats()
}

func (w *writer) isConstant(i int) bool {
	_, known := w.constants[i]
	return known || w.tensors[i].data != nil
}

// activations after an operator, by their numbers in the file.
const (
	noActivation = 0
	relu         = 1
	relu6        = 3
)

// activated writes an operator's activation, and returns the name its own result
// must have.
func (w *writer) activated(kind int, output string) (string, error) {
	switch kind {
	case noActivation:
		return output, nil
	case relu, relu6:
		return w.fresh(), nil
	}
	return "", fmt.Errorf("activation %d is not known", kind)
}

func (w *writer) activate(kind int, from, output string) {
	switch kind {
	case relu:
		w.node("Relu", []string{from}, output)
	case relu6:
		w.node("Clip", []string{from}, output, attribute{"min", float32(0)}, attribute{"max", float32(6)})
	}
}

func (w *writer) operator(o operator) error {
	in, out := o.inputs[0], o.outputs[0]
	switch o.code {
	case opDequantize, opDensify:
		v, err := w.constant(in)
		if err == nil && len(v) != w.tensors[out].size() {
			err = fmt.Errorf("%d values for shape %v", len(v), w.tensors[out].shape)
		}
		w.constants[out] = v
		return err
	case opConv, opDepthwise:
		return w.convolution(o)
	case opAdd:
		return w.add(o)
	case opLogistic:
		w.node("Sigmoid", []string{w.name(in)}, w.name(out))
		return nil
	case opPad:
		return w.pad(o)
	case opMaxPool:
		return w.pool(o)
	case opResizeBilinear:
		return w.resize(o)
	case opDepthToSpace:
		w.node("DepthToSpace", []string{w.name(in)}, w.name(out), attribute{"blocksize", o.options.int(0, 0)}, attribute{"mode", "DCR"})
		return nil
	case opReshape:
		return w.reshape(o)
	case opConcatenation:
		return w.concatenation(o)
	}
	return fmt.Errorf("this operator is not known")
}
