package tflite

import "fmt"

// picture checks that a tensor has four dimensions.
func (w *writer) picture(i int) ([]int, error) {
	if s := w.tensors[i].shape; len(s) == 4 {
		return s, nil
	}
	return nil, fmt.Errorf("tensor %q should be a picture, its shape is %v", w.tensors[i].name, w.tensors[i].shape)
}

// pictures are the shapes of an operator's first input and its output.
func (w *writer) pictures(o operator) (from, to []int, err error) {
	if from, err = w.picture(o.inputs[0]); err != nil {
		return nil, nil, err
	}
	to, err = w.picture(o.outputs[0])
	return from, to, err
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
	from, to, err := w.pictures(o)
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
	from, to, err := w.pictures(o)
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
	from, to, err := w.pictures(o)
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
