package cliptest

import (
	"bytes"
	"strconv"

	"strokereel/pipeline/clip"
)

// clocks are faults of the times. Last is the time of the last frame in the
// world, for a clock that runs true.
func clocks() []Fault {
	const tagged = "com.android.capture.fps=240.000000"
	return []Fault{
		Control(),
		{Name: "variable rate", File: "vfr.mp4", Frames: 15, Last: (14 + 0.6) / 30, Clean: true, make: by(timed(15, "(N+0.3*mod(N\\,3))/30")...)},
		{Name: "rate halved in the dark", File: "halved.mp4", Frames: 20, Last: (9 + 20.) / 30, make: by(timed(20, "if(lt(N\\,10)\\,N\\,9+2*(N-9))/30")...)},
		{Name: "slow motion with its tag", File: "slow-tagged.mp4", Frames: 15, Last: 14. / 240, Warnings: []string{slow}, make: by(film(source, "-movflags", "use_metadata_tags", "-metadata", tagged)...)},
		{Name: "slow motion, a person says so", File: "slow-told.mp4", Frames: 15, Last: 14. / 240, Rate: 240, Warnings: []string{slow}, make: by(film(source)...)},
		{Name: "a ramp", File: "ramp.mp4", Frames: 40, Warnings: []string{ramp}, make: by(timed(40, "if(lt(N\\,20)\\,N/240\\,20/240+(N-20)/30)")...)},
		{Name: "a ramp with a tag", File: "ramp-tagged.mp4", Frames: 40, Warnings: []string{ramp}, make: by(append(timed(40, "if(lt(N\\,20)\\,N/240\\,20/240+(N-20)/30)"), "-movflags", "use_metadata_tags", "-metadata", tagged)...)},
		{Name: "a hole of five seconds", File: "hole.mp4", Frames: 15, Last: 14./30 + 5, Warnings: []string{gap}, make: by(timed(15, "N/30+if(gte(N\\,8)\\,5\\,0)")...)},
		{Name: "the clock jumps back", File: "back.ts", Frames: 30, make: func(m *maker, path string) {
			late := m.bytes("late.ts", film(source, "-output_ts_offset", "3")...)
			early := m.bytes("early.ts", film(source)...)
			m.write(path, append(late, early...))
		}},
		{Name: "the clock wraps", File: "wrap.ts", Frames: 15, Last: 14. / 30, Clean: true, make: by(film(source, "-output_ts_offset", strconv.FormatFloat(float64(1<<33)/90000-1.6, 'f', 3, 64))...)},
		{Name: "an edit list hides the first frames", File: "edits.mp4", Frames: 9, Last: 8. / 30, Clean: true, make: func(m *maker, path string) {
			whole := path + ".whole.mp4"
			m.write(whole, m.bytes("whole.mp4", film(source, "-g", "300")...))
			m.ffmpeg(path, "-ss", "0.2", "-i", whole, "-c", "copy")
			m.remove(whole)
		}},
		{Name: "late picture", File: "late-picture.mp4", Frames: 15, Last: 14. / 30, Clean: true, make: by("-itsoffset", "0.3", "-f", "lavfi", "-i", source, "-f", "lavfi", "-i", "sine=d=0.8", "-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-c:a", "aac", "-fps_mode", "passthrough")},
		{Name: "one frame", File: "one.mp4", Frames: 1, Clean: true, make: by(film(source, "-frames:v", "1")...)},
	}
}

// sounds are faults of the sound; the pictures are read all the same.
func sounds() []Fault {
	with := func(sound string, more ...string) func(*maker, string) {
		args := append([]string{"-f", "lavfi", "-i", source, "-f", "lavfi", "-i", sound, "-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p"}, more...)
		return by(args...)
	}
	return []Fault{
		{Name: "late sound", File: "late-sound.mp4", Frames: 15, Clean: true, make: by("-f", "lavfi", "-i", source, "-itsoffset", "0.3", "-f", "lavfi", "-i", "sine=d=0.5", "-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-c:a", "aac")},
		{Name: "no sound", File: "silent.mov", Frames: 15, Clean: true, make: by(film(source)...)},
		{Name: "sound only", File: "sound-only.mp4", Refused: clip.NoPictures, make: by("-f", "lavfi", "-i", "sine=d=0.5", "-c:a", "aac")},
		{Name: "8 kHz mono", File: "telephone.mov", Frames: 15, Clean: true, make: with("sine=r=8000:d=0.5", "-c:a", "pcm_s16le", "-ac", "1")},
		{Name: "5.1 silence", File: "surround.mp4", Frames: 15, Clean: true, make: with("anullsrc=cl=5.1:r=48000:d=0.5", "-c:a", "aac")},
	}
}

