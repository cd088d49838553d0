package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"strokereel/pipeline/demo"
	"strokereel/pipeline/reel"
	"strokereel/track"
)

// What the halves side by side may differ by.
const (
	mostScale  = 0.002 // of a metre's length, by the two reports
	mostGround = 2.0   // px of the reel
)

// formed holds a film against what players need and its chapters against its
// plan.
func formed(ctx context.Context, w io.Writer, path string, p reel.Plan) error {
	out, err := asked(ctx, "ffprobe", "-v", "error", "-show_streams", "-show_chapters", "-of", "json", path)
	if err != nil {
		return err
	}
	var got struct {
		Streams []struct {
			Codec     string `json:"codec_name"`
			Profile   string `json:"profile"`
			Pixels    string `json:"pix_fmt"`
			Range     string `json:"color_range"`
			Space     string `json:"color_space"`
			Transfer  string `json:"color_transfer"`
			Primaries string `json:"color_primaries"`
			Rate      string `json:"sample_rate"`
			Frames    string `json:"nb_frames"`
		}
		Chapters []struct {
			Start string `json:"start_time"`
		}
	}
	if err := json.Unmarshal(out, &got); err != nil {
		return err
	}
	if len(got.Streams) < 3 {
		return fmt.Errorf("LIMIT BROKEN  %d streams, want pictures, sound and captions", len(got.Streams))
	}
	v, a := got.Streams[0], got.Streams[1]
	first, err := indexFirst(path)
	if err != nil {
		return err
	}
	said := fmt.Sprintf("%s %s %s %s/%s/%s %s, %s at %s Hz, captions %s, index first %v", v.Codec, v.Profile, v.Pixels,
		v.Primaries, v.Transfer, v.Space, v.Range, a.Codec, a.Rate, got.Streams[2].Codec, first)
	fmt.Fprintf(w, "  %s; %s frames\n", said, v.Frames)
	var faults []error
	if want := "h264 High yuv420p bt709/bt709/bt709 tv, aac at 48000 Hz, captions mov_text, index first true"; said != want {
		faults = append(faults, fmt.Errorf("LIMIT BROKEN  want %s", want))
	}
	if v.Frames != strconv.Itoa(p.Frames) || len(got.Chapters) != len(p.Segments) {
		return errors.Join(append(faults, fmt.Errorf("LIMIT BROKEN  %s frames and %d chapters, want %d and %d", v.Frames, len(got.Chapters), p.Frames, len(p.Segments)))...)
	}
	worst := 0.0
	for i, c := range got.Chapters {
		start, err := strconv.ParseFloat(c.Start, 64)
		if err != nil {
			return fmt.Errorf("reading the chapters: %w", err)
		}
		worst = max(worst, math.Abs(start*float64(p.Rate)-float64(p.Segments[i].Start)))
	}
	fmt.Fprintf(w, "  %d chapters, at most %.3f frames off\n", len(got.Chapters), worst)
	if worst >= 0.5 {
		faults = append(faults, errors.New("LIMIT BROKEN  a chapter begins on another frame"))
	}
	return errors.Join(faults...)
}

// indexFirst reports whether a film's index (the box moov) lies before its data.
func indexFirst(path string) (bool, error) {
	f, err := os.Open(path)
	if err != nil {
		return false, err
	}
	defer f.Close()
	head := make([]byte, 1<<20)
	n, err := io.ReadFull(f, head)
	if err != nil && err != io.ErrUnexpectedEOF {
		return false, err
	}
	moov, mdat := bytes.Index(head[:n], []byte("moov")), bytes.Index(head[:n], []byte("mdat"))
	return moov >= 0 && (mdat < 0 || moov < mdat), nil
}

// half is one clip side by side, with what is true of it.
type half struct {
	perM, truePerM   float64 // px of the reel: by its report, in truth
	rel95            float64 // relative 95 % interval of its ruler
	ground           float64 // px of its box, height of the true marker at address
	impact, trueLate float64 // frame of the reel; s the shown time lies after the true impact
}

// halves compares the two clips side by side.
func halves(w io.Writer, dir string, p reel.Plan) error {
	var h [2]half
	for _, seg := range p.Segments {
		if seg.Kind != reel.Both {
			continue
		}
		for i, pane := range seg.Panes {
			var err error
			if h[i], err = halfOf(dir, p, seg, pane); err != nil {
				return err
			}
		}
	}
	apart := func(a, b float64) float64 { return math.Abs(a/b - 1) }
	reported, truth := apart(h[0].perM, h[1].perM), apart(h[0].truePerM, h[1].truePerM)
	rulers := math.Hypot(h[0].rel95, h[1].rel95)
	ground := math.Abs(h[0].ground - h[1].ground)
	fmt.Fprintf(w, "  halves: scales %.4f %% apart by the reports, %.3f %% in truth (rulers allow %.2f %%); ground %.2f px apart; impact on frames %.0f and %.0f, shown %+.2f and %+.2f ms from the true one\n",
		100*reported, 100*truth, 100*rulers, ground, h[0].impact, h[1].impact, 1000*h[0].trueLate, 1000*h[1].trueLate)
	var faults []error
	for _, f := range []struct {
		broken bool
		what   string
	}{
		{!(reported <= mostScale), "the halves' scales differ by the reports"},
		{!(truth <= rulers), "the halves' scales differ more than the rulers allow"},
		{!(ground <= mostGround), "the ground is not level"},
		{h[0].impact != h[1].impact, "impact is not on the same frame"},
	} {
		if f.broken {
			faults = append(faults, errors.New("LIMIT BROKEN  "+f.what))
		}
	}
	return errors.Join(faults...)
}

func halfOf(dir string, p reel.Plan, seg reel.Segment, pane reel.Pane) (half, error) {
	src := p.Sources[pane.Source]
	t, err := readJSON[demo.Truth](filepath.Join(dir, "truth", strings.TrimSuffix(src.File, ".mp4")+".truth.json"))
	if err != nil {
		return half{}, err
	}
	h := half{perM: pane.View.Scale * src.PxPerM, truePerM: pane.View.Scale * t.MarkerPxPerM, rel95: src.U95 / src.PxPerM}
	_, h.ground = pane.Place(src, t.Strokes[0].Address[0], t.Strokes[0].Address[1])
	frame := seg.Start
	for _, r := range pane.Runs {
		if r.At == track.Impact {
			h.impact, h.trueLate = float64(frame), r.FromS-*t.Strokes[0].Events[track.Impact]
			break
		}
		frame += r.Frames
	}
	return h, nil
}
