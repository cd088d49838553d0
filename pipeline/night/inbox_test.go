package night

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"image"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"strokereel/pipeline"
	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
)

// Clips of these tests are lines of text that say how the clip fares; reading
// them stands for measuring. What a clip is worth is tested where clips are
// measured.
const (
	good       = "good"
	numberless = "numberless"
	strokeless = "strokeless"
	unreadable = "unreadable"
)

// box is an inbox and an outbox.
type box struct {
	t        *testing.T
	in, out  string
	measured []string // names of clips, in order; filled by runs with one lane
	reels    []string // names of lessons
}

func newBox(t *testing.T) *box {
	t.Helper()
	dir := t.TempDir()
	b := &box{t: t, in: filepath.Join(dir, "in"), out: filepath.Join(dir, "out")}
	must(t, os.Mkdir(b.in, 0o755))
	return b
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// put writes a file into the inbox; clips differ by their names. It is an hour
// old, and each that follows a minute younger.
func (b *box) put(name, text string) string {
	b.t.Helper()
	path := filepath.Join(b.in, filepath.FromSlash(name))
	must(b.t, os.MkdirAll(filepath.Dir(path), 0o755))
	if clip.Named(name) {
		text += "\n" + name
	}
	must(b.t, os.WriteFile(path, []byte(text), 0o644))
	return path
}

func (b *box) lesson(name string) {
	b.put(name+"/before.mp4", good)
	b.put(name+"/after.mp4", good)
}

func (b *box) job() Job {
	s := settings.Default()
	s.Night.Lanes, s.Night.ClipTime = 1, 1
	return Job{
		Inbox: b.in, Outbox: b.out, Settings: s, ReelVersion: "1",
		measure: func(_ context.Context, c pipeline.Reading, dir string, _ settings.Settings) (outcome, error) {
			b.measured = append(b.measured, filepath.Base(c.File))
			return readInstead(c.File, dir)
		},
		Reel: func(_ context.Context, l Lesson, out string) error {
			b.reels = append(b.reels, l.Name)
			return listInstead(l, out)
		},
	}
}

// run carries out a night that must not fail.
func (b *box) run() *Morning {
	b.t.Helper()
	b.measured, b.reels = nil, nil
	m, err := Run(context.Background(), b.job())
	must(b.t, err)
	return m
}

// readInstead makes a result from what a clip of these tests says.
func readInstead(path, dir string) (outcome, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return outcome{}, err
	}
	kind, _, _ := strings.Cut(string(data), "\n")
	if kind == unreadable {
		return outcome{State: refused, Reasons: []string{"The file is not a film."}, Do: "copy it from the phone again"}, nil
	}
	r := lesson.Report{Schema: lesson.ReportSchema, Clip: lesson.Clip{File: filepath.Base(path), SHA256: fmt.Sprintf("%x", sha256.Sum256(data))}}
	if kind == good {
		v, u := 0.25+0.0001*float64(len(data)), 0.004
		r.Strokes = []lesson.Stroke{{Kind: "putt", Measures: map[string]lesson.Measure{
			"backstroke_length": {Value: &v, U95: &u, Unit: "m", Status: "measured"}}}}
	}
	text, err := json.Marshal(r)
	if err != nil {
		return outcome{}, err
	}
	if err := os.WriteFile(filepath.Join(dir, "report.json"), text, 0o644); err != nil {
		return outcome{}, err
	}
	if err := savePicture(image.NewGray(image.Rect(0, 0, 32, 18)), dir); err != nil {
		return outcome{}, err
	}
	state := map[string]string{good: usable, numberless: withoutNumbers, strokeless: filmAgain}[kind]
	return outcome{State: state, Picture: true}, nil
}

// listInstead makes a film that lists the clips it would be made from.
func listInstead(l Lesson, out string) error {
	var b strings.Builder
	for _, c := range l.Clips {
		data, err := os.ReadFile(filepath.Join(c.Results, "report.json"))
		if err != nil {
			return err
		}
		fmt.Fprintf(&b, "%s %s %v %x\n", c.Role, c.Name, c.Numbers, sha256.Sum256(data))
	}
	return os.WriteFile(filepath.Join(out, "reel.mp4"), []byte(b.String()), 0o644)
}

// tree hashes everything below a folder except the names left out.
func tree(t *testing.T, dir string, except ...string) map[string]string {
	t.Helper()
	all, err := list(dir)
	must(t, err)
	found := map[string]string{}
next:
	for name := range all {
		for _, e := range except {
			if name == e || strings.HasPrefix(name, e+"/") || strings.HasSuffix(name, "/"+e) {
				continue next
			}
		}
		data, err := os.ReadFile(filepath.Join(dir, name))
		must(t, err)
		found[name] = fmt.Sprintf("%x", sha256.Sum256(data))
	}
	return found
}

