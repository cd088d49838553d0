package cliptest

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"

	"strokereel/pipeline/clip"
)

// Fault is one faulty clip and what must come of it.
type Fault struct {
	Name     string
	File     string // in the folder
	Refused  string // code of the refusal, "" when it is read
	Frames   int    // read, 0 when any number will do
	Last     float64
	Warnings []string // codes that must be there
	// Clean is set where no other warnings may be there but that colours are
	// guessed.
	Clean bool
	Rate  float64 // of filming, as a person says it

	make func(m *maker, path string)
}

// maker makes clips and keeps the first error.
type maker struct {
	dir string
	err error
}

// Make writes the faulty clips into a folder that is there.
func Make(dir string) ([]Fault, error) {
	m := &maker{dir: dir}
	all := faults()
	for _, f := range all {
		f.make(m, filepath.Join(dir, f.File))
		if m.err != nil {
			return nil, fmt.Errorf("making the fault %q: %w", f.Name, m.err)
		}
	}
	return all, nil
}

// ffmpeg runs it with all its output in a path.
func (m *maker) ffmpeg(path string, args ...string) {
	if m.err != nil {
		return
	}
	all := append([]string{"-v", "error", "-nostdin", "-y", "-threads", "1"}, args...)
	out, err := exec.Command("ffmpeg", append(all, "file:"+path)...).CombinedOutput()
	if err != nil {
		m.err = fmt.Errorf("ffmpeg %s: %w\n%s", strings.Join(all, " "), err, out)
	}
}

// bytes makes a clip and returns it.
func (m *maker) bytes(name string, args ...string) []byte {
	path := filepath.Join(m.dir, ".make-"+name)
	m.ffmpeg(path, args...)
	if m.err != nil {
		return nil
	}
	data, err := os.ReadFile(path)
	if err == nil {
		err = os.Remove(path)
	}
	m.err = err
	return data
}

func (m *maker) write(path string, data []byte) {
	if m.err == nil {
		m.err = os.WriteFile(path, data, 0o644)
	}
}

// source is a generated picture of half a second, 30 frames/s.
const source = "testsrc2=s=96x64:r=30:d=0.5"

// film is the arguments for a generated picture coded as phones do.
func film(source string, more ...string) []string {
	return append([]string{"-f", "lavfi", "-i", source, "-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p"}, more...)
}

// timed is a film whose pictures have the times of an expression over N.
func timed(frames int, times string) []string {
	return film("testsrc2=s=64x64:r=30:d=5", "-frames:v", strconv.Itoa(frames), "-vf", "settb=1/90000,setpts='("+times+")/TB'", "-enc_time_base", "1:90000", "-fps_mode", "passthrough")
}

// by makes a fault with one run of ffmpeg.
func by(args ...string) func(*maker, string) {
	return func(m *maker, path string) { m.ffmpeg(path, args...) }
}

// of makes a fault from the bytes of a good clip.
func of(args []string, change func([]byte) []byte) func(*maker, string) {
	return func(m *maker, path string) {
		data := m.bytes("whole"+filepath.Ext(path), args...)
		if m.err == nil {
			m.write(path, change(data))
		}
	}
}

// text makes a fault that is no film.
func text(s string) func(*maker, string) {
	return func(m *maker, path string) { m.write(path, []byte(s)) }
}

// faults lists all kinds.
func faults() []Fault {
	var all []Fault
	for _, group := range [][]Fault{clocks(), sounds(), pictures(), containers(), broken(), noFilms(), names()} {
		all = append(all, group...)
	}
	return all
}

// turned patches the matrix of the first track (ISO/IEC 14496-12, 8.3.2).
func turned(a, b, c, d int32) func([]byte) []byte {
	return func(data []byte) []byte {
		at := bytes.Index(data, []byte("tkhd")) + 4 + 40
		for k, v := range []int32{a << 16, b << 16, 0, c << 16, d << 16, 0, 0, 0, 1 << 30} {
			for n := range 4 {
				data[at+4*k+n] = byte(v >> (24 - 8*n))
			}
		}
		return data
	}
}

// Control is the good clip that lies beside the faulty ones.
func Control() Fault {
	return Fault{Name: "good", File: "good.mp4", Frames: 15, Last: 14. / 30, Clean: true, make: by(film(source)...)}
}

// codes of clip, so that the tables below stay short.
const (
	gap, ramp, slow, damaged, cut = clip.TimeGap, clip.RateChanges, clip.SlowMotion, clip.Damaged, clip.CutOff
)
