package runs

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"strokereel/pipeline"
	"strokereel/pipeline/lesson"
)

// Names of the files of a run and of its results.
const (
	runFile      = "run.json"
	madeFile     = "made.json"
	settingsFile = "settings.yaml"
)

// Schema names the form of run.json.
const Schema = "strokereel/run/1"

// Run is a measuring of some clips with the same settings.
type Run struct {
	Schema   string            `json:"schema"`
	Name     string            `json:"name"`
	Version  string            `json:"version"`
	Settings string            `json:"settings"` // fingerprint, before what sheets say
	Changed  map[string]string `json:"changed"`  // settings that were not at their defaults
	Clips    []Entry           `json:"clips"`

	Dir string `json:"-"`
}

// Entry is one clip of a run.
type Entry struct {
	Name   string `json:"name"`
	File   string `json:"file"`
	SHA256 string `json:"sha256,omitempty"`
	Key    string `json:"key,omitempty"`    // of its results
	Failed string `json:"failed,omitempty"` // why there are none, in words for a coach
}

// Made is kept in the folder of a clip's results.
type Made struct {
	Key     string    `json:"key"`
	Seconds float64   `json:"seconds"` // that measuring took
	Anew    bool      `json:"anew"`    // the frames were read; else what was seen in them was remembered
	At      time.Time `json:"at"`
}

// Open reads a run: the folder of one, or its name within dir.
func Open(dir, name string) (*Run, error) {
	for _, d := range []string{name, filepath.Join(dir, name)} {
		r := &Run{Dir: d}
		err := readJSON(filepath.Join(d, runFile), r)
		if errors.Is(err, fs.ErrNotExist) || errors.Is(err, os.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("the run %q %w", d, err)
		}
		if r.Schema != Schema {
			return nil, fmt.Errorf("the run %q is of another form: %q, not %q", d, r.Schema, Schema)
		}
		return r, nil
	}
	return nil, fmt.Errorf("there is no run %q, nor one of that name in %q", name, dir)
}

// String names a run with all that made it.
func (r *Run) String() string {
	return fmt.Sprintf("%s (version %s, settings %s)", r.Name, r.Version, r.Settings)
}

// notYet is why a clip of a run that is being measured, or was broken off, has no
// results.
const notYet = "is not measured yet"

// Complete reports whether every clip was tried.
func (r *Run) Complete() error {
	for _, e := range r.Clips {
		if e.Failed == notYet {
			return fmt.Errorf("the run %s was broken off, %s %s: measure it again, it goes on where it stopped", r.Name, e.Name, notYet)
		}
	}
	return nil
}

// Folder is where the results of a clip lie.
func (r *Run) Folder(e Entry) string { return filepath.Join(r.Dir, filepath.FromSlash(e.Name)) }

// SettingsFile is the file of the run's settings.
func (r *Run) SettingsFile() string { return filepath.Join(r.Dir, settingsFile) }

// Report reads the report of a clip, and how it was made.
func (r *Run) Report(e Entry) (*lesson.Report, Made, error) {
	var made Made
	if err := readJSON(filepath.Join(r.Folder(e), madeFile), &made); err != nil || made.Key != e.Key {
		return nil, made, fmt.Errorf("%s of run %s was measured with other settings since: measure the run again", e.Name, r.Name)
	}
	report := new(lesson.Report)
	if err := readJSON(filepath.Join(r.Folder(e), pipeline.ReportFile), report); err != nil {
		return nil, made, fmt.Errorf("the report of %s of run %s: %w", e.Name, r.Name, err)
	}
	return report, made, nil
}
