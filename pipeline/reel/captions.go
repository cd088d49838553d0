package reel

import (
	"fmt"
	"io"
	"math"
	"strings"
)

// writeCaptions writes the captions as WebVTT (W3C candidate recommendation of
// 2019, section 4).
func writeCaptions(w io.Writer, p Plan) error {
	if _, err := io.WriteString(w, "WEBVTT\n"); err != nil {
		return err
	}
	escape := strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "\n", " ")
	for _, s := range p.Segments {
		for _, c := range s.Texts {
			from, to := stamp(c.Start, p.Rate), stamp(c.Start+c.Frames, p.Rate)
			if _, err := fmt.Fprintf(w, "\n%s --> %s\n%s\n", from, to, escape.Replace(c.Text)); err != nil {
				return err
			}
		}
	}
	return nil
}

// stamp is the time of a frame as WebVTT writes it.
func stamp(frame, rate int) string {
	ms := int(math.Round(1000 * float64(frame) / float64(rate)))
	return fmt.Sprintf("%02d:%02d:%02d.%03d", ms/3600000, ms/60000%60, ms/1000%60, ms%1000)
}

// writeChapters writes the chapters in ffmpeg's form for them, in frames.
func writeChapters(w io.Writer, p Plan) error {
	if _, err := io.WriteString(w, ";FFMETADATA1\n"); err != nil {
		return err
	}
	escape := strings.NewReplacer("\\", "\\\\", "=", "\\=", ";", "\\;", "#", "\\#", "\n", "\\\n")
	for _, s := range p.Segments {
		_, err := fmt.Fprintf(w, "[CHAPTER]\nTIMEBASE=1/%d\nSTART=%d\nEND=%d\ntitle=%s\n", p.Rate, s.Start, s.Start+s.Frames, escape.Replace(s.Chapter))
		if err != nil {
			return err
		}
	}
	return nil
}
