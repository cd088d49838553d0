package reel

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"strokereel/pipeline/practice"
	"strokereel/track"
)

// counted is a clip whose brightness tells its frames apart: frame n of 60 a
// second has the luma 20 + n. It also carries a place and a device.
func counted(t *testing.T, path string) {
	t.Helper()
	args := []string{"-nostdin", "-v", "error", "-y", "-f", "lavfi", "-i", "color=c=gray:s=320x180:r=60:d=3,format=yuv420p,geq=lum=20+N:cb=128:cr=128",
		"-f", "lavfi", "-i", "sine=frequency=1000:duration=3", "-c:v", "libx264", "-preset", "ultrafast", "-qp", "4", "-pix_fmt", "yuv420p",
		"-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709", "-color_range", "tv", "-c:a", "aac",
		"-metadata", "location=+48.0+011.0/", "-metadata", "make=Phone", "-movflags", "use_metadata_tags", path}
	if out, err := exec.Command("ffmpeg", args...).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
}

func small(file string, perM, impact float64) filmed {
	return filmed{file: file, w: 320, h: 180, perM: perM, x: 140, y: 150, start: impact - 0.5, top: impact - 0.2,
		impact: impact, stop: impact + 0.3, over: impact + 0.5, end: 3, back: 0.3, through: 0.4, ball: 2}
}

// brief makes a reel of a few seconds.
func brief() Options {
	o := DefaultOptions()
	o.Opening, o.Closing, o.Stop, o.Compared, o.Lead, o.Tail, o.MostTail, o.Slowest, o.Rate = 0.5, 0.5, 0.2, 0.2, 0.1, 0.1, 0.3, 1, 24
	return o
}

// smallLesson is a lesson of two counted clips in dir.
func smallLesson(t *testing.T, dir string) Lesson {
	t.Helper()
	clips := [2]Clip{small("before.mp4", 150, 1.21).measured(), small("after.mp4", 140, 1.5).measured()}
	for i, name := range []string{"before.mp4", "after.mp4"} {
		clips[i].File = filepath.Join(dir, name)
		counted(t, clips[i].File)
	}
	return lessonOf(clips[0], clips[1])
}

// probed is what ffprobe says of a reel.
type probed struct {
	Streams []struct {
		Type       string            `json:"codec_type"`
		Codec      string            `json:"codec_name"`
		Profile    string            `json:"profile"`
		PixFmt     string            `json:"pix_fmt"`
		Width      int               `json:"width"`
		Height     int               `json:"height"`
		Frames     string            `json:"nb_frames"`
		Range      string            `json:"color_range"`
		Space      string            `json:"color_space"`
		Transfer   string            `json:"color_transfer"`
		Primaries  string            `json:"color_primaries"`
		SampleRate string            `json:"sample_rate"`
		Channels   int               `json:"channels"`
		Tags       map[string]string `json:"tags"`
	} `json:"streams"`
	Chapters []struct {
		Start string            `json:"start_time"`
		Tags  map[string]string `json:"tags"`
	} `json:"chapters"`
	Format struct {
		Duration string            `json:"duration"`
		Tags     map[string]string `json:"tags"`
	} `json:"format"`
}

func probe(t *testing.T, path string) probed {
	t.Helper()
	out, err := exec.Command("ffprobe", "-v", "error", "-show_streams", "-show_chapters", "-show_format", "-of", "json", path).Output()
	if err != nil {
		t.Fatal(err)
	}
	var p probed
	if err := json.Unmarshal(out, &p); err != nil {
		t.Fatal(err)
	}
	return p
}

func TestCreate(t *testing.T) {
	dir := t.TempDir()
	l := smallLesson(t, dir)
	drills, err := practice.Load(practice.DefaultOptions())
	if err != nil {
		t.Fatal(err)
	}
	l.Practice = &drills
	for _, shape := range []Shape{Wide, Tall} {
		t.Run(string(shape), func(t *testing.T) {
			out := filepath.Join(dir, string(shape)+".mp4")
			o := brief()
			o.SendSize = 0.35
			files, err := Create(context.Background(), Job{Lesson: l, Shape: shape, Out: out, Send: shape == Tall}, o)
			if err != nil {
				t.Fatal(err)
			}
			p := planOf(t, l, shape, o)
			if last := files[len(files)-1]; last != out {
				t.Errorf("the last file is %q", last)
			}
			checkForm(t, probe(t, out), p)
			checkHalves(t, out, p)
			checkBoxes(t, out)
			if shape == Tall {
				checkSent(t, strings.TrimSuffix(out, ".mp4")+".send.mp4", p, o)
			}
			for _, end := range []string{".vtt", ".reel.json", ".poster.jpg", ".before-top.jpg", ".before-impact.jpg", ".after-stop.jpg"} {
				if st, err := os.Stat(strings.TrimSuffix(out, ".mp4") + end); err != nil || st.Size() == 0 {
					t.Errorf("%s: %v", end, err)
				}
			}
		})
	}
	for _, name := range []string{practice.PageFile, practice.SoundFile} {
		if st, err := os.Stat(filepath.Join(dir, name)); err != nil || st.Size() == 0 {
			t.Errorf("%s: %v", name, err)
		}
	}
	if left, err := filepath.Glob(filepath.Join(dir, ".reel-*")); err != nil || len(left) > 0 {
		t.Errorf("left %v, %v", left, err)
	}
}

