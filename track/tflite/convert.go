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

// picture checks that a tensor has four dimensions.
func (w *writer) picture(i int) ([]int, error) {
	if s := w.tensors[i].shape; len(s) == 4 {
		return s, nil
	}
	return nil, fmt.Errorf("tensor %q should be a picture, its shape is %v", w.tensors[i].name, w.tensors[i].shape)
}

// margins are what is added before and after a side so that a filter fits as
// often as the result is long.
func margins(in, out, kernel, stride, dilation int) (before, after int) {
	total := max(0, (out-1)*stride+(kernel-1)*dilation+1-in)
	return total / 2, total - total/2
}

func (w *writer) convolution(o operator) error {
	if len(o.inputs) < 3 {
		return fmt.Errorf("it has no weights or no bias")
	}
	from, err := w.picture(o.inputs[0])
	if err != nil {
		return err
	}
	to, err := w.picture(o.outputs[0])
	if err != nil {
		return err
	}
	shape, err := w.picture(o.inputs[1])
	if err != nil {
		return err
	}
	weights, err := w.constant(o.inputs[1])
	if err != nil {
		return err
	}
	bias, err := w.constant(o.inputs[2])
	if err != nil {
		return err
	}
	group, activation, dilate := 1, 3, 4
	if o.code == opDepthwise {
		group, activation, dilate = from[3], 4, 5
		weights, shape = depthFirst(weights, shape)
	} else {
		weights, shape = channelsFirst(weights, shape)
	}
	stride := []int{o.options.int(2, 1), o.options.int(1, 1)}
	dilation := []int{o.options.int(dilate+1, 1), o.options.int(dilate, 1)}
	top, bottom := margins(from[1], to[1], shape[2], stride[0], dilation[0])
	left, right := margins(from[2], to[2], shape[3], stride[1], dilation[1])
	weightName, biasName := w.fresh(), w.fresh()
	w.graph.message(5, floats(weightName, shape, weights))
	w.graph.message(5, floats(biasName, []int{len(bias)}, bias))
	kind := o.options.byte(activation, noActivation)
	own, err := w.activated(kind, w.name(o.outputs[0]))
	if err != nil {
		return err
	}
	w.node("Conv", []string{w.name(o.inputs[0]), weightName, biasName}, own, attribute{"kernel_shape", shape[2:]},
		attribute{"strides", stride}, attribute{"dilations", dilation}, attribute{"group", group}, attribute{"pads", []int{top, left, bottom, right}})
	w.activate(kind, own, w.name(o.outputs[0]))
	return nil
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

func (w *writer) add(o operator) error {
	if len(o.inputs) != 2 {
		return fmt.Errorf("it adds %d things", len(o.inputs))
	}
	var names []string
	for _, i := range o.inputs {
		if !w.isConstant(i) {
			names = append(names, w.name(i))
			continue
		}
		v, err := w.constant(i)
		if err != nil {
			return err
		}
		name := w.fresh()
		w.graph.message(5, floats(name, []int{1, len(v), 1, 1}, v))
		names = append(names, name)
	}
	kind := o.options.byte(0, noActivation)
	own, err := w.activated(kind, w.name(o.outputs[0]))
	if err != nil {
		return err
	}
	w.node("Add", names, own)
	w.activate(kind, own, w.name(o.outputs[0]))
	return nil
}

func (w *writer) pad(o operator) error {
	if len(o.inputs) != 2 {
		return fmt.Errorf("it has no margins")
	}
	p, err := w.tensors[o.inputs[1]].integers()
	if err != nil {
		return err
	}
	if len(p) != 8 {
		return fmt.Errorf("it has %d margins", len(p))
	}
	pads := w.fresh()
	// Before and after of batch, height, width, channels become all befores, then
	// all afters, channels second.
	w.graph.message(5, integers(pads, []int{p[0], p[6], p[2], p[4], p[1], p[7], p[3], p[5]}))
	w.node("Pad", []string{w.name(o.inputs[0]), pads}, w.name(o.outputs[0]), attribute{"mode", "constant"})
	return nil
}

func (w *writer) pool(o operator) error {
	from, err := w.picture(o.inputs[0])
	if err != nil {
		return err
	}
	to, err := w.picture(o.outputs[0])
	if err != nil {
		return err
	}
	stride, kernel := []int{o.options.int(2, 1), o.options.int(1, 1)}, []int{o.options.int(4, 1), o.options.int(3, 1)}
	top, bottom := margins(from[1], to[1], kernel[0], stride[0], 1)
	left, right := margins(from[2], to[2], kernel[1], stride[1], 1)
	w.node("MaxPool", []string{w.name(o.inputs[0])}, w.name(o.outputs[0]), attribute{"kernel_shape", kernel},
		attribute{"strides", stride}, attribute{"pads", []int{top, left, bottom, right}})
	return nil
}

func (w *writer) resize(o operator) error {
	from, err := w.picture(o.inputs[0])
	if err != nil {
		return err
	}
	to, err := w.picture(o.outputs[0])
	if err != nil {
		return err
	}
	if o.options.byte(2, 0) != 0 {
		return fmt.Errorf("it aligns corners, which is not known")
	}
	mode := "asymmetric"
	if o.options.byte(3, 0) != 0 {
		mode = "half_pixel"
	}
	scales := w.fresh()
	w.graph.message(5, floats(scales, []int{4}, []float32{1, 1, float32(to[1]) / float32(from[1]), float32(to[2]) / float32(from[2])}))
	w.node("Resize", []string{w.name(o.inputs[0]), scales}, w.name(o.outputs[0]), attribute{"mode", "linear"}, attribute{"coordinate_transformation_mode", mode})
	return nil
}

// reshape flattens a picture, whose channels must be last again for that.
func (w *writer) reshape(o operator) error {
	from, to := w.tensors[o.inputs[0]], w.tensors[o.outputs[0]]
	if from.size() != to.size() || len(to.shape) == 4 {
		return fmt.Errorf("from %v to %v is not known", from.shape, to.shape)
	}
	name := w.name(o.inputs[0])
	if len(from.shape) == 4 {
		last := w.fresh()
		w.node("Transpose", []string{name}, last, attribute{"perm", []int{0, 2, 3, 1}})
		name = last
	}
	shape := w.fresh()
	w.graph.message(5, integers(shape, to.shape))
	w.node("Reshape", []string{name, shape}, w.name(o.outputs[0]))
	return nil
}

func (w *writer) concatenation(o operator) error {
	axis, rank := o.options.int(0, 0), len(w.tensors[o.outputs[0]].shape)
	if axis < 0 {
		axis += rank
	}
	if axis < 0 || axis >= rank {
		return fmt.Errorf("axis %d of %d", axis, rank)
	}
	if rank == 4 {
		axis = []int{0, 2, 3, 1}[axis]
	}
	var names []string
	for _, i := range o.inputs {
		names = append(names, w.name(i))
	}
	w.node("Concat", names, w.name(o.outputs[0]), attribute{"axis", axis})
	return nil
}
