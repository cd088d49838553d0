package reel

import (
	"encoding/binary"
	"fmt"
	"io"

	"strokereel/track"
)

// stream writes raw pictures with their times, as Matroska (RFC 9559) has them:
// a picture that stands for long crosses the pipe once, and the encoder's side
// repeats it. One tick of its clock is one frame of the reel.
type stream struct{ w io.Writer }

// IDs of the elements that are needed.
const (
	idHeader, idDocType                       = 0x1A45DFA3, 0x4282
	idSegment, idInfo, idTick                 = 0x18538067, 0x1549A966, 0x2AD7B1
	idTracks, idTrack, idNumber, idUID        = 0x1654AE6B, 0xAE, 0xD7, 0x73C5
	idType, idCodec, idVideo                  = 0x83, 0x86, 0xE0
	idWidth, idHeight, idColourSpace          = 0xB0, 0xBA, 0x2EB524
	idCluster, idTimestamp, idBlock           = 0x1F43B675, 0xE7, 0xA3
	typeVideo                                 = 1
	blockHead                                 = "\x81\x00\x00\x80" // of track 1, at its cluster's time, a whole picture
	endless                            uint64 = 1<<56 - 1          // the size of what is not known to end
)

// newStream begins a stream of pictures of w x h px, 4:2:0.
func newStream(to io.Writer, w, h, rate int) (stream, error) {
	s := stream{to}
	tick := (1_000_000_000 + rate/2) / rate // ns
	err := s.write(
		element(idHeader, element(idDocType, []byte("matroska"))),
		begin(idSegment, endless),
		element(idInfo, number(idTick, tick)),
		element(idTracks, element(idTrack, number(idNumber, 1), number(idUID, 1), number(idType, typeVideo),
			element(idCodec, []byte("V_UNCOMPRESSED")),
			element(idVideo, number(idWidth, w), number(idHeight, h), element(idColourSpace, []byte("I420"))))))
	return s, err
}

// show writes a picture that is seen from a frame of the reel on.
func (s stream) show(f *track.Frame, frame int) error {
	size := len(blockHead) + len(f.Y) + len(f.U) + len(f.V)
	at, block := number(idTimestamp, frame), begin(idBlock, uint64(size))
	return s.write(begin(idCluster, uint64(len(at)+len(block)+size)), at, block, []byte(blockHead), f.Y, f.U, f.V)
}

func (s stream) write(parts ...[]byte) error {
	for _, p := range parts {
		if _, err := s.w.Write(p); err != nil {
			return fmt.Errorf("passing pictures to the encoder: %w", err)
		}
	}
	return nil
}

// begin is the head of an element: its ID and, in eight bytes, its size.
func begin(id uint32, size uint64) []byte {
	b := binary.BigEndian.AppendUint32(nil, id)
	for b[0] == 0 {
		b = b[1:]
	}
	return binary.BigEndian.AppendUint64(b, 1<<56|size)
}

func element(id uint32, parts ...[]byte) []byte {
	var body []byte
	for _, p := range parts {
		body = append(body, p...)
	}
	return append(begin(id, uint64(len(body))), body...)
}

func number(id uint32, v int) []byte {
	return element(id, binary.BigEndian.AppendUint64(nil, uint64(v)))
}
