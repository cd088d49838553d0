package clip

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// formats lists the containers that are read; phones and messengers write
// nothing else, and each of them is self-contained.
const formats = "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,mpegts,avi"

const hintCopy = "copy it from the phone again"

// admit looks at the file without ffmpeg: its kind, its first bytes and, for
// mp4 and mov, whether all of it has arrived. It returns the absolute path, the
// size, and whether the end of the file is missing.
func admit(path string) (abs string, size int64, cut bool, err error) {
	abs, err = filepath.Abs(path)
	if err != nil {
		return "", 0, false, fmt.Errorf("finding clip %q: %w", path, err)
	}
	st, err := os.Stat(abs)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "", 0, false, &Refusal{NotAFile, path, "is not there", "check the name"}
	case err != nil:
		return "", 0, false, fmt.Errorf("reading clip %q: %w", path, err)
	case !st.Mode().IsRegular():
		return "", 0, false, &Refusal{NotAFile, path, "is not a plain file", "give the clip itself"}
	case st.Size() == 0:
		return "", 0, false, &Refusal{EmptyFile, path, "is empty", hintCopy}
	}
	f, err := os.Open(abs)
	if err != nil {
		return "", 0, false, fmt.Errorf("opening clip %q: %w", path, err)
	}
	defer f.Close()
	kind, err := sniff(f)
	if err != nil {
		return "", 0, false, fmt.Errorf("reading clip %q: %w", path, err)
	}
	switch kind {
	case kindZeros:
		return "", 0, false, &Refusal{EmptyFile, path, "holds nothing but zeros", hintCopy}
	case kindOther:
		text := "is not a film"
		if strings.HasPrefix(filepath.Base(abs), "._") {
			text = "is a side file of the phone, not a film"
		}
		return "", 0, false, &Refusal{NotAClip, path, text, "only mp4, mov, mkv, webm, mpeg-ts and avi are read"}
	case kindBoxes:
		whole, index := walkBoxes(f, st.Size())
		if !index {
			return "", 0, false, &Refusal{Incomplete, path, "has no index: it was not recorded or copied to its end", hintCopy}
		}
		cut = !whole
	}
	return abs, st.Size(), cut, nil
}

// Complete reports whether all of a clip seems to be there: not empty, and for
// mp4 and mov with its index and its last box. What is no clip counts as
// complete, since waiting does not help it.
func Complete(path string) bool {
	_, _, cut, err := admit(path)
	var no *Refusal
	if errors.As(err, &no) {
		return no.Code != Incomplete && no.Code != EmptyFile
	}
	return err == nil && !cut
}

type kind int

const (
	kindOther kind = iota
	kindZeros
	kindBoxes  // mp4, mov, 3gp
	kindStream // matroska, mpeg-ts, avi
)

// sniff tells the container from the first bytes; names are not trusted.
func sniff(r io.ReaderAt) (kind, error) {
	head := make([]byte, 4096)
	n, err := r.ReadAt(head, 0)
	if err != nil && err != io.EOF {
		return kindOther, err
	}
	head = head[:n]
	switch {
	case len(bytes.Trim(head, "\x00")) == 0:
		return kindZeros, nil
	case bytes.HasPrefix(head, []byte("\x1a\x45\xdf\xa3")):
		return kindStream, nil
	case n >= 12 && string(head[:4]) == "RIFF" && string(head[8:11]) == "AVI":
		return kindStream, nil
	case transportStream(head, 188, 0), transportStream(head, 192, 4):
		return kindStream, nil
	case n >= 8 && boxNames[string(head[4:8])]:
		return kindBoxes, nil
	}
	return kindOther, nil
}

// transportStream looks for the sync byte of MPEG-TS at three packets.
func transportStream(head []byte, packet, at int) bool {
	for k := range 3 {
		if i := at + k*packet; i >= len(head) || head[i] != 0x47 {
			return false
		}
	}
	return true
}

// boxNames are the boxes an mp4 or mov file may begin with.
var boxNames = map[string]bool{"ftyp": true, "moov": true, "mdat": true, "free": true, "skip": true, "wide": true, "pnot": true}

// walkBoxes steps over the top-level boxes of an mp4 or mov file (ISO/IEC
// 14496-12, 4.2): whole is true when the last one ends with the file, index
// when a moov box was met.
func walkBoxes(r io.ReaderAt, size int64) (whole, index bool) {
	var head [16]byte
	for at := int64(0); at < size; {
		if size-at < 8 {
			return false, index
		}
		n, err := r.ReadAt(head[:], at)
		if n < 8 || err != nil && err != io.EOF {
			return false, index
		}
		length := int64(binary.BigEndian.Uint32(head[:4]))
		switch {
		case length == 0: // to the end of the file
			length = size - at
		case length == 1 && n == len(head):
			length = int64(binary.BigEndian.Uint64(head[8:16]))
		}
		if length < 8 || length > size-at {
			return false, index
		}
		if string(head[4:8]) == "moov" {
			index = true
		}
		at += length
	}
	return true, index
}

// Admit is Probe for a clip whose pictures or sound are to be read: one beyond
// the bounds of the options is refused, and the rate of filming they give is
// believed.
func Admit(ctx context.Context, path string, o Options) (Info, error) {
	if err := o.Validate(); err != nil {
		return Info{}, err
	}
	i, err := Probe(ctx, path)
	if err != nil {
		return Info{}, err
	}
	if err := o.admit(i); err != nil {
		return Info{}, err
	}
	i.believe(o)
	return i, nil
}

// admit applies the bounds of the options to what the header says.
func (o Options) admit(i Info) error {
	if mb := float64(i.Bytes) / 1e6; mb > o.MaxSize {
		return &Refusal{TooLarge, i.Path, fmt.Sprintf("has %.0f MB, more than %v", mb, o.MaxSize), "cut it to the stroke, or raise max_size"}
	}
	if i.Duration > o.MaxLength {
		return &Refusal{TooLong, i.Path, fmt.Sprintf("lasts %.0f s, more than %v", i.Duration, o.MaxLength), "cut it to the stroke, or raise max_length"}
	}
	if max(i.Width, i.Height) > o.MaxSide {
		return &Refusal{TooLarge, i.Path, fmt.Sprintf("has %dx%d pixels, more than %d on a side", i.Width, i.Height, o.MaxSide), "film smaller, or raise max_side"}
	}
	return nil
}
