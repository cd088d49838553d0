// Package tflite turns a neural network stored as a .tflite file into an ONNX
// graph, which the picture library can run.
//
// # The idea
//
// A .tflite file is a FlatBuffer: tables of offsets (flat.go). What is needed of
// it is the list of operators, their tensors and the weights (read.go); weights
// stored as half floats or sparsely are expanded (weights.go). Activations are
// stored with the channels last there and first in ONNX, so every operator is
// written anew with its weights and axes turned (convert.go), as protocol buffer
// messages (proto.go). Nothing is kept on disk.
//
// # Units
//
// None; shapes are batch, height, width, channels on the way in and batch,
// channels, height, width on the way out.
//
// # What it refuses
//
// An operator, type or padding it does not know, and any offset or length that
// points outside the file: the error names it. It never panics on a damaged file.
package tflite
