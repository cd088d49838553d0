package clip

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"image"
	"io"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"strokereel/track"
)

const small = "testsrc2=s=96x64:r=30:d=1"

func TestTimesMatchFfprobe(t *testing.T) {
	jitter := "setpts='(N+0.3*mod(N\\,3)+if(gt(N\\,12)\\,4\\,0))/(30*TB)'"
	exact := []string{"-enc_time_base", "1:90000", "-fps_mode", "passthrough"}
	for _, c := range []struct {
		name string
		file string
		args []string
	}{
		{"constant rate", "a.mp4", join(lavfi(small), x264)},
		{"B-frames", "a.mp4", join(lavfi(small), x264, []string{"-bf", "3", "-x264-params", "b-adapt=0"})},
		{"variable rate with a gap", "a.mp4", join(lavfi(small), x264, exact, []string{"-vf", jitter})},
		{"NTSC rate", "a.mov", join(lavfi("testsrc2=s=96x64:r=60000/1001:d=1"), x264)},
		{"matroska, times in whole milliseconds", "a.mkv", join(lavfi(small), x264)},
		{"transport stream", "a.ts", join(lavfi(small), x264)},
		{"fragments", "a.mp4", join(lavfi(small), x264, []string{"-movflags", "frag_keyframe+empty_moov", "-g", "10"})},
		{"late start beside sound", "a.mp4", []string{"-f", "lavfi", "-itsoffset", "0.7", "-i", small, "-f", "lavfi", "-i", "sine=d=2", "-c:v", "libx264", "-c:a", "aac", "-fps_mode", "passthrough"}},
		{"odd size", "a.mp4", join(lavfi("testsrc2=s=97x65:r=30:d=0.5"), []string{"-c:v", "libx264", "-pix_fmt", "yuv444p"})},
		{"10 bit", "a.mp4", join(lavfi(small), []string{"-c:v", "libx264", "-pix_fmt", "yuv420p10le"})},
		{"avi", "a.avi", join(lavfi(small), []string{"-c:v", "mpeg4"})},
		{"interlaced", "a.mp4", join(lavfi(small), x264, []string{"-flags", "+ildct+ilme", "-x264-params", "tff=1", "-vf", "setfield=tff"})},
		{"space, percent and quote in the name", "my clip %03d 'x'.mp4", join(lavfi(small), x264)},
		{"dash before the name", "-vf.mp4", join(lavfi(small), x264)},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := film(t, c.file, c.args...)
			times, first, _, _ := read(t, path)
			sameTimes(t, times, shown(t, path))
			if cw, ch := first.ChromaSize(); len(first.Y) != first.Width*first.Height || len(first.U) != cw*ch || len(first.V) != cw*ch {
				t.Errorf("planes of %d, %d, %d bytes for %dx%d", len(first.Y), len(first.U), len(first.V), first.Width, first.Height)
			}
		})
	}
}

func TestEditListHidesTheFirstFrames(t *testing.T) {
	whole := film(t, "whole.mp4", join(lavfi(small), x264, []string{"-g", "300"})...)
	path := film(t, "cut.mp4", "-ss", "0.4", "-i", whole, "-c", "copy")
	times, _, _, _ := read(t, path)
	sameTimes(t, times, shown(t, path))
	if len(times) != 18 {
		t.Errorf("%d frames, want 18: 30 less the 12 hidden ones", len(times))
	}
}

// rotate patches the matrix of the picture track's tkhd box (ISO/IEC 14496-12,
// 8.3.2), as a phone held otherwise writes it.
func rotate(t *testing.T, path string, a, b, c, d int32) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(data, []byte("tkhd"))
	if at < 0 {
		t.Fatal("no tkhd box")
	}
	matrix := data[at+4+40:]
	for k, v := range []int32{a, b, 0, c, d, 0, 0, 0, 1 << 14} {
		scale := int32(1 << 16)
		if k%3 == 2 {
			scale = 1
			if k == 8 {
				v = 1 << 30
			}
		}
		binary.BigEndian.PutUint32(matrix[4*k:], uint32(v*scale))
	}
	return write(t, "turned.mp4", data)
}

