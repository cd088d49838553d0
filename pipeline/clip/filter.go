package clip

import (
	"fmt"
	"strings"

	ffmpeg "github.com/u2takey/ffmpeg-go"
)

// hdLines is the number of lines (of the shorter side) from which an untagged
// picture is taken as BT.709, else BT.601: the rule of players and phones,
// common practice without a source.
const hdLines = 720

// matrix returns ffmpeg's name of the colour matrix the pictures are coded in.
func (i Info) matrix() string {
	switch i.Matrix {
	case "bt709", "smpte240m":
		return i.Matrix
	case "smpte170m", "bt470bg", "fcc":
		return "bt601"
	case "bt2020nc", "bt2020c":
		return "bt2020"
	}
	if min(i.StoredWidth, i.StoredHeight) >= hdLines {
		return "bt709"
	}
	return "bt601"
}

// rgb reports whether pictures are stored as red, green and blue.
func (i Info) rgb() bool {
	return i.Matrix == "gbr" || strings.HasPrefix(i.PixelFormat, "gbr") || strings.HasPrefix(i.PixelFormat, "rgb")
}

// filters is the chain from a decoded, already upright picture to a part of it,
// 4:2:0 in BT.709 limited range. A chain step that changes nothing costs nothing, so the
// usual phone clip is passed on as decoded. Times are logged before the last
// steps, whose renumbering only keeps the muxer content.
func (i Info) filters(part Part) string {
	var chain []string
	add := func(format string, a ...any) { chain = append(chain, fmt.Sprintf(format, a...)) }
	if i.Interlaced {
		add("bwdif=mode=send_frame:deint=all")
	}
	add("showinfo=checksum=0")
	wide := i.HDR() || i.Primaries == "bt2020"
	if wide {
		add("%s", i.toneMap())
	}
	scale := fmt.Sprintf("scale=w=%d:h=%d", i.Width, i.Height)
	switch full := i.Range == "pc" || strings.HasPrefix(i.PixelFormat, "yuvj"); {
	case wide:
	case i.rgb() || strings.HasPrefix(i.PixelFormat, "gray"):
		scale += ":out_color_matrix=bt709:out_range=tv"
	case full:
		scale += ":in_color_matrix=" + i.matrix() + ":in_range=pc:out_color_matrix=bt709:out_range=tv"
	case i.matrix() != "bt709":
		scale += ":in_color_matrix=" + i.matrix() + ":out_color_matrix=bt709"
	}
	add("%s", scale)
	add("format=pix_fmts=yuv420p")
	if part.Mirror {
		add("hflip")
	}
	if a := part.Area; a != i.whole() {
		add("crop=w=%d:h=%d:x=%d:y=%d", a.Dx(), a.Dy(), a.Min.X, a.Min.Y)
	}
	add("settb=1")
	add("setpts=N")
	return strings.Join(chain, ",")
}

// toneMap brings HDR or wide-gamut pictures to BT.709 in one step. Reference
// white of HLG and PQ lies at 203 cd/m2 (ITU-R BT.2408), hence npl.
func (i Info) toneMap() string {
	s := "zscale=t=bt709:p=bt709:m=bt709:r=tv:npl=203"
	for _, missing := range []struct{ have, set string }{
		{i.Matrix, ":min=2020_ncl"}, {i.Transfer, ":tin=709"}, {i.Primaries, ":pin=2020"}, {i.Range, ":rin=tv"},
	} {
		if missing.have == "" {
			s += missing.set
		}
	}
	return s
}

// global are the options every child is started with.
func global() []string {
	return []string{"-nostdin", "-hide_banner", "-nostats", "-loglevel", "repeat+level+info"}
}

// guarded keeps a file from naming other files.
func guarded() ffmpeg.KwArgs {
	return ffmpeg.KwArgs{"protocol_whitelist": "file,pipe", "format_whitelist": formats}
}

// frameArgs is the command line that reads a part of the frames of a clip with
// some threads, 0 for as many as ffmpeg likes.
func frameArgs(abs string, i Info, part Part, threads int, more ...ffmpeg.KwArgs) []string {
	in := guarded()
	if threads > 0 {
		in["threads"] = threads
	}
	out := ffmpeg.KwArgs{
		"map": "0:V:0", "vf": i.filters(part), "fps_mode": "passthrough", "f": "yuv4mpegpipe",
	}
	return append(global(), ffmpeg.Input("file:"+abs, in).Output("pipe:1", append([]ffmpeg.KwArgs{out}, more...)...).GetArgs()...)
}

// soundArgs is the command line that reads the sound of a clip as mono floats
// beginning at the file's own zero, silence filled in where packets are missing.
func soundArgs(abs string, limit float64) []string {
	const fill = "aresample=48000:async=1:min_comp=0.0001:min_hard_comp=0.01:first_pts=0,aformat=sample_fmts=flt:sample_rates=48000:channel_layouts=mono"
	return append(global(), ffmpeg.Input("file:"+abs, guarded()).Output("pipe:1", ffmpeg.KwArgs{
		"map": "0:a:0", "af": fill, "f": "f32le", "t": fmt.Sprintf("%.3f", limit),
	}).GetArgs()...)
}
