package reel

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"

	ffmpeg "github.com/u2takey/ffmpeg-go"

	"strokereel/pipeline/clip"
)

// parts are the files an encoder reads beside the pictures.
type parts struct {
	chapters string // ffmetadata
	captions string // WebVTT
}

const soundRate = 48000

// coding is how the pictures are coded: H.264 that every phone and browser
// plays. Pictures come and go as BT.709 in limited range; the tags say so, and
// nothing is converted. Veryfast is the knee between time and size (measured on
// grainy clips). Sound and captions follow in forms the same players know.
func coding(rate int) []string {
	level := "4.1"
	if rate > 30 {
		level = "4.2"
	}
	return []string{
		"-c:v", "libx264", "-preset", "veryfast", "-profile:v", "high", "-level:v", level, "-pix_fmt", "yuv420p",
		"-g", strconv.Itoa(2 * rate), "-flags", "+cgop",
		// Each frame looked ahead at holds a picture: with 5 instead of 10 the same
		// film takes 50 MB less and no more time; the picture keeps its likeness
		// (SSIM 0.9874 to 0.9868 on a grainy clip) in fewer bytes. Three frames
		// coded at once, and two between them and the one that looks ahead, keep two
		// cores busy: with two and one the coding took 1.3 times as long.
		"-threads", "3", "-x264-params", "rc-lookahead=5:sync-lookahead=2",
		"-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709", "-color_range", "tv",
		"-c:a", "aac", "-b:a", "128k", "-ar", strconv.Itoa(soundRate), "-ac", "2",
		"-c:s", "mov_text",
		// Of the file only: the titles of the chapters are metadata too.
		"-map_metadata:g", "-1", "-movflags", "+faststart",
	}
}

// quiet are the options every child is started with.
func quiet() []string {
	return []string{"-nostdin", "-hide_banner", "-nostats", "-loglevel", "error"}
}

// encodeArgs is the command line that makes a reel from frames on its first input
// and raw sound (16 bit, stereo, 48 kHz) on its second. It is written out because
// ffmpeg-go cannot name an input that only gives chapters.
func encodeArgs(p Plan, quality int, in parts, out string) []string {
	args := append(quiet(),
		"-f", "matroska", "-probesize", "32", "-color_range", "tv", "-colorspace", "bt709",
		"-thread_queue_size", "2", "-i", "pipe:0", // of pictures, which are large
		"-f", "s16le", "-ar", strconv.Itoa(soundRate), "-ac", "2", "-i", "pipe:3",
		"-f", "ffmetadata", "-i", "file:"+in.chapters,
		"-f", "webvtt", "-i", "file:"+in.captions,
		"-map", "0:v", "-map", "1:a", "-map", "3:s", "-map_chapters", "2",
		"-vf", fmt.Sprintf("fps=%d", p.Rate)) // repeats pictures that stand
	args = append(args, coding(p.Rate)...)
	return append(args, "-crf", strconv.Itoa(quality), "-metadata:s:s:0", "language=eng", "-f", "mp4", "-y", "file:"+out)
}

// child is a running ffmpeg.
type child struct {
	cmd  *exec.Cmd
	ends []*os.File // of the streams to it, that are its own
	said bytes.Buffer
}

func newChild(ctx context.Context, args []string) *child {
	c := &child{cmd: exec.CommandContext(ctx, "ffmpeg", args...)}
	c.cmd.Stderr = &c.said
	clip.Tie(c.cmd)
	return c
}

// input makes a stream to the child that is about to start: the first to its
// standard input, further ones to its descriptors from 3 on.
func (c *child) input() (*os.File, error) {
	out, in, err := clip.Stream()
	if err != nil {
		return nil, err
	}
	if len(c.ends) == 0 {
		c.cmd.Stdin = in
	} else {
		c.cmd.ExtraFiles = append(c.cmd.ExtraFiles, in)
	}
	c.ends = append(c.ends, in)
	return out, nil
}

// start starts the child.
func (c *child) start() error {
	err := c.cmd.Start()
	for _, f := range c.ends {
		err = errors.Join(err, f.Close())
	}
	if err != nil {
		return fmt.Errorf("running ffmpeg, is it installed: %w", err)
	}
	return nil
}

// wait tells how the child ended.
func (c *child) wait() error {
	if err := c.cmd.Wait(); err != nil {
		return fmt.Errorf("encoding: %w: %s", err, strings.TrimSpace(c.said.String()))
	}
	return nil
}

// run runs a child that needs no input.
func run(ctx context.Context, args []string) error {
	c := newChild(ctx, args)
	if err := c.start(); err != nil {
		return err
	}
	if err := c.wait(); err != nil {
		return errors.Join(ctx.Err(), err)
	}
	return nil
}

// sendArgs is the command line of one step of the form for sending: 720 lines,
// two steps at a bit rate. The first step only measures.
func sendArgs(in, out, log string, step, bits int) []string {
	o := ffmpeg.KwArgs{
		"vf": "scale=w=720:h=720:force_original_aspect_ratio=increase:force_divisible_by=2:flags=bicubic", "c:v": "libx264", "preset": "veryfast",
		"profile:v": "high", "pix_fmt": "yuv420p", "b:v": bits, "maxrate": 2 * bits, "bufsize": 4 * bits, "pass": step, "passlogfile": log,
		"colorspace": "bt709", "color_primaries": "bt709", "color_trc": "bt709", "color_range": "tv", "map_metadata:g": -1,
	}
	if step == 1 {
		o["an"], o["sn"], o["map_chapters"], o["f"] = "", "", -1, "null"
		out = os.DevNull
	} else {
		o["c:a"], o["b:a"], o["c:s"], o["movflags"], o["f"] = "aac", strconv.Itoa(sendSound), "mov_text", "+faststart", "mp4"
	}
	return append(quiet(), ffmpeg.Input("file:"+in).Output("file:"+out, o).OverWriteOutput().GetArgs()...)
}

const (
	sendSound = 96000 // bit/s
	// sendMost is the highest rate of pictures, bit/s: more is not seen at 720
	// lines of a still camera.
	sendMost = 3_000_000
	// sendSpare is the share of the size kept for the container.
	sendSpare = 0.03
	sendTries = 4
)

// send makes the form for sending from a finished reel: at most size bytes,
// measured, with a lower rate until it is met.
func send(ctx context.Context, reel, out, scratch string, lengthS, size float64) error {
	bits := min(sendMost, (size*8*(1-sendSpare))/lengthS-sendSound)
	for range sendTries {
		if bits < sendSound {
			break
		}
		for step := 1; step <= 2; step++ {
			if err := run(ctx, sendArgs(reel, out, scratch, step, int(bits))); err != nil {
				return fmt.Errorf("making the form for sending: %w", err)
			}
		}
		st, err := os.Stat(out)
		if err != nil {
			return fmt.Errorf("making the form for sending: %w", err)
		}
		if float64(st.Size()) <= size {
			return nil
		}
		bits *= 0.95 * size / float64(st.Size())
	}
	return fmt.Errorf("making the form for sending: %.0f s do not fit into %.1f MB: allow more, or make the reel shorter", lengthS, size/1e6)
}
