package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"strokereel/pipeline"
	"strokereel/pipeline/settings"
)

// strokereel runs a command line in this process.
func strokereel(args ...string) (code int, out, side string) {
	var o, s bytes.Buffer
	code = run(context.Background(), args, &o, &s)
	return code, o.String(), s.String()
}

func TestCommands(t *testing.T) {
	dir := t.TempDir()
	good, bad := filepath.Join(dir, "good.yaml"), filepath.Join(dir, "bad.yaml")
	for path, text := range map[string]string{good: "track:\n  marker:\n    colour: blue\n", bad: "track:\n  marker:\n    color: blue\n"} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	blue := settings.Default()
	blue.Track.Marker.Colour = "blue"
	for _, c := range []struct {
		name string
		args []string
		code int
		out  string
		side string
	}{
		{"the sample", []string{"settings"}, exitDone, string(settings.Sample()), ""},
		{"settings in force", []string{"settings", "--settings", good}, exitDone, string(settings.File(blue)), ""},
		{"a set wins over the file", []string{"settings", "--settings", good, "--set", "track.marker.colour=auto"}, exitDone, string(settings.Sample()), ""},
		{"the version", []string{"version"}, exitDone, fmt.Sprintf("strokereel %s (%s)\n", pipeline.Version, runtime.Version()), ""},
		{"misspelt command", []string{"setings"}, exitUsage, "", "strokereel: unknown command \"setings\"\ntry: strokereel settings\n"},
		{"unknown command", []string{"bake"}, exitUsage, "", "strokereel: unknown command \"bake\"\ntry: strokereel --help\n"},
		{"unknown flag", []string{"settings", "--loud"}, exitUsage, "", "strokereel: unknown flag: --loud\ntry: strokereel settings --help\n"},
		{"argument too many", []string{"version", "now"}, exitUsage, "", "strokereel: version takes no argument (got \"now\")\ntry: strokereel version --help\n"},
		{"no folder", []string{"demo"}, exitUsage, "", "strokereel: name one folder for the lesson (got 0)\ntry: strokereel demo --help\n"},
		{"a measure that is none", []string{"explain", "tempi", "clip.mp4"}, exitUsage, "",
			"strokereel: there is no measure or event called \"tempi\"\ntry: strokereel explain --help\n"},
		{"a report that is not there", []string{"explain", "tempo", dir + "/report.json"}, exitNoStart, "",
			"strokereel: reading the report: open " + dir + "/report.json: no such file or directory\n"},
		{"nothing to inspect", []string{"inspect", "--out", dir}, exitUsage, "", "strokereel: name one clip (got 0)\ntry: strokereel inspect --help\n"},
		{"misspelt setting", []string{"settings", "--set", "track.marker.color=red"}, exitUsage, "",
			"strokereel: --set: track.marker.color: unknown setting, did you mean track.marker.colour\ntry: strokereel settings, for a list of them all\n"},
		{"misspelt setting in a file", []string{"settings", "--settings", bad}, exitUsage, "",
			"strokereel: settings \"" + bad + "\": line 3: track.marker.color: unknown setting, did you mean track.marker.colour\ntry: strokereel settings, for a list of them all\n"},
		{"no such settings file", []string{"settings", "--settings", dir + "/none.yaml"}, exitNoStart, "",
			"strokereel: reading settings: open " + dir + "/none.yaml: no such file or directory\n"},
		{"a folder that cannot be made", []string{"demo", good}, exitNoStart, "", "strokereel: making the demo lesson: mkdir " + good + ": not a directory\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, out, side := strokereel(c.args...)
			if code != c.code || out != c.out || side != c.side {
				t.Errorf("code %d, want %d\nout  %q\nwant %q\nside %q\nwant %q", code, c.code, out, c.out, side, c.side)
			}
		})
	}
}

func TestHelpNamesEveryCommand(t *testing.T) {
	code, out, side := strokereel()
	if code != exitDone || side != "" {
		t.Errorf("code %d, %q", code, side)
	}
	for _, c := range (&app{voice: newVoice(&bytes.Buffer{}, &bytes.Buffer{})}).root().Commands() {
		if c.Short == "" || !strings.Contains(out, c.Name()+" ") {
			t.Errorf("help does not explain %s:\n%s", c.Name(), out)
		}
	}
}

func TestInterruption(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	dir := filepath.Join(t.TempDir(), "lesson")
	var out, side bytes.Buffer
	if code := run(ctx, []string{"demo", dir}, &out, &side); code != exitInterrupted {
		t.Errorf("code %d", code)
	}
	if !strings.HasSuffix(side.String(), "strokereel: interrupted\n") || out.Len() > 0 {
		t.Errorf("said %q", side.String())
	}
	if clips, err := filepath.Glob(filepath.Join(dir, "*.mp4")); err != nil || len(clips) > 0 {
		t.Errorf("left %v, %v", clips, err)
	}
}

func TestExitCode(t *testing.T) {
	for _, c := range []struct {
		err  error
		want int
	}{
		{nil, 0},
		{errors.New("no ffmpeg"), 1},
		{usage(errors.New("what"), ""), 2},
		{fmt.Errorf("night: %w", coded{errors.New("2 of 9 clips failed"), exitSomeFailed, ""}), 3},
		{fmt.Errorf("reading: %w", context.Canceled), 130},
		{usage(context.Canceled, ""), 130},
		{usage(nil, "x"), 0},
	} {
		if got := exitCode(c.err); got != c.want {
			t.Errorf("%v leads to %d, want %d", c.err, got, c.want)
		}
	}
}

func TestProgress(t *testing.T) {
	var side bytes.Buffer
	v := newVoice(&bytes.Buffer{}, &side)
	for k := range 101 {
		v.progress("reading", float64(k)/100)
	}
	v.say("done")
	if got, want := side.String(), "reading 0 %\nreading 25 %\nreading 50 %\nreading 75 %\nreading 100 %\ndone\n"; got != want {
		t.Errorf("plain: %q", got)
	}
	side.Reset()
	v = newVoice(&bytes.Buffer{}, &side)
	v.terminal = true
	v.progress("reading", 0)
	v.progress("reading", 0.5) // too soon after the first to be drawn
	v.progress("reading", 1)
	v.progress("reading", 1)
	v.say("done")
	if got, want := side.String(), "\r\x1b[Kreading 0 %\r\x1b[Kreading 100 %\ndone\n"; got != want {
		t.Errorf("terminal: %q", got)
	}
}
