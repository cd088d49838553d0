package settings

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

var regen = flag.Bool("regen", false, "write the golden files anew")

// The sample is committed where a user finds it; it must be what the packages
// say today. Read the difference before committing a new one.
func TestSampleIsTheDefaults(t *testing.T) {
	const golden = "sample.yaml"
	got := Sample()
	if *regen {
		if err := os.WriteFile(golden, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s is out of date, write it anew with: go test ./pipeline/settings -regen", golden)
	}
	s, err := Parse(want)
	if err != nil {
		t.Fatal(err)
	}
	if s != Default() {
		t.Error("the sample does not read back as the defaults")
	}
}

func TestDefaultsAreValid(t *testing.T) {
	if err := Default().Validate(); err != nil {
		t.Error(err)
	}
}

// Every setting must say what a user needs: its key, its meaning and, for a
// number, the range it may take.
func TestEverySettingIsExplained(t *testing.T) {
	s := Default()
	seen := map[string]bool{}
	all := fields(&s)
	if len(all) < 50 {
		t.Fatalf("only %d settings", len(all))
	}
	for _, f := range all {
		if seen[f.key] {
			t.Errorf("%s is there twice", f.key)
		}
		seen[f.key] = true
		if len(f.help) < 20 || strings.HasSuffix(f.help, ".") {
			t.Errorf("%s: help %q", f.key, f.help)
		}
		if f.key != strings.ToLower(f.key) || strings.Contains(f.key, " ") {
			t.Errorf("%s is no key", f.key)
		}
		if (f.value.CanFloat() || f.value.CanInt()) && f.span == "" {
			t.Errorf("%s states no range", f.key)
		}
	}
}

func settingsFile(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "settings.yaml")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestLaterSourcesWin(t *testing.T) {
	path := settingsFile(t, "track:\n  marker:\n    colour: magenta\n    max_gap: 0.3 s\n  ball.still_time: 0.4\nclip:\n")
	s, err := Load(path, []string{"track.marker.max_gap=0.7", " clip.max_side = 4096 px", "track.marker.max_gap=0.8"})
	if err != nil {
		t.Fatal(err)
	}
	want := Default()
	want.Track.Marker.Colour = "magenta"
	want.Track.Marker.MaxGap = 0.8
	want.Track.Ball.StillTime = 0.4
	want.Clip.MaxSide = 4096
	if s != want {
		t.Errorf("got %+v", s)
	}
}

func TestEmptyFileIsTheDefaults(t *testing.T) {
	for _, text := range []string{"", "\n# nothing here\n", "---\n", "track:\n", "track:\n  marker:\n"} {
		s, err := Parse([]byte(text))
		if err != nil || s != Default() {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func TestErrorMessages(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"misspelt", "track:\n  marker:\n    color: red\n", "line 3: track.marker.color: unknown setting, did you mean track.marker.colour"},
		{"without its section", "colour: red\n", "line 1: colour: unknown setting, did you mean track.marker.colour"},
		{"nothing like it", "wallpaper_pattern: dots\n", "line 1: wallpaper_pattern: unknown setting, `strokereel settings` lists them all"},
		{"twice", "track:\n  marker:\n    colour: red\n    colour: blue\n", "line 4: track.marker.colour: already given on line 3"},
		{"twice in two spellings", "track:\n  marker:\n    colour: red\ntrack.marker.colour: blue\n", "line 4: track.marker.colour: already given on line 3"},
		{"a word for a number", "clip:\n  max_size: big\n", `line 2: clip.max_size: must be a number (got "big")`},
		{"not a number", "clip:\n  max_size: .nan\n", `line 2: clip.max_size: must be a number (got ".nan")`},
		{"infinite", "clip:\n  max_size: inf\n", `line 2: clip.max_size: must be a number (got "inf")`},
		{"a fraction for a count", "clip:\n  max_side: 10.5\n", `line 2: clip.max_side: must be a whole number (got "10.5")`},
		{"another unit", "track:\n  marker:\n    max_gap: 5 frames\n", `line 3: track.marker.max_gap: must be a number in s (got "5 frames")`},
		{"a unit where none is", "track:\n  marker:\n    search_from: 5 px\n", `line 3: track.marker.search_from: must be a number without a unit (got "5 px")`},
		{"no value", "clip:\n  max_size:\n", "line 2: clip.max_size: must have one value"},
		{"a list", "clip:\n  max_size: [1, 2]\n", "line 2: clip.max_size: must have one value"},
		{"a value for a section", "track: fast\n", "line 1: track: must hold lines of the form key: value"},
		{"a list of lines", "- 1\n- 2\n", "line 1: the file: must hold lines of the form key: value"},
		{"no YAML", "clip: [\n", "understanding the file: line 1: did not find expected node content"},
		{"two documents", "clip:\n---\nclip:\n", "holds more than one document"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Parse([]byte(c.text))
			if err == nil || err.Error() != c.want {
				t.Errorf("got  %v\nwant %s", err, c.want)
			}
		})
	}
}

func TestLoadMessages(t *testing.T) {
	file := settingsFile(t, "clip:\n  max_side: 3\n")
	bad := settingsFile(t, "wallpaper: 1\n")
	for _, c := range []struct {
		name, path string
		sets       []string
		want       string
	}{
		{"out of range in the file", file, nil, "settings: clip.max_side: must be between 16 and 16384 (got 3)"},
		{"put right by a later source", file, []string{"clip.max_side=64"}, ""},
		{"out of range in a package that names itself", "", []string{"track.measure.max_yaw=80"}, "settings: track.measure.max_yaw: must be between 0 and 15 (got 80)"},
		{"a colour nobody knows", "", []string{"track.marker.colour=mauve"}, `settings: track.marker.colour: must be auto or one of red, orange, yellow, lime, green, cyan, blue, violet, magenta (got "mauve")`},
		{"no side at all", "", []string{"sheet.handedness=both"}, `settings: sheet.handedness: must be one of auto, right, left (got "both")`},
		{"a view from above", "", []string{"sheet.view=top"}, `settings: sheet.view: must be one of face-on, other (got "top")`},
		{"unknown in a file", bad, nil, "settings " + `"` + bad + `": line 1: wallpaper: unknown setting, ` + "`strokereel settings` lists them all"},
		{"set without a value", "", []string{"clip.max_side"}, `--set "clip.max_side": write key=value`},
		{"set of a section", "", []string{"track.marker=5"}, "--set: track.marker: is a section, not a setting"},
		{"set of a misspelt key", "", []string{"clip.maxside=5"}, "--set: clip.maxside: unknown setting, did you mean clip.max_side"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Load(c.path, c.sets)
			if c.want == "" && err == nil {
				return
			}
			if err == nil || err.Error() != c.want {
				t.Errorf("got  %v\nwant %s", err, c.want)
			}
		})
	}
	if _, err := Load(filepath.Join(t.TempDir(), "none.yaml"), nil); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("missing file: %v", err)
	}
}

