package demo

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// closeUp is a small clip of the head alone, seen through a long lens, around the
// impact.
func closeUp(t *testing.T, seed int) Spec {
	t.Helper()
	s, err := Case("clean", seed)
	if err != nil {
		t.Fatal(err)
	}
	s.Case = "close-up"
	s.Player.Present = false
	s.Camera = Camera{Width: 320, Height: 180, FocalMM: 140, Distance: 3, Rise: 0.8, Pitch: -14.2, Roll: 1, Yaw: 1, Aside: -0.05}
	s.Video.BitRate, s.Video.Shutter, s.Video.Noise = 8e6, 1.0/400, 0.004
	s.Putter.StickerName, s.Putter.StickerRGB = stickerColours[0].name, stickerColours[0].rgb
	s.Putter.HeadRGB = rgb{0.1, 0.1, 0.1}
	s.Strokes[0].Waggles = nil
	s.Strokes[0].Onset += 0.12 - s.Strokes[0].nominal()
	s.Duration = 0.25
	return s
}

func rendered(t *testing.T, s Spec) (string, Truth) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "clip.mp4")
	if err := Render(context.Background(), s, path); err != nil {
		t.Fatal(err)
	}
	return path, readTruth(t, TruthPath(path))
}

func readTruth(t *testing.T, path string) Truth {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var truth Truth
	if err := json.Unmarshal(b, &truth); err != nil {
		t.Fatal(err)
	}
	return truth
}

func output(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	c := exec.Command(name, args...)
	var said bytes.Buffer
	c.Stderr = &said
	b, err := c.Output()
	if err != nil {
		t.Fatalf("%s: %v: %s", name, err, said.String())
	}
	return b
}

// pictures decodes a clip the way a player shows it. Chroma is where its
// horizontal place says, in 1/256 of a chroma sample.
func pictures(t *testing.T, path string, w, h, chroma int) [][]byte {
	t.Helper()
	place := fmt.Sprintf("scale=flags=accurate_rnd+full_chroma_int+full_chroma_inp+bicubic:in_h_chr_pos=%d:in_v_chr_pos=128", chroma)
	raw := output(t, "ffmpeg", "-v", "error", "-i", path, "-fps_mode", "passthrough", "-vf", place,
		"-f", "rawvideo", "-pix_fmt", "rgb24", "pipe:1")
	if len(raw)%(w*h*3) != 0 {
		t.Fatalf("%d bytes are not whole pictures of %dx%d", len(raw), w, h)
	}
	var out [][]byte
	for ; len(raw) > 0; raw = raw[w*h*3:] {
		out = append(out, raw[:w*h*3])
	}
	return out
}

// magenta is how much more red and blue than green a coded pixel has, in linear
// light, so that a blurred edge counts by its light.
func magenta(p []byte) float64 {
	linear := func(v byte) float64 { return math.Pow((float64(v)/255+0.099)/1.099, 1/0.45) }
	m := (linear(p[0])+linear(p[2]))/2 - linear(p[1])
	if m < 0.06 {
		return 0
	}
	return m
}

func centroid(img []byte, w int, near [2]float64, reach float64) (x, y float64) {
	var sum float64
	for i := 0; i < len(img); i += 3 {
		px, py := float64(i/3%w), float64(i/3/w)
		if math.Abs(px-near[0]) > reach || math.Abs(py-near[1]) > reach {
			continue
		}
		m := magenta(img[i : i+3])
		x, y, sum = x+m*px, y+m*py, sum+m
	}
	return x / sum, y / sum
}

