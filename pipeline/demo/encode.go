package demo

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os/exec"
	"strings"
	"time"

	ffmpeg "github.com/u2takey/ffmpeg-go"
)

// At rich bit rates most of what veryfast searches for buys nothing but time.
// Ultrafast with the tools of a phone's encoder put back (CABAC, 8x8 transform,
// deblocking, bits moved to flat areas, motion told to a quarter of a pixel;
// phones mostly do without B-frames) takes a third of its time. Its strength is
// such that the sticker comes out no better than with veryfast: as the product
// tells its place on clean 1-8 at 20 Mbit/s, 0.069 px rms against 0.065. With
// motion told in whole pixels, as ultrafast has it and no phone, it is 0.078, and
// the error goes with the way of a quick sticker: at impact the speed of two of the
// eight is 4 % off.
const (
	richRate   = 10e6 // bit/s
	richParams = "cabac=1:8x8dct=1:deblock=0,0:bframes=0:aq-mode=1:aq-strength=0.7:me=hex:subme=2"
)

// encoderArgs are the arguments of the one ffmpeg child: raw 4:2:0 frames on
// its standard input, sound from a file unless sound is empty. Stamps are nil
// when the frames keep the beat. With several threads the encoder's rate control
// depends on their timing and the same clip comes out differently; with one it
// does not, and the other core draws.
func encoderArgs(v Video, width, height int, stamps []float64, sound, path string) []string {
	rate := fmt.Sprintf("%d/%d", v.RateNum, v.RateDen)
	in := []*ffmpeg.Stream{ffmpeg.Input("pipe:0", ffmpeg.KwArgs{
		"f": "rawvideo", "pix_fmt": "yuv420p", "s": fmt.Sprintf("%dx%d", width, height), "r": rate})}
	out := ffmpeg.KwArgs{
		"c:v": "libx264", "preset": "veryfast", "profile:v": "high", "pix_fmt": "yuv420p", "threads": 1,
		"g": v.RateNum / v.RateDen, "movflags": "+faststart", "map_metadata": -1, "f": "mp4",
	}
	switch {
	case v.Lossless:
		out["preset"], out["profile:v"], out["qp"] = "ultrafast", "high444", 0
	case v.BitRate >= richRate:
		out["preset"], out["x264-params"] = "ultrafast", richParams
	}
	if !v.Lossless {
		out["b:v"], out["maxrate"], out["bufsize"] = v.BitRate, v.BitRate*3/2, v.BitRate*2
	}
	if !v.NoColourTags {
		out["colorspace"], out["color_primaries"], out["color_trc"], out["color_range"] = "bt709", "bt709", "bt709", "tv"
	}
	if stamps != nil {
		out["vf"] = "settb=1/90000,setpts=" + stampExpr(stamps, 0)
		out["fps_mode"], out["enc_time_base"], out["video_track_timescale"] = "passthrough", "1:90000", 90000
	}
	if sound != "" {
		in = append(in, ffmpeg.Input("file:"+sound, ffmpeg.KwArgs{"f": "wav"}))
		out["c:a"], out["b:a"] = "aac", "128k"
	}
	args := ffmpeg.Output(in, "file:"+path, out).OverWriteOutput().GetArgs()
	return append([]string{"-hide_banner", "-nostats", "-loglevel", "error"}, args...)
}

// stampExpr is a formula that gives frame N its stamp in 1/90000 s: a balanced
// tree of choices, because a filter takes no list of times.
func stampExpr(stamps []float64, first int) string {
	if len(stamps) == 1 {
		return fmt.Sprint(int(math.Round(stamps[0] / stampTick)))
	}
	half := len(stamps) / 2
	return fmt.Sprintf("if(lt(N\\,%d)\\,%s\\,%s)", first+half, stampExpr(stamps[:half], first), stampExpr(stamps[half:], first+half))
}

// encode runs ffmpeg and hands its input to feed. It ends when the child has.
func encode(ctx context.Context, args []string, feed func(io.Writer) error) error {
	cmd := exec.CommandContext(ctx, "ffmpeg", args...)
	cmd.WaitDelay = 5 * time.Second
	var said bytes.Buffer
	cmd.Stderr = &said
	in, err := cmd.StdinPipe()
	if err != nil {
		return fmt.Errorf("preparing ffmpeg: %w", err)
	}
	if err := cmd.Start(); err != nil {
		return fmt.Errorf("starting ffmpeg (is it installed?): %w", err)
	}
	fed := feed(in)
	closed := in.Close()
	ended := cmd.Wait()
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case ended != nil:
		return fmt.Errorf("encoding: %w: %s", ended, strings.TrimSpace(said.String()))
	}
	return errors.Join(fed, closed)
}
