package track

// Frame is one decoded picture as 4:2:0 planes, BT.709 limited range unless
// the clip says otherwise, upright.
//
// The planes belong to the reader and are overwritten by the next frame: copy
// what must outlive the call.
type Frame struct {
	Index         int
	T             float64 // s since the first frame's presentation time
	Key           bool    // coded by itself, not as a change of earlier pictures
	Width, Height int     // of Y; U and V have (Width+1)/2 x (Height+1)/2 samples
	Y, U, V       []byte  // row-major, no padding
}

// ChromaSize returns the width and height of the U and V planes.
func (f *Frame) ChromaSize() (w, h int) { return (f.Width + 1) / 2, (f.Height + 1) / 2 }
