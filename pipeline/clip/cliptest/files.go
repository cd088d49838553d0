package cliptest

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"strokereel/pipeline/clip"
)

// remove takes away what was only needed for making a fault.
func (m *maker) remove(path string) {
	if m.err == nil {
		m.err = os.Remove(path)
	}
}

// noFilms have the name of a clip and are none.
func noFilms() []Fault {
	still := func(ending string, args ...string) func(*maker, string) {
		return copied("still"+ending, append([]string{"-f", "lavfi", "-i", source}, args...))
	}
	fault := func(name, file, code string, make func(*maker, string)) Fault {
		return Fault{Name: name, File: file, Refused: code, make: make}
	}
	return []Fault{
		fault("zero bytes", "zero.mp4", clip.EmptyFile, text("")),
		fault("text", "text.mp4", clip.NotAClip, text("the clip is in the other folder\n")),
		fault("zeros", "zeros.mp4", clip.EmptyFile, text(strings.Repeat("\x00", 5000))),
		fault("JPEG", "jpeg.mp4", clip.NotAClip, still(".jpg", "-frames:v", "1", "-update", "1")),
		fault("PNG", "png.mov", clip.NotAClip, still(".png", "-frames:v", "1", "-update", "1")),
		fault("GIF", "gif.mp4", clip.NotAClip, still(".gif")),
		fault("playlist", "playlist.mp4", clip.NotAClip, text("#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\ngood.mp4\nhttp://localhost:9/x.ts\n")),
		fault("concat script", "concat.mp4", clip.NotAClip, text("ffconcat version 1.0\nfile 'good.mp4'\n")),
		fault("side file of a phone", "._side.mp4", clip.NotAClip, text("\x00\x05\x16\x07\x00\x02\x00\x00Mac OS X        \x00\x02")),
		fault("folder", "folder.mp4", clip.NotAFile, func(m *maker, path string) { m.do(os.Mkdir(path, 0o755)) }),
		fault("pipe", "pipe.mp4", clip.NotAFile, func(m *maker, path string) { m.do(syscall.Mkfifo(path, 0o644)) }),
		fault("broken link", "link.mp4", clip.NotAFile, func(m *maker, path string) { m.do(os.Symlink("nowhere.mp4", path)) }),
	}
}

func (m *maker) do(err error) {
	if m.err == nil {
		m.err = err
	}
}

// copied makes a fault from the bytes of another kind of file.
func copied(name string, args []string) func(*maker, string) {
	return func(m *maker, path string) {
		if b := m.bytes(name, args...); m.err == nil {
			m.write(path, b)
		}
	}
}

// names are good clips with names that programs stumble over; the last is a
// second copy of the same.
func names() []Fault {
	long := strings.Repeat("n", 251) + ".mp4"
	var all []Fault
	for _, n := range []struct{ name, file string }{
		{"a space in the name", "my clip.mp4"},
		{"quotes in the name", `it's "mine".mp4`},
		{"a newline in the name", "two\nlines.mp4"},
		{"percent signs in the name", "clip %03d%n.mp4"},
		{"a leading dash", "-vf.mp4"},
		{"an emoji in the name", "putt \U0001F3CC.mp4"},
		{"255 bytes of name", long},
		{"a protocol's name", "pipe:0.mp4"},
		{"duplicate content", "good again.mp4"},
	} {
		all = append(all, Fault{Name: n.name, File: n.file, Frames: 15, Clean: true, make: func(m *maker, path string) {
			b, err := os.ReadFile(filepath.Join(m.dir, "good.mp4"))
			m.do(err)
			m.write(path, b)
		}})
	}
	return all
}