// pictures are unusual pictures. That their colours come out right is tested
// where they are read.
func pictures() []Fault {
	coded := func(name, file, source, format string, more ...string) Fault {
		args := append([]string{"-f", "lavfi", "-i", source, "-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", format}, more...)
		return Fault{Name: name, File: file, Frames: 15, Clean: true, make: by(args...)}
	}
	turn := func(name, file string, a, b, c, d int32) Fault {
		return Fault{Name: name, File: file, Frames: 15, Clean: true, make: of(film(source), turned(a, b, c, d))}
	}
	wide := func(transfer string) []string {
		return []string{"-color_primaries", "bt2020", "-color_trc", transfer, "-colorspace", "bt2020nc", "-color_range", "tv"}
	}
	small := "testsrc2=s=64x64:r=30:d=0.1"
	few := func(f Fault, n int) Fault { f.Frames = n; return f }
	return []Fault{
		turn("turned by 90", "turn-90.mp4", 0, 1, -1, 0), turn("turned by 180", "turn-180.mp4", -1, 0, 0, -1), turn("turned by 270", "turn-270.mp4", 0, -1, 1, 0),
		turn("mirrored", "mirrored.mp4", -1, 0, 0, 1),
		coded("non-square pixels", "anamorphic.mp4", source, "yuv420p", "-vf", "setsar=4/3"),
		coded("interlaced", "fields.mp4", source, "yuv420p", "-flags", "+ildct+ilme", "-x264-params", "tff=1", "-vf", "setfield=tff"),
		coded("odd size", "odd.mp4", "testsrc2=s=97x65:r=30:d=0.5", "yuv444p"),
		coded("4:4:4", "444.mp4", source, "yuv444p"),
		coded("HDR as HLG", "hlg.mp4", source, "yuv420p10le", wide("arib-std-b67")...),
		coded("HDR as PQ", "pq.mp4", source, "yuv420p10le", wide("smpte2084")...),
		coded("full range", "full.mp4", source, "yuvj420p", "-color_range", "pc"),
		coded("untagged BT.601", "untagged.mp4", source, "yuv420p"),
		few(coded("untagged BT.709", "untagged-720.mp4", "testsrc2=s=1280x720:r=30:d=0.1", "yuv420p"), 3),
		coded("grey", "grey.mp4", source, "gray"),
		{Name: "alpha", File: "alpha.mov", Frames: 15, Clean: true, make: by("-f", "lavfi", "-i", source, "-c:v", "qtrle", "-pix_fmt", "argb")},
		coded("16x16", "tiny.mp4", "testsrc2=s=16x16:r=30:d=0.5", "yuv420p"),
		{Name: "8K", File: "8k.mp4", Frames: 2, Clean: true, make: by("-f", "lavfi", "-i", "color=gray:s=7680x4320:r=30:d=0.07", "-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-frames:v", "2")},
		{Name: "larger than 8K", File: "huge.mp4", Refused: clip.TooLarge, make: by("-f", "lavfi", "-i", "color=gray:s=8208x64:r=30:d=0.1", "-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p")},
		{Name: "size changes midway", File: "sizes.ts", Warnings: []string{clip.SizeChanges}, make: func(m *maker, path string) {
			m.write(path, append(m.bytes("a.ts", film(small)...), m.bytes("b.ts", film("testsrc2=s=96x64:r=30:d=0.1", "-output_ts_offset", "0.1")...)...))
		}},
	}
}