func TestStickerIsWhereTheTruthSays(t *testing.T) {
	for _, c := range []struct {
		name         string
		turned, left bool
		chroma       int
	}{{"chroma centred", false, false, 128}, {"chroma left", false, true, 0}, {"phone upright", true, false, 128}} {
		t.Run(c.name, func(t *testing.T) {
			s := closeUp(t, 1)
			s.Video.Sharpen, s.Video.ChromaLeft = 0, c.left
			if c.turned {
				s.Camera.Width, s.Camera.Height, s.Camera.Turned = 180, 320, true
			}
			path, truth := rendered(t, s)
			imgs := pictures(t, path, s.Camera.Width, s.Camera.Height, c.chroma)
			if len(imgs) != len(truth.Frames) {
				t.Fatalf("%d pictures, truth has %d", len(imgs), len(truth.Frames))
			}
			checked := 0
			var dx, dy float64
			for i, f := range truth.Frames {
				if !f.MarkerWhole || f.Marker[0] < 25 || f.Marker[0] > float64(s.Camera.Width)-25 {
					continue
				}
				x, y := centroid(imgs[i], s.Camera.Width, *f.MarkerMean, 22)
				if d := math.Hypot(x-f.MarkerMean[0], y-f.MarkerMean[1]); d > 0.15 {
					t.Errorf("frame %d: disc at %.2f, %.2f, truth %.2f, %.2f", i, x, y, f.MarkerMean[0], f.MarkerMean[1])
				}
				dx, dy, checked = dx+x-f.MarkerMean[0], dy+y-f.MarkerMean[1], checked+1
			}
			if checked < 4 {
				t.Fatalf("only %d frames show the disc", checked)
			}
			if d := math.Hypot(dx, dy) / float64(checked); d > 0.15 {
				t.Errorf("disc is %.2f px off on average", d)
			}
		})
	}
}

func TestRotationIsThatOfAPhone(t *testing.T) {
	s := closeUp(t, 2)
	s.Camera.Width, s.Camera.Height, s.Camera.Turned = 180, 320, true
	s.Duration = 0.1
	path, _ := rendered(t, s)
	got := string(output(t, "ffprobe", "-v", "error", "-select_streams", "v", "-show_entries", "stream=width,height:stream_side_data=rotation", "-of", "default=nk=1:nw=1", path))
	if f := strings.Fields(got); strings.Join(f, " ") != "320 180 -90" {
		t.Errorf("stored size and rotation %q, want 320 180 -90", f)
	}
}

func TestSameSpecSameFile(t *testing.T) {
	s := closeUp(t, 3)
	s.Duration = 0.1
	a, _ := rendered(t, s)
	b, _ := rendered(t, s)
	one, _ := os.ReadFile(a)
	two, _ := os.ReadFile(b)
	if len(one) == 0 || !bytes.Equal(one, two) {
		t.Error("two renderings of one spec differ")
	}
}

func TestUnevenStampsAreInTheFile(t *testing.T) {
	s := closeUp(t, 4)
	s.Video.DropShare, s.Video.StampJitter, s.Duration = 0.2, 0.003, 0.5
	path, truth := rendered(t, s)
	out := output(t, "ffprobe", "-v", "error", "-select_streams", "v", "-show_entries", "frame=pts_time", "-of", "csv=p=0", path)
	lines := strings.Fields(string(out))
	if len(lines) != len(truth.Frames) || len(lines) == 30 {
		t.Fatalf("%d frames in the file, %d in the truth, 30 if none were dropped", len(lines), len(truth.Frames))
	}
	offBeat := 0
	for i, l := range lines {
		got, err := strconv.ParseFloat(strings.TrimSuffix(l, ","), 64)
		if err != nil {
			t.Fatal(err)
		}
		if want := truth.Frames[i].T; math.Abs(got-want) > 2e-6 {
			t.Errorf("frame %d is stamped %.6f, truth %.6f", i, got, want)
		}
		if r := math.Mod(got*60, 1); r > 0.02 && r < 0.98 {
			offBeat++
		}
	}
	if offBeat == 0 {
		t.Error("no stamp is off the beat")
	}
}

