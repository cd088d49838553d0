package qr

/*
#cgo CXXFLAGS: --std=c++11
#cgo pkg-config: opencv4
#include "detector.h"
*/
import "C"

import (
	"errors"
	"unsafe"

	"strokereel/track"
)

// longest text of a code that is taken, bytes.
const longest = 512

// shownModule is the size, px, to which modules are grown or shrunk for the
// detector: it reads best between 4 and 8.
const shownModule = 5.0

// Reader reads codes; it serves one goroutine at a time.
type Reader struct{ detector unsafe.Pointer }

// New makes a reader. The caller closes it.
func New() (*Reader, error) {
	d := C.qr_new()
	if d == nil {
		return nil, errors.New("no memory for a reader of codes")
	}
	return &Reader{d}, nil
}

// Close frees the reader.
func (r *Reader) Close() {
	C.qr_free(r.detector)
	r.detector = nil
}

// Read returns the text of a code in a picture, "" when none is made out.
func (r *Reader) Read(f *track.Frame) string {
	if f.Width < 1 || f.Height < 1 || len(f.Y) < f.Width*f.Height {
		return ""
	}
	for _, p := range places(f.Y[:f.Width*f.Height], f.Width) {
		if text := r.look(f, p); text != "" {
			return text
		}
	}
	return ""
}

// look shows a part of the picture to the detector.
func (r *Reader) look(f *track.Frame, p place) string {
	var out [longest]C.char
	first := p.area.Min.Y*f.Width + p.area.Min.X
	n := C.qr_read(r.detector, (*C.uchar)(unsafe.Pointer(&f.Y[first])), C.int(p.area.Dx()), C.int(p.area.Dy()),
		C.int(f.Width), C.double(min(shownModule/p.module, mostGrown)), &out[0], longest)
	return C.GoStringN(&out[0], n)
}

// mostGrown bounds how far a part is grown: nothing is won beyond.
const mostGrown = 4
