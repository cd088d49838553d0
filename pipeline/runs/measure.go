package runs

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"time"

	"golang.org/x/sync/errgroup"

	"strokereel/pipeline"
	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
)

// Profile is a named set of settings. Sets win over what a lesson's sheet says,
// as Base does not.
type Profile struct {
	Name string
	Base settings.Settings
	Sets []string // key=value
}

// Job says what to measure.
type Job struct {
	Dir      string // holds the runs, one for each profile
	Seen     string // holds what reading the clips gave; within Dir when empty
	Profiles []Profile
	Clips    []Clip
	Lanes    int         // clips at the same time
	Told     func(Event) // called by one goroutine at a time; may be nil
	Today    time.Time   // for consents that end

	measure measurer // pipeline.Reading.Measure when nil
}

// measurer measures one clip.
type measurer func(c pipeline.Reading, ctx context.Context, s settings.Settings) (*pipeline.Result, error)

// Event tells what came of one clip of one run.
type Event struct {
	Profile, Clip string
	Kept          bool   // it was there already
	Failed        string // why it has no results
	Done, Total   int
}

// Measure carries out a job. Clips that fail are noted in their run and the
// others go on; an error means that nothing could be done, or not to the end.
func Measure(ctx context.Context, j Job) ([]*Run, error) {
	if j.measure == nil {
		j.measure = pipeline.Reading.Measure
	}
	if j.Seen == "" {
		j.Seen = filepath.Join(j.Dir, SeenDir)
	}
	if err := os.MkdirAll(j.Seen, 0o755); err != nil {
		return nil, fmt.Errorf("making the folder of runs: %w", err)
	}
	var all []*running
	for _, p := range j.Profiles {
		r, err := begin(j, p)
		if err != nil {
			return nil, err
		}
		defer r.end()
		all = append(all, r)
	}
	var mu sync.Mutex
	done := 0
	tell := func(e Event) {
		mu.Lock()
		defer mu.Unlock()
		done++
		e.Done, e.Total = done, len(j.Clips)*len(all)
		if j.Told != nil {
			j.Told(e)
		}
	}
	g, ctx := errgroup.WithContext(ctx)
	g.SetLimit(max(1, j.Lanes))
	// A clip's profiles follow each other in one lane: the first reads the frames,
	// the others remember.
	for i, c := range j.Clips {
		g.Go(func() error {
			sum, err := hash(c.File)
			for _, r := range all {
				e := Event{Profile: r.Name, Clip: c.Name}
				entry := Entry{Name: c.Name, File: c.File, SHA256: sum}
				if ctx.Err() != nil {
					return ctx.Err()
				}
				if err == nil {
					e.Kept, err = r.ensure(ctx, &entry, j)
				}
				if ctx.Err() != nil || errors.Is(err, syscall.ENOSPC) {
					return errors.Join(ctx.Err(), err)
				}
				if err != nil {
					entry.Failed, entry.Key, err = reason(err), "", nil
				}
				e.Failed = entry.Failed
				r.Clips[i] = entry
				tell(e)
			}
			return nil
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	var out []*Run
	for _, r := range all {
		if err := r.save(); err != nil {
			return nil, err
		}
		out = append(out, r.Run)
	}
	return out, nil
}

// running is a run that is being measured.
type running struct {
	*Run
	profile Profile
	others  []Entry // clips of the run that are not measured now
	lock    io.Closer
}

// begin makes or opens the folder of a run for this process alone.
func begin(j Job, p Profile) (*running, error) {
	if p.Name == "" || p.Name != filepath.Base(p.Name) || p.Name[0] == '.' {
		return nil, fmt.Errorf("%q is no name for a run: it names a folder", p.Name)
	}
	base := p.Base
	if err := base.Apply(p.Sets); err != nil {
		return nil, err
	}
	r := &running{profile: p, Run: &Run{Schema: Schema, Name: p.Name, Version: pipeline.Version, Dir: filepath.Join(j.Dir, p.Name),
		Settings: base.Fingerprint(settings.Measuring()...), Changed: base.Changed(settings.Measuring()...), Clips: make([]Entry, len(j.Clips))}}
	if err := r.ours(); err != nil {
		return nil, err
	}
	if err := os.MkdirAll(r.drafts(), 0o755); err != nil {
		return nil, fmt.Errorf("making the folder of the run: %w", err)
	}
	var err error
	if r.lock, err = hold(r.Dir); err != nil {
		return nil, err
	}
	for i, c := range j.Clips {
		r.Clips[i] = Entry{Name: c.Name, File: c.File, Failed: notYet}
	}
	old := &Run{}
	if readJSON(filepath.Join(r.Dir, runFile), old) == nil {
		if err := r.adopt(old); err != nil {
			r.end()
			return nil, err
		}
	}
	err = lesson.WriteFile(filepath.Join(r.Dir, settingsFile), func(w io.Writer) error {
		_, err := w.Write(settings.File(base))
		return err
	})
	if err == nil {
		err = r.save()
	}
	if err != nil {
		r.end()
		return nil, err
	}
	return r, nil
}

// adopt takes over the clips of an earlier run of this name that are not measured
// now: those of the same settings stay, results of others go.
func (r *running) adopt(old *Run) error {
	for _, e := range old.Clips {
		if slices.ContainsFunc(r.Clips, func(now Entry) bool { return now.Name == e.Name }) {
			continue
		}
		if old.Settings == r.Settings && old.Version == r.Version {
			r.others = append(r.others, e)
			continue
		}
		if readJSON(filepath.Join(r.Folder(e), madeFile), new(Made)) == nil {
			if err := os.RemoveAll(r.Folder(e)); err != nil {
				return fmt.Errorf("removing results of other settings: %w", err)
			}
		}
	}
	return nil
}

// save writes what the run is made of, in the order of names.
func (r *running) save() error {
	all := *r.Run
	all.Clips = slices.Concat(r.others, r.Clips)
	slices.SortFunc(all.Clips, func(a, b Entry) int { return strings.Compare(a.Name, b.Name) })
	return writeJSON(filepath.Join(r.Dir, runFile), all)
}

// ours refuses a folder with something in it that is no run.
func (r *running) ours() error {
	entries, err := os.ReadDir(r.Dir)
	if errors.Is(err, os.ErrNotExist) || err == nil && len(entries) == 0 {
		return nil
	}
	if err != nil {
		return fmt.Errorf("opening the folder of the run: %w", err)
	}
	for _, e := range entries {
		if n := e.Name(); n == runFile || n == draftDir {
			return nil
		}
	}
	return fmt.Errorf("%q is in the way: it was not made by a run", r.Dir)
}

const draftDir = ".draft"

func (r *running) drafts() string { return filepath.Join(r.Dir, draftDir) }

func (r *running) end() {
	os.RemoveAll(r.drafts())
	r.lock.Close()
}

// ensure measures a clip unless its results are there.
func (r *running) ensure(ctx context.Context, e *Entry, j Job) (kept bool, err error) {
	s, err := settingsFor(e.File, r.profile, j.Today)
	if err != nil {
		return false, err
	}
	e.Key = pipeline.ResultKey(e.SHA256, filepath.Base(e.File), s)
	place := r.Folder(*e)
	var made Made
	if readJSON(filepath.Join(place, madeFile), &made) == nil && made.Key == e.Key {
		return true, nil
	}
	draft := filepath.Join(r.drafts(), e.Key)
	if err := errors.Join(os.RemoveAll(draft), os.MkdirAll(draft, 0o755)); err != nil {
		return false, err
	}
	m := &pipeline.FileMemory{Dir: j.Seen}
	began := time.Now()
	found, err := j.measured(ctx, e, s, m)
	if err != nil {
		return false, err
	}
	made = Made{Key: e.Key, Seconds: time.Since(began).Seconds(), Anew: m.Anew, At: began.Round(time.Second)}
	if err := found.SaveNumbers(draft); err != nil {
		return false, err
	}
	if err := writeJSON(filepath.Join(draft, madeFile), made); err != nil {
		return false, err
	}
	if err := put(draft, place); err != nil {
		return false, err
	}
	return false, nil
}

// measured turns a fault of our own in one clip into an error, so that the other
// clips are done.
func (j Job) measured(ctx context.Context, e *Entry, s settings.Settings, m pipeline.Memory) (r *pipeline.Result, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("a fault of the program: %v", fault)
		}
	}()
	return j.measure(pipeline.Reading{File: e.File, SHA256: e.SHA256, Memory: m}, ctx, s)
}

// put moves a finished draft to its place; what was there before it goes first.
func put(draft, place string) error {
	if err := os.MkdirAll(filepath.Dir(place), 0o755); err != nil {
		return err
	}
	if _, err := os.Lstat(place); err == nil {
		if err := readJSON(filepath.Join(place, madeFile), new(Made)); err != nil {
			return fmt.Errorf("%q is in the way: it was not made by a run", place)
		}
		old := draft + ".old"
		if err := os.Rename(place, old); err != nil {
			return err
		}
		defer os.RemoveAll(old)
	}
	return os.Rename(draft, place)
}

// hash fingerprints a clip; what is no plain file would never end.
func hash(file string) (string, error) {
	st, err := os.Stat(file)
	if err != nil {
		return "", err
	}
	if !st.Mode().IsRegular() {
		return "", &clip.Refusal{Code: clip.NotAFile, File: file, Text: "is no file", Hint: "give the phone's own file"}
	}
	return lesson.Hash(file)
}

// reason says why a clip has no results.
func reason(err error) string {
	var no *clip.Refusal
	if errors.As(err, &no) {
		return no.Text + ": " + no.Hint
	}
	return err.Error()
}