func TestClickIsHeardWhenTheTruthSays(t *testing.T) {
	s := closeUp(t, 5)
	s.Sound.Room, s.Sound.Click = 0.0005, 0.5
	path, truth := rendered(t, s)
	raw := output(t, "ffmpeg", "-v", "error", "-i", path, "-f", "s16le", "-ac", "1", "pipe:1")
	first := -1.0
	for i := 0; i+1 < len(raw); i += 2 {
		if v := int16(uint16(raw[i]) | uint16(raw[i+1])<<8); v > 3000 || v < -3000 {
			first = float64(i/2) / 48000
			break
		}
	}
	// The coder smears the onset by less than a millisecond.
	within(t, "onset against the truth", first-*truth.SoundClick, -0.001, 0.001)
	// 331.3 m/s at 0 C, 343.2 at 20 C.
	c := 331.3 + 0.595*s.Sound.Temperature
	d := math.Sqrt(3*3 + 0.05*0.05 + 0.779*0.779)
	hit := *truth.Strokes[0].Events["impact"]
	within(t, "click after impact", *truth.SoundClick-hit, d/c+s.Sound.Offset-2e-4, d/c+s.Sound.Offset+2e-4)
}

func TestNoSoundTrack(t *testing.T) {
	s := closeUp(t, 1)
	s.Sound.None, s.Duration = true, 0.1
	path, truth := rendered(t, s)
	if got := string(output(t, "ffprobe", "-v", "error", "-select_streams", "a", "-show_entries", "stream=codec_name", "-of", "csv=p=0", path)); got != "" || truth.SoundClick != nil {
		t.Errorf("sound %q, click %v", got, truth.SoundClick)
	}
}

func TestRenderLeavesNothingHalfDone(t *testing.T) {
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := Render(ctx, closeUp(t, 1), filepath.Join(dir, "a.mp4")); err == nil {
		t.Error("a cancelled rendering reports no error")
	}
	if err := Render(context.Background(), closeUp(t, 1), filepath.Join(dir, "a.mov")); err == nil {
		t.Error("a name without .mp4 was accepted")
	}
	if left, _ := os.ReadDir(dir); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestCachedRendersOnceAndRepairs(t *testing.T) {
	dir := t.TempDir()
	s := closeUp(t, 6)
	s.Duration = 0.05
	clip, truth, err := cached(context.Background(), dir, s)
	if err != nil {
		t.Fatal(err)
	}
	first, _ := os.Stat(clip)
	if _, _, err := cached(context.Background(), dir, s); err != nil {
		t.Fatal(err)
	}
	if again, _ := os.Stat(clip); !again.ModTime().Equal(first.ModTime()) {
		t.Error("a clip in the cache was rendered again")
	}
	if err := os.Remove(truth); err != nil {
		t.Fatal(err)
	}
	if _, _, err := cached(context.Background(), dir, s); err != nil || !isFile(truth) {
		t.Errorf("a lost truth was not made again (%v)", err)
	}
}

func TestEncoderArgs(t *testing.T) {
	v := Video{RateNum: 60, RateDen: 1, BitRate: 2e6}
	args := strings.Join(encoderArgs(v, 1280, 720, nil, "/a/s.wav", "/a/c.mp4"), " ")
	for _, want := range []string{"-i pipe:0", "-i file:/a/s.wav", "-s 1280x720", "-map 0", "-map 1", "-b:v 2000000", "-colorspace bt709", "-c:a aac"} {
		if !strings.Contains(args, want) {
			t.Errorf("%q is missing in %s", want, args)
		}
	}
	if strings.Index(args, "pipe:0") > strings.Index(args, "file:/a/s.wav") {
		t.Error("the sound comes before the picture")
	}
	v.NoColourTags = true
	if args := strings.Join(encoderArgs(v, 1280, 720, nil, "", "/a/c.mp4"), " "); strings.Contains(args, "bt709") || strings.Contains(args, "aac") {
		t.Errorf("tags or sound in %s", args)
	}
}