func TestRotation(t *testing.T) {
	// A white block in the top left corner of the stored picture.
	source := "color=black:s=96x64:r=30:d=0.2,drawbox=x=0:y=0:w=32:h=32:color=white:t=fill"
	stored := film(t, "flat.mp4", join(lavfi(source), x264)...)
	for _, c := range []struct {
		name       string
		a, b, c, d int32
		turn, w, h int
		x, y       int // a pixel of the block when upright
	}{
		{"none", 1, 0, 0, 1, 0, 96, 64, 8, 8},
		{"90", 0, 1, -1, 0, 90, 64, 96, 56, 8},
		{"180", -1, 0, 0, -1, 180, 96, 64, 88, 56},
		{"270", 0, -1, 1, 0, 270, 64, 96, 8, 88},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := rotate(t, stored, c.a, c.b, c.c, c.d)
			info, err := Probe(context.Background(), path)
			if err != nil {
				t.Fatal(err)
			}
			if info.Rotation != c.turn || info.Width != c.w || info.Height != c.h {
				t.Errorf("turn %d, %dx%d; want %d, %dx%d", info.Rotation, info.Width, info.Height, c.turn, c.w, c.h)
			}
			_, f, _, _ := read(t, path)
			bright := mean(f.Y, f.Width, c.x-4, c.y-4, c.x+4, c.y+4)
			all := mean(f.Y, f.Width, 0, 0, f.Width, f.Height)
			if bright < 220 || all > 80 {
				t.Errorf("block at %d,%d is %.0f, whole picture %.0f", c.x, c.y, bright, all)
			}
		})
	}
}

func TestSquarePixels(t *testing.T) {
	for _, c := range []struct {
		sar  string
		w, h int
	}{{"4/3", 128, 64}, {"1/2", 96, 128}} {
		path := film(t, "a.mp4", join(lavfi(small+",setsar="+c.sar), x264)...)
		_, f, _, _ := read(t, path)
		if f.Width != c.w || f.Height != c.h {
			t.Errorf("pixels of %s: %dx%d, want %dx%d", c.sar, f.Width, f.Height, c.w, c.h)
		}
	}
}

// Each clip shows one flat colour; the planes must hold its BT.709 code, from
// the definition Y' = 0.2126 R + 0.7152 G + 0.0722 B (ITU-R BT.709-6, 3.2).
func TestColourIsBT709(t *testing.T) {
	encode := func(vf, pix string, tags ...string) []string {
		return join(lavfi("color=0xC04020:s=64x64:r=30:d=0.1"), []string{"-vf", vf, "-c:v", "libx264", "-qp", "1", "-pix_fmt", pix}, tags)
	}
	r, g, b := 192.0/255, 64.0/255, 32.0/255
	luma := 0.2126*r + 0.7152*g + 0.0722*b
	want := [3]float64{16 + 219*luma, 128 + 224*(b-luma)/1.8556, 128 + 224*(r-luma)/1.5748}
	for _, c := range []struct {
		name string
		args []string
	}{
		{"tagged BT.709", encode("scale=out_color_matrix=bt709:out_range=tv", "yuv420p", "-colorspace", "bt709")},
		{"tagged BT.601", encode("scale=out_color_matrix=bt601:out_range=tv", "yuv420p", "-colorspace", "smpte170m")},
		{"untagged and small is BT.601", encode("scale=out_color_matrix=bt601:out_range=tv", "yuv420p")},
		{"untagged with 720 lines is BT.709", encode("scale=w=1280:h=720:out_color_matrix=bt709:out_range=tv", "yuv420p")},
		{"full range", encode("scale=out_color_matrix=bt709:out_range=pc", "yuvj420p", "-colorspace", "bt709", "-color_range", "pc")},
		{"full range BT.601", encode("scale=out_color_matrix=bt601:out_range=pc", "yuvj420p", "-colorspace", "smpte170m", "-color_range", "pc")},
		{"4:4:4", encode("scale=out_color_matrix=bt709:out_range=tv", "yuv444p", "-colorspace", "bt709")},
		{"10 bit", encode("scale=out_color_matrix=bt709:out_range=tv", "yuv420p10le", "-colorspace", "bt709")},
		{"RGB", join(lavfi("color=0xC04020:s=64x64:r=30:d=0.1"), []string{"-c:v", "libx264rgb", "-qp", "1", "-pix_fmt", "rgb24"})},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, f, _, _ := read(t, film(t, "a.mp4", c.args...))
			cw, ch := f.ChromaSize()
			got := [3]float64{mean(f.Y, f.Width, 0, 0, f.Width, f.Height), mean(f.U, cw, 0, 0, cw, ch), mean(f.V, cw, 0, 0, cw, ch)}
			for k := range got {
				if math.Abs(got[k]-want[k]) > 1.6 { // 8-bit rounding, twice
					t.Errorf("plane %d is %.1f, want %.1f", k, got[k], want[k])
				}
			}
		})
	}
}

