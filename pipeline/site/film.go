package site

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// ErrTells says that a film carries what must not leave the academy.
var ErrTells = errors.New("the film says where or with what it was recorded")

// telling are the marks of places and devices in the header of a film: user data
// of ISO/IEC 14496-12 and 3GPP TS 26.244 (loci), and keys as phones write them
// (from memory).
var telling = [][]byte{
	[]byte("\xa9xyz"), []byte("loci"), []byte("\xa9mak"), []byte("\xa9mod"),
	[]byte("com.apple.quicktime.location"), []byte("com.apple.quicktime.make"), []byte("com.apple.quicktime.model"), []byte("com.android."),
}

// longestHeader bounds the work on a file that is no film of ours, bytes: an
// hour has less than a tenth of it.
const longestHeader = 64 << 20

// checkFilm refuses a film whose header tells of places or devices.
func checkFilm(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("opening the film: %w", err)
	}
	defer f.Close()
	header, err := boxed(f, "moov")
	if err != nil {
		return fmt.Errorf("reading the film %q: %w", filepath.Base(path), err)
	}
	for _, mark := range telling {
		if bytes.Contains(header, mark) {
			return fmt.Errorf("publishing the film %q: %w; make the reel again with this program", filepath.Base(path), ErrTells)
		}
	}
	return nil
}

// boxed returns the content of the first box of a kind at the top of a file
// (ISO/IEC 14496-12, 4.2).
func boxed(r io.ReadSeeker, kind string) ([]byte, error) {
	for {
		var head [16]byte
		if _, err := io.ReadFull(r, head[:8]); err != nil {
			return nil, fmt.Errorf("it has no header (%s): %w", kind, err)
		}
		size, used := int64(binary.BigEndian.Uint32(head[:4])), int64(8)
		if size == 1 {
			if _, err := io.ReadFull(r, head[8:]); err != nil {
				return nil, err
			}
			size, used = int64(binary.BigEndian.Uint64(head[8:])), 16
		}
		if size < used {
			return nil, errors.New("its header is broken")
		}
		if string(head[4:8]) == kind {
			if size > longestHeader {
				return nil, errors.New("its header is too long")
			}
			data := make([]byte, size-used)
			_, err := io.ReadFull(r, data)
			return data, err
		}
		if _, err := r.Seek(size-used, io.SeekCurrent); err != nil {
			return nil, err
		}
	}
}