func TestRoleIn(t *testing.T) {
	for name, want := range map[string]sheet.Role{
		"before": sheet.Before, "Before_2.MP4": sheet.Before, "S-014 after.mp4": sheet.After, "after1.mov": sheet.After,
		"3-reference.mp4": sheet.Reference, "drill": sheet.Drill, "beforehand.mp4": "", "afternoon.mp4": "", "IMG_0042.MOV": "",
		"before-after.mp4": "", "before before.mp4": sheet.Before, "-after.mp4": sheet.After, "": "",
	} {
		if got := roleIn(name); got != want {
			t.Errorf("%q is %q, want %q", name, got, want)
		}
	}
}

func TestLook(t *testing.T) {
	b := newBox(t)
	for _, name := range []string{
		"monday/before/a.mp4", "monday/after/b.MOV", "monday/c.mp4", "monday/notes.txt", "monday/lesson.yaml", "monday/._c.mp4",
		"monday/more/d.mp4", "loose after.mp4", "before/e.mp4", ".hidden/f.mp4", "readme.md",
	} {
		b.put(name, good)
	}
	must(t, os.Mkdir(filepath.Join(b.in, "monday", "x.mp4"), 0o755))
	must(t, os.Mkdir(filepath.Join(b.in, "empty"), 0o755))
	must(t, os.Mkdir(filepath.Join(b.in, "results"), 0o755))
	lessons, err := look(b.in, filepath.Join(b.in, "results"))
	must(t, err)
	var got []string
	for _, l := range lessons {
		var clips []string
		for _, c := range l.clips {
			clips = append(clips, c.name+"="+string(c.role))
		}
		got = append(got, fmt.Sprintf("%s: %s; passed %s", l.name, strings.Join(clips, " "), strings.Join(l.passed, " ")))
	}
	want := []string{
		"empty: ; passed ",
		"monday: after/b.MOV=after before/a.mp4=before c.mp4=; passed more notes.txt x.mp4",
		"in: before/e.mp4=before loose after.mp4=after; passed readme.md",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("found\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func TestAssign(t *testing.T) {
	clip := func(name string, minute int, role sheet.Role) *planClip {
		return &planClip{Clip: Clip{Name: name, Recorded: time.Unix(0, 0).Add(time.Duration(minute) * time.Minute), Role: role, RecordedFrom: "phone"}}
	}
	for _, c := range []struct {
		name  string
		clips []*planClip
		want  string
		says  string
	}{
		{"all named", []*planClip{clip("a", 0, sheet.After), clip("b", 9, sheet.Before)}, "after before", ""},
		{"the longest pause", []*planClip{clip("d", 50, ""), clip("a", 0, ""), clip("b", 2, ""), clip("c", 48, "")}, "after before before after", "before ends with b, after begins with c"},
		{"two clips", []*planClip{clip("a", 0, ""), clip("b", 1, "")}, "before after", "1m0s"},
		{"one clip", []*planClip{clip("a", 0, "")}, "", ""},
		{"a drill does not count", []*planClip{clip("a", 0, ""), clip("x", 500, sheet.Drill), clip("b", 1, "")}, "before drill after", "after begins with b"},
		{"only before named", []*planClip{clip("a", 0, sheet.Before), clip("b", 5, "")}, "before after", "b is taken for an after clip"},
		{"earlier than the before", []*planClip{clip("a", 5, sheet.Before), clip("b", 0, "")}, "before before", "b is taken for a before clip"},
		{"only after named", []*planClip{clip("a", 5, sheet.After), clip("b", 0, ""), clip("c", 9, "")}, "after before after", "b is taken"},
		{"both named, nearest in time", []*planClip{clip("a", 0, sheet.Before), clip("b", 60, sheet.After), clip("c", 7, ""), clip("d", 58, "")}, "before after before after", "d is taken for an after clip"},
	} {
		t.Run(c.name, func(t *testing.T) {
			assumed, _ := assign(c.clips, true)
			says := strings.Join(assumed, "; ")
			var got []string
			for _, p := range c.clips {
				got = append(got, string(p.Role))
			}
			if strings.Join(got, " ") != c.want || !strings.Contains(says, c.says) || (says == "") != (c.says == "") {
				t.Errorf("got %v, saying %q", got, says)
			}
		})
	}
}

func TestLanesFor(t *testing.T) {
	for _, c := range []struct {
		cores           int
		memory, perClip float64
		want            int
	}{{2, 20000, 400, 2}, {8, 2400, 400, 3}, {8, 100, 400, 1}, {4, 0, 400, 4}, {1, 64000, 400, 1}} {
		if got := lanesFor(c.cores, c.memory, c.perClip); got != c.want {
			t.Errorf("%d cores, %v MB: %d lanes, want %d", c.cores, c.memory, got, c.want)
		}
	}
}