// Reference white of HLG is 75 % of the signal (ITU-R BT.2408, table 1): 10-bit
// code 721; it must come out near the top of the limited range, not grey.
func TestHDRWhiteStaysWhite(t *testing.T) {
	path := film(t, "a.mp4", join(lavfi("color=black:s=64x64:r=30:d=0.1,format=yuv420p10le,geq=lum=721:cb=512:cr=512"),
		[]string{"-c:v", "libx264", "-qp", "1", "-pix_fmt", "yuv420p10le", "-color_primaries", "bt2020", "-color_trc", "arib-std-b67", "-colorspace", "bt2020nc", "-color_range", "tv"})...)
	info, err := Probe(context.Background(), path)
	if err != nil || !info.HDR() || info.Bits != 10 {
		t.Fatalf("%v, HDR %v, %d bits", err, info.HDR(), info.Bits)
	}
	_, f, _, _ := read(t, path)
	if y := mean(f.Y, 64, 0, 0, 64, 64); y < 225 || y > 240 {
		t.Errorf("white is %.0f, want about 235", y)
	}
}

func TestStoppingEarly(t *testing.T) {
	path := film(t, "a.mp4", join(lavfi("testsrc2=s=640x360:r=60:d=10"), x264)...)
	r, err := Open(context.Background(), path, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	var f track.Frame
	for range 3 {
		if err := r.Next(&f); err != nil {
			t.Fatal(err)
		}
	}
	if ws, err := r.Close(); err != nil || hasWarning(ws, Damaged) {
		t.Errorf("closing a sound clip early: %v, %v", ws, err)
	}
	if err := r.Next(&f); err == nil || err == io.EOF {
		t.Errorf("reading after Close gave %v", err)
	}
}

func TestCancelling(t *testing.T) {
	path := film(t, "a.mp4", join(lavfi("testsrc2=s=640x360:r=60:d=10"), x264)...)
	ctx, cancel := context.WithCancel(context.Background())
	r, err := Open(ctx, path, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	cancel()
	var f track.Frame
	for err == nil {
		err = r.Next(&f)
	}
	if !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want the interruption", err)
	}
}

func TestMaxLength(t *testing.T) {
	o := DefaultOptions()
	o.MaxLength = 0.5
	_, err := Open(context.Background(), film(t, "a.mp4", join(lavfi(small), x264)...), o)
	var refused *Refusal
	if !errors.As(err, &refused) || refused.Code != TooLong {
		t.Errorf("got %v", err)
	}
}

func TestGapIsReported(t *testing.T) {
	path := film(t, "a.mp4", join(lavfi(small), x264, []string{"-enc_time_base", "1:90000", "-fps_mode", "passthrough", "-vf", "setpts='(N+if(gte(N\\,12)\\,30\\,0))/(30*TB)'"})...)
	times, _, _, ws := read(t, path)
	if len(times) != 30 {
		t.Errorf("%d frames", len(times))
	}
	if len(ws) == 0 || !hasWarning(ws, TimeGap) {
		t.Fatalf("warnings %v", ws)
	}
	for _, w := range ws {
		if w.Code == TimeGap && (w.Frame != 12 || !w.Spoils) {
			t.Errorf("gap at %d, spoils %v", w.Frame, w.Spoils)
		}
	}
}

func TestFramesSurviveUntilTheNextCall(t *testing.T) {
	path := film(t, "a.mp4", join(lavfi(small), x264)...)
	_, first, last, _ := read(t, path)
	r, err := Open(context.Background(), path, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var f track.Frame
	if err := r.Next(&f); err != nil {
		t.Fatal(err)
	}
	time.Sleep(100 * time.Millisecond) // let the reading ahead fill every buffer
	if !bytes.Equal(f.Y, first.Y) {
		t.Error("the first frame was overwritten before the next was asked for")
	}
	if bytes.Equal(first.Y, last.Y) {
		t.Error("first and last frame are alike")
	}
}

func TestMissingFile(t *testing.T) {
	if r := refusal(t, filepath.Join(t.TempDir(), "none.mp4")); r.Code != NotAFile {
		t.Error(r)
	}
}

// TestNoChildIsLeft counts the children of this process after the ways a reader
// can end.
func TestNoChildIsLeft(t *testing.T) {
	path := film(t, "a.mp4", join(lavfi("testsrc2=s=640x360:r=60:d=4"), x264)...)
	for range 3 {
		r, err := Open(context.Background(), path, DefaultOptions())
		if err != nil {
			t.Fatal(err)
		}
		if _, err := r.Close(); err != nil {
			t.Fatal(err)
		}
	}
	read(t, path)
	r, err := Open(context.Background(), path, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	r.opts.MaxLength = 0.5 // as if the header had told of a shorter clip
	var f track.Frame
	for err == nil {
		err = r.Next(&f)
	}
	var refused *Refusal
	if !errors.As(err, &refused) || refused.Code != TooLong {
		t.Errorf("got %v", err)
	}
	if err := r.Next(&f); !errors.Is(err, refused) {
		t.Errorf("asked again: %v", err)
	}
	if _, err := r.Close(); err != nil {
		t.Fatal(err)
	}
	tasks, err := filepath.Glob("/proc/self/task/*/children")
	if err != nil || len(tasks) == 0 {
		t.Fatalf("%v: %d threads", err, len(tasks))
	}
	for _, task := range tasks {
		children, err := os.ReadFile(task)
		if err == nil && len(children) > 0 {
			t.Errorf("children left: %s", children)
		}
	}
}

// A part of mirrored pictures is cut out after they are mirrored.
func TestOpenOfAPart(t *testing.T) {
	path := film(t, "part.mp4", join(lavfi("testsrc2=size=64x48:rate=30:duration=0.2"), x264)...)
	_, whole, _, _ := read(t, path)
	head, err := Admit(context.Background(), path, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	r, err := head.Open(context.Background(), Part{Mirror: true, Area: image.Rect(10, 4, 40, 30)}, DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var f track.Frame
	if err := r.Next(&f); err != nil {
		t.Fatal(err)
	}
	if f.Width != 30 || f.Height != 26 {
		t.Fatalf("pictures of %dx%d px, want 30x26", f.Width, f.Height)
	}
	for y := range 26 {
		for x := range 30 {
			if got, want := f.Y[y*30+x], whole.Y[(y+4)*64+63-x-10]; got != want {
				t.Fatalf("luma (%d, %d) is %d, want %d", x, y, got, want)
			}
		}
	}
}

// A kept frame is the same after the next one was read, to the end of the clip.
func TestKept(t *testing.T) {
	path := film(t, "kept.mp4", join(lavfi("testsrc2=size=64x48:rate=30:duration=0.5"), x264)...)
	o := DefaultOptions()
	o.Kept, o.ReadAhead = 1, 1
	r, err := Open(context.Background(), path, o)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var f track.Frame
	var luma, before []byte // of the frame before: in its place, and as it was then
	n := 0
	for ; ; n++ {
		err := r.Next(&f)
		if !bytes.Equal(luma, before) {
			t.Fatalf("frame %d changed when the next one was read", n-1)
		}
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		luma, before = f.Y, bytes.Clone(f.Y)
	}
	if n != 15 {
		t.Errorf("%d frames, want 15", n)
	}
}
