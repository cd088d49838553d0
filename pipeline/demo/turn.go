package demo

import (
	"encoding/binary"
	"errors"
	"fmt"
	"os"
)

// quarterTurn is the display matrix of a phone held upright: a player turns the
// picture a quarter clockwise (ISO/IEC 14496-12, track header box; the last
// row moves the turned picture back into view).
func quarterTurn(storedHeight int) [9]uint32 {
	const one = 1 << 16
	return [9]uint32{0, one, 0, 1<<32 - one, 0, 0, uint32(storedHeight) * one, 0, 1 << 30}
}

// turnClip writes the matrix into the track header of the video track, in
// place, as phones do.
func turnClip(path string, storedHeight int) error {
	b, err := os.ReadFile(path)
	if err != nil {
		return fmt.Errorf("marking the clip as upright: %w", err)
	}
	at, err := videoHeader(b)
	if err != nil {
		return fmt.Errorf("marking %q as upright: %w", path, err)
	}
	for i, v := range quarterTurn(storedHeight) {
		binary.BigEndian.PutUint32(b[at+4*i:], v)
	}
	if err := os.WriteFile(path, b, 0o644); err != nil {
		return fmt.Errorf("marking the clip as upright: %w", err)
	}
	return nil
}

// matrixOffset is where the matrix stands in a version 0 track header box.
const matrixOffset = 8 + 4 + 20 + 16

// videoHeader finds the matrix of the first track that has a width.
func videoHeader(b []byte) (int, error) {
	found := -1
	walkBoxes(b, 0, len(b), func(name string, from, to int) bool {
		if name == "tkhd" && found < 0 && b[from+8] == 0 {
			if at := from + matrixOffset; at+44 <= to && binary.BigEndian.Uint32(b[at+36:]) != 0 {
				found = at
			}
		}
		return name == "moov" || name == "trak"
	})
	if found < 0 {
		return 0, errors.New("no video track header")
	}
	return found, nil
}

// walkBoxes visits the boxes of an mp4 file and goes into those for which visit
// says so. Boxes with a 64-bit length are stepped over.
func walkBoxes(b []byte, from, to int, visit func(name string, from, to int) bool) {
	for from+8 <= to {
		size := int(binary.BigEndian.Uint32(b[from:]))
		if size == 1 && from+16 <= to {
			size = int(binary.BigEndian.Uint64(b[from+8:]))
		}
		if size < 8 || from+size > to {
			return
		}
		if visit(string(b[from+4:from+8]), from, from+size) {
			walkBoxes(b, from+8, from+size, visit)
		}
		from += size
	}
}