func TestFingerprint(t *testing.T) {
	a, b := Default(), Default()
	if a.Fingerprint() != b.Fingerprint() || len(a.Fingerprint()) != 16 {
		t.Errorf("%s and %s for equal settings", a.Fingerprint(), b.Fingerprint())
	}
	all := fields(&b)
	seen := map[string]string{a.Fingerprint(): "the defaults"}
	for _, f := range all {
		was := f.text()
		change := was + "1"
		if err := f.set(change); err != nil {
			t.Fatal(err)
		}
		name := b.Fingerprint()
		if other, again := seen[name]; again {
			t.Errorf("%s changes the fingerprint to that of %s", f.key, other)
		}
		seen[name] = f.key
		if err := f.set(was); err != nil {
			t.Fatal(err)
		}
	}
	if b != a {
		t.Error("text and set do not undo each other")
	}
	b.Reel.Opening, b.Night.Lanes = 1, 3
	if a.Fingerprint(Measuring()...) != b.Fingerprint(Measuring()...) {
		t.Error("a reel's settings change what is measured")
	}
	if a.Fingerprint(Films()...) == b.Fingerprint(Films()...) {
		t.Error("a reel's settings do not change the films")
	}
	if b.Filming().Opening != 1 || b.Filming().Clip != b.Clip {
		t.Error("the films are made with other settings")
	}
}

// period and odd show what no package has yet: a type that reads itself, a
// switch, a string that looks like something else.
type period struct{ time.Duration }

func (p *period) UnmarshalText(text []byte) (err error) {
	p.Duration, err = time.ParseDuration(string(text))
	return err
}

func (p period) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

type odd struct {
	Wait  period `key:"wait" help:"how long"`
	Quick bool   `key:"quick" help:"whether to hurry"`
	Name  string `key:"name" help:"a name"`
}

func TestOtherKindsOfValue(t *testing.T) {
	o := odd{period{90 * time.Second}, true, "no"}
	want := intro + "# How long.\nwait: \"1m30s\"\n# Whether to hurry.\nquick: true\n# A name.\nname: \"no\"\n"
	if got := string(write(&o)); got != want {
		t.Errorf("got\n%s", got)
	}
	for _, c := range []struct{ key, text, want string }{
		{"wait", "soon", `wait: time: invalid duration "soon"`},
		{"wait", "2s", ""},
		{"quick", "perhaps", `quick: must be true or false (got "perhaps")`},
		{"quick", "false", ""},
	} {
		f, err := find(fields(&o), c.key)
		if err != nil {
			t.Fatal(err)
		}
		switch err := f.set(c.text); {
		case c.want == "" && err != nil, c.want != "" && (err == nil || err.Error() != c.want):
			t.Errorf("%s=%s: %v", c.key, c.text, err)
		}
	}
	if o.Wait.Duration != 2*time.Second || o.Quick {
		t.Errorf("%+v", o)
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte("track:\n  marker:\n    colour: magenta\n    max_gap: 0.3 s\n"))
	f.Add([]byte("clip.max_size: 1e300\n"))
	f.Add([]byte("a: &a [*a]\n"))
	f.Add([]byte("? {a: b}\n: c\n<<: {clip: 1}\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := Parse(data)
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Error("an error without words")
			}
			return
		}
		again, err := Parse(write(&s))
		if err != nil {
			t.Fatalf("what was written cannot be read: %v", err)
		}
		if again != s {
			t.Errorf("written and read again it is another: %+v\n%+v", again, s)
		}
	})
}
