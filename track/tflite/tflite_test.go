package tflite

import (
	"bytes"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
)

func TestConvertTurnsAConvolution(t *testing.T) {
	got, err := Convert(small(), "out")
	if err != nil {
		t.Fatal(err)
	}
	// A 1x1 filter keeps its order when its channels move forward.
	weights := floats("x1", []int{3, 2, 1, 1}, []float32{1, 2, 3, 4, 5, 6})
	if !bytes.Contains(got, weights.b) {
		t.Error("the weights are missing or turned wrongly")
	}
	// 4 samples at stride 2 with a 1x1 filter need no margin.
	for name, part := range map[string]message{
		"strides": attribute{"strides", []int{2, 2}}.message(), "pads": attribute{"pads", []int{0, 0, 0, 0}}.message(),
		"activation": attribute{"max", float32(6)}.message(), "input": value("t0", []int{1, 2, 4, 4}), "output": value("out", []int{1, 3, 2, 2}),
	} {
		if !bytes.Contains(got, part.b) {
			t.Errorf("no such %s in the graph", name)
		}
	}
}

func TestConvertRefuses(t *testing.T) {
	unknown := bytes.Clone(small())
	for _, c := range []struct {
		name string
		file []byte
		out  string
		want string
	}{
		{"nothing", nil, "out", "no .tflite file"},
		{"another file", []byte("a film, not a network"), "out", "no .tflite file"},
		{"an output it does not have", unknown, "head", `no output "head"`},
		{"the first half of a file", small()[:len(small())/2], "out", "damaged"},
		{"an unknown operator", build(fields{1: []fields{{0: 99}}, 2: []fields{{0: []fields{{0: []int{1}, 3: "a"}, {0: []int{1}, 3: "b"}},
			1: []int{0}, 2: []int{1}, 3: []fields{{0: 0, 1: []int{0}, 2: []int{1}}}}}, 4: []fields{{}}}), "b", "kind 99"},
		{"a tensor that is not there", build(fields{1: []fields{{0: 0}}, 2: []fields{{0: []fields{{0: []int{1}, 3: "a"}},
			1: []int{0}, 2: []int{7}}}, 4: []fields{{}}}), "a", "tensor 7"},
		{"a shape below one", build(fields{1: []fields{{0: 0}}, 2: []fields{{0: []fields{{0: []int{-4, 2}, 3: "a"}}}}, 4: []fields{{}}}), "a", "no usable shape"},
	} {
		if _, err := Convert(c.file, c.out); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", c.name, err, c.want)
		}
	}
}

func TestHalf(t *testing.T) {
	for bits, want := range map[uint16]float64{0x3C00: 1, 0xC000: -2, 0x7BFF: 65504, 0x0001: math.Pow(2, -24), 0x3555: 0.333251953125, 0x8000: 0} {
		if got := float64(half(bits)); got != want {
			t.Errorf("%#04x: got %g, want %g", bits, got, want)
		}
	}
	if !math.IsInf(float64(half(0xFC00)), -1) || !math.IsNaN(float64(half(0x7E00))) {
		t.Error("infinity or no number is lost")
	}
}

// A matrix whose rows are full and whose columns are listed, as in a compressed
// sparse row: 1 and 2 in the first row, 3 in the last.
func TestSparseWeightsAreFilledIn(t *testing.T) {
	file := build(fields{0: fields{0: []int{0, 1}, 2: []fields{
		{0: 0, 1: 3},
		{0: 1, 2: 1, 3: fields{0: []int{0, 2, 2, 3}}, 4: 3, 5: fields{0: []byte{0, 3, 1}}},
	}}})
	f := &flat{b: file}
	w := tensor{name: "w", shape: []int{3, 4}, spare: table{f, f.i32(0)}.table(0)}
	got, err := w.densified([]float32{1, 2, 3})
	if err != nil || !slices.Equal(got, []float32{1, 0, 0, 2, 0, 0, 0, 0, 0, 3, 0, 0}) {
		t.Errorf("got %v (%v)", got, err)
	}
	if _, err := w.densified([]float32{1, 2}); !errors.Is(err, errDamaged) {
		t.Errorf("a value too few: got %v", err)
	}
	w.shape = []int{3, 2}
	if _, err := w.densified([]float32{1, 2, 3}); !errors.Is(err, errDamaged) {
		t.Errorf("a column that is not there: got %v", err)
	}
}

func TestWeightsAreTurned(t *testing.T) {
	// One output of 1 x 2 samples and 3 inputs.
	if got, shape := channelsFirst([]float32{1, 2, 3, 4, 5, 6}, []int{1, 1, 2, 3}); !slices.Equal(got, []float32{1, 4, 2, 5, 3, 6}) || !slices.Equal(shape, []int{1, 3, 1, 2}) {
		t.Errorf("got %v of shape %v", got, shape)
	}
	if got, shape := depthFirst([]float32{1, 2, 3, 4}, []int{1, 2, 1, 2}); !slices.Equal(got, []float32{1, 3, 2, 4}) || !slices.Equal(shape, []int{2, 1, 2, 1}) {
		t.Errorf("got %v of shape %v", got, shape)
	}
}

// "Same" margins put the odd sample after the picture (TensorFlow's rule).
func TestMargins(t *testing.T) {
	for _, c := range [][7]int{{224, 112, 3, 2, 1, 0, 1}, {56, 56, 5, 1, 1, 2, 2}, {4, 2, 1, 2, 1, 0, 0}, {10, 10, 3, 1, 2, 2, 2}} {
		if before, after := margins(c[0], c[1], c[2], c[3], c[4]); before != c[5] || after != c[6] {
			t.Errorf("%v: got %d and %d", c, before, after)
		}
	}
}

// A damaged file is an error, never a crash.
func FuzzConvert(f *testing.F) {
	f.Add(small())
	f.Add(small()[:60])
	f.Fuzz(func(t *testing.T, file []byte) {
		if len(file) > 1<<16 {
			return
		}
		if out, err := Convert(file, "out"); err == nil && len(out) == 0 {
			t.Error("neither a graph nor an error")
		}
	})
}
