package clip

import (
	"fmt"
	"math"
	"time"
)

// Rate is a fraction such as 60000/1001; 0/0 is unknown.
type Rate struct{ Num, Den int }

// Float returns the value, 0 when unknown.
func (r Rate) Float() float64 {
	if r.Num == 0 || r.Den == 0 {
		return 0
	}
	return float64(r.Num) / float64(r.Den)
}

func (r Rate) String() string { return fmt.Sprintf("%d/%d", r.Num, r.Den) }

// Info is what a clip's header says. Only what ffprobe reports is filled in;
// the frames themselves have the last word (see Reader).
type Info struct {
	Path      string
	Bytes     int64
	Container string // ffmpeg's name of the format, e.g. "mov,mp4,m4a,3gp,3g2,mj2"

	Width, Height             int  // of the frames as read: upright, square pixels
	StoredWidth, StoredHeight int  // as coded
	Rotation                  int  // degrees clockwise that turn the stored picture upright: 0, 90, 180 or 270
	PixelAspect               Rate // of the stored picture, 1/1 for square pixels

	Codec, PixelFormat                 string
	Bits                               int     // per sample
	Range, Matrix, Transfer, Primaries string  // colour tags, "" when untagged
	Siting                             string  // of the chroma samples: "left", "center", "topleft" or ""
	Interlaced                         bool    // made of fields
	AverageRate, BaseRate              Rate    // frames per second: mean, and of the finest regular grid
	Frames                             int     // as counted by the container, 0 when it does not
	Duration                           float64 // s
	CaptureRate                        float64 // frames per second while filming when the phone says so, else 0

	AudioStreams int
	Device       string    // maker and model of the phone, "" when the file does not say
	Recorded     time.Time // zero when unknown
	RecordedFrom string    // "phone" (with its time zone), "container" (UTC) or ""

	Warnings []Warning
}

// StorageStretch is how many times slower than life the clip plays: 8 for
// 240 frames/s stored as 30, 1 when nobody says so. A clip stored at several
// rates has no one answer; what its frames tell is in the reader's warnings.
func (i Info) StorageStretch() float64 {
	avg := i.AverageRate.Float()
	if i.CaptureRate <= 0 || avg <= 0 || i.uneven() || math.Abs(i.CaptureRate/avg-1) < 0.05 {
		return 1
	}
	return i.CaptureRate / avg
}

// noGrid is a rate beyond all phones: ffprobe's answer for frames that lie on no
// grid but that of their clock.
const noGrid = 2000

// uneven reports whether the finest regular grid of the frames is much finer
// than their mean distance.
func (i Info) uneven() bool {
	avg, base := i.AverageRate.Float(), i.BaseRate.Float()
	return avg > 0 && base/avg > 1.5 && base < noGrid
}

// HDR reports whether brightness is coded for a high dynamic range screen
// (HLG or PQ).
func (i Info) HDR() bool { return i.Transfer == "arib-std-b67" || i.Transfer == "smpte2084" }

// upright returns the size of the frames as read: turned, and stretched (never
// shrunk) to square pixels.
func upright(w, h, rotation int, aspect Rate) (int, int) {
	a := aspect.Float()
	if rotation%180 != 0 {
		w, h = h, w
		if a > 0 {
			a = 1 / a
		}
	}
	switch {
	case a > 1:
		w = int(math.Round(float64(w) * a))
	case a > 0 && a < 1:
		h = int(math.Round(float64(h) / a))
	}
	return w, h
}