// checkSent wants the form for sending small enough, with all its parts.
func checkSent(t *testing.T, path string, p Plan, o Options) {
	t.Helper()
	if st, err := os.Stat(path); err != nil || float64(st.Size()) > o.SendSize*1e6 {
		t.Errorf("the form for sending: %v, %v", st, err)
	}
	s := probe(t, path)
	if min(s.Streams[0].Width, s.Streams[0].Height) != 720 || len(s.Chapters) != len(p.Segments) || s.Chapters[1].Tags["title"] != p.Segments[1].Chapter {
		t.Errorf("the form for sending is %+v", s)
	}
}

// checkForm compares the film with what players need and with its plan.
func checkForm(t *testing.T, got probed, p Plan) {
	t.Helper()
	if len(got.Streams) < 3 {
		t.Fatalf("streams %+v", got.Streams)
	}
	v, a, s := got.Streams[0], got.Streams[1], got.Streams[2]
	if v.Codec != "h264" || v.Profile != "High" || v.PixFmt != "yuv420p" || v.Range != "tv" || v.Space != "bt709" || v.Transfer != "bt709" || v.Primaries != "bt709" ||
		v.Width != p.Width || v.Height != p.Height || v.Frames != fmt.Sprint(p.Frames) {
		t.Errorf("pictures %+v", v)
	}
	if a.Codec != "aac" || a.SampleRate != "48000" || a.Channels != 2 || s.Codec != "mov_text" {
		t.Errorf("sound %+v, captions %+v", a, s)
	}
	if len(got.Chapters) != len(p.Segments) {
		t.Fatalf("%d chapters, want %d", len(got.Chapters), len(p.Segments))
	}
	for i, c := range got.Chapters {
		var start float64
		if _, err := fmt.Sscan(c.Start, &start); err != nil {
			t.Fatal(err)
		}
		if frame := start * float64(p.Rate); math.Abs(frame-float64(p.Segments[i].Start)) > 0.05 || c.Tags["title"] != p.Segments[i].Chapter {
			t.Errorf("chapter %d %q begins at frame %.2f, want %q at %d", i, c.Tags["title"], frame, p.Segments[i].Chapter, p.Segments[i].Start)
		}
	}
	tags := fmt.Sprint(got.Format.Tags, v.Tags, a.Tags, s.Tags)
	for _, private := range []string{"location", "Phone", "+48", "make"} {
		if strings.Contains(tags, private) {
			t.Errorf("the film says %q: %s", private, tags)
		}
	}
}

// frameOf decodes one frame of a film as grey.
func frameOf(t *testing.T, path string, n int, p Plan) []byte {
	t.Helper()
	out, err := exec.Command("ffmpeg", "-nostdin", "-v", "error", "-i", path, "-map", "0:v", "-vf", fmt.Sprintf("select=eq(n\\,%d),extractplanes=y", n),
		"-frames:v", "1", "-f", "rawvideo", "-pix_fmt", "gray", "-").Output()
	if err != nil || len(out) != p.Width*p.Height {
		t.Fatalf("frame %d: %d bytes, %v", n, len(out), err)
	}
	return out
}

// checkHalves reads the frames of the clips off both halves: the one nearest to
// impact on the frame of the impact, and around it those the plan asks for.
func checkHalves(t *testing.T, path string, p Plan) {
	t.Helper()
	seg := part(t, p, Both, 0)
	impact, _ := stopFrame(seg.Panes[0].Runs, track.Impact)
	for _, i := range []int{impact - 4, impact, impact + 1} {
		f := frameOf(t, path, seg.Start+i, p)
		for k, pane := range seg.Panes {
			at, _ := Time(pane.Runs, i, p.Rate)
			want := math.Round(at * 60)
			if i == impact {
				want = math.Round(p.Sources[k].ImpactS * 60)
			}
			// In the middle of the box nothing is drawn.
			x, y := pane.Box.X+pane.Box.W/2, pane.Box.Y+pane.Box.H/2
			got := float64(f[y*p.Width+x]) - 20
			if math.Abs(got-want) > 1.1 {
				t.Errorf("frame %d of both shows frame %.0f of source %d, want %.0f", i, got, k, want)
			}
		}
	}
}

// checkBoxes wants the index of the film before its pictures.
func checkBoxes(t *testing.T, path string) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if moov, mdat := bytes.Index(data, []byte("moov")), bytes.Index(data, []byte("mdat")); moov < 0 || mdat < moov {
		t.Errorf("moov at %d, mdat at %d", moov, mdat)
	}
}

// A reel that fails or is called off leaves nothing behind.
func TestCreateLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	l := smallLesson(t, dir)
	gone := l
	gone.After = []Clip{l.After[0]}
	gone.After[0].File = filepath.Join(dir, "gone.mp4")
	soon, cancel := context.WithCancel(context.Background())
	defer cancel()
	for _, c := range []struct {
		name string
		ctx  context.Context
		in   Lesson
		want string
	}{
		{"a clip that is gone", context.Background(), gone, "gone.mp4"},
		{"called off", soon, l, "canceled"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out := filepath.Join(dir, "out")
			if err := os.MkdirAll(out, 0o755); err != nil {
				t.Fatal(err)
			}
			j := Job{Lesson: c.in, Shape: Wide, Out: filepath.Join(out, "reel.mp4"), Progress: func(share float64) {
				if share > 0.1 {
					cancel()
				}
			}}
			if c.ctx != soon {
				j.Progress = nil
			}
			if _, err := Create(c.ctx, j, brief()); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
			err := filepath.WalkDir(out, func(path string, d fs.DirEntry, err error) error {
				if path != out {
					t.Errorf("left %s", path)
				}
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
		})
	}
	if _, err := Create(context.Background(), Job{Lesson: l, Shape: Wide, Out: filepath.Join(dir, "reel.mov")}, brief()); err == nil || !strings.Contains(err.Error(), "must end in .mp4") {
		t.Errorf("another ending gave %v", err)
	}
}