// containers are unusual wrappings of good pictures.
func containers() []Fault {
	return []Fault{
		{Name: "cover picture first", File: "cover.mp4", Frames: 15, Clean: true, make: func(m *maker, path string) {
			cover := path + ".png"
			m.ffmpeg(cover, "-f", "lavfi", "-i", "color=red:s=48x48", "-frames:v", "1", "-update", "1")
			m.ffmpeg(path, "-i", cover, "-f", "lavfi", "-i", source, "-map", "0", "-map", "1", "-c:v:0", "png", "-c:v:1", "libx264", "-preset:v:1", "ultrafast", "-pix_fmt:v:1", "yuv420p", "-disposition:v:0", "attached_pic", "-disposition:v:1", "default")
			m.remove(cover)
		}},
		{Name: "two videos", File: "two.mp4", Frames: 15, Clean: true, make: by(append([]string{"-f", "lavfi", "-i", "testsrc2=s=32x32:r=30:d=0.5"}, film(source, "-map", "1", "-map", "0")...)...)},
		{Name: "data track", File: "data.mov", Frames: 15, Clean: true, make: by(film(source, "-timecode", "01:00:00:00")...)},
		{Name: "place tag", File: "place.mp4", Frames: 15, Clean: true, make: by(film(source, "-metadata", "location=+48.0000+011.0000/")...)},
		{Name: "VP9", File: "vp9.webm", Frames: 15, Clean: true, make: by("-f", "lavfi", "-i", source, "-c:v", "libvpx-vp9", "-deadline", "realtime", "-cpu-used", "8")},
		{Name: "another ending", File: "really-mkv.mp4", Frames: 15, Clean: true, make: of(film(source, "-f", "matroska"), func(b []byte) []byte { return b })},
		{Name: "B-frames", File: "b-frames.mp4", Frames: 15, Clean: true, make: by(film(source, "-bf", "3", "-x264-params", "b-adapt=0")...)},
		{Name: "fragments", File: "fragments.mp4", Frames: 15, Clean: true, make: by(film(source, "-movflags", "frag_keyframe+empty_moov", "-g", "5")...)},
	}
}

// broken are clips of which something is missing.
func broken() []Fault {
	whole := film("testsrc2=s=192x128:r=30:d=0.5", "-movflags", "+faststart", "-g", "5")
	return []Fault{
		{Name: "no index", File: "no-index.mp4", Refused: clip.Incomplete, make: of(film(source), func(b []byte) []byte { return b[:bytes.Index(b, []byte("moov"))-4] })},
		{Name: "half copied", File: "half.mp4", Refused: clip.Incomplete, make: of(film(source), func(b []byte) []byte { return b[:len(b)/2] })},
		{Name: "truncated", File: "truncated.mp4", Warnings: []string{cut}, make: of(whole, func(b []byte) []byte { return b[:len(b)*2/3] })},
		{Name: "corrupt", File: "corrupt.mp4", Warnings: []string{damaged}, make: of(whole, func(b []byte) []byte {
			at := bytes.Index(b, []byte("mdat")) + len(b)/3
			for k := range min(400, len(b)-at) {
				b[at+k] ^= byte(37*k + 11)
			}
			return b
		})},
		{Name: "lost packets", File: "lost.ts", Warnings: []string{damaged}, make: of(film("testsrc2=s=192x128:r=30:d=0.5"), func(b []byte) []byte {
			const packet = 188
			var kept []byte
			for k := 0; k+packet <= len(b); k += packet {
				if n := k / packet; n < 12 || n%9 != 0 {
					kept = append(kept, b[k:k+packet]...)
				}
			}
			return kept
		})},
		{Name: "open group of pictures first", File: "open.ts", make: func(m *maker, path string) {
			args := film("testsrc2=s=96x64:r=30:d=0.8", "-bf", "2", "-g", "8", "-x264-params", "open-gop=1:b-adapt=0:keyint=8:min-keyint=4:scenecut=0")
			b := m.bytes("open.ts", args...)
			if m.err == nil {
				m.write(path, b[len(b)/188/3*188:])
			}
		}},
	}
}
