package clip

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// frameMark precedes every picture of a YUV4MPEG2 stream.
const frameMark = "FRAME\n"

// readStreamHeader reads the first line of a YUV4MPEG2 stream and returns the
// size of its pictures. An empty stream gives io.EOF.
func readStreamHeader(r io.Reader) (width, height int, err error) {
	var line []byte
	var b [1]byte
	for len(line) < 256 {
		if _, err := io.ReadFull(r, b[:]); err != nil {
			if errors.Is(err, io.EOF) && len(line) > 0 {
				err = io.ErrUnexpectedEOF
			}
			return 0, 0, err
		}
		if b[0] == '\n' {
			break
		}
		line = append(line, b[0])
	}
	words := strings.Fields(string(line))
	if len(words) == 0 || words[0] != "YUV4MPEG2" {
		return 0, 0, fmt.Errorf("understanding ffmpeg: %q is no picture stream", line)
	}
	for _, w := range words[1:] {
		switch w[0] {
		case 'W':
			width, err = strconv.Atoi(w[1:])
		case 'H':
			height, err = strconv.Atoi(w[1:])
		case 'C':
			if !strings.HasPrefix(w, "C420") {
				err = fmt.Errorf("pictures come as %q", w)
			}
		}
		if err != nil {
			return 0, 0, fmt.Errorf("understanding ffmpeg: %w", err)
		}
	}
	return width, height, nil
}

// planes returns where the planes of a picture of this size end.
func planes(w, h int) (y, u, v int) {
	chroma := ((w + 1) / 2) * ((h + 1) / 2)
	return w * h, w*h + chroma, w*h + 2*chroma
}
