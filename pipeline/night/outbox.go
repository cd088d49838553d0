package night

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// Names within the outbox.
const (
	workDir    = ".work"
	resultFile = "result.json"
)

// outbox is the folder of results, locked for this process.
type outbox struct {
	dir, work string
	lock      *os.File
}

// openOutbox makes, locks and tidies an outbox.
func openOutbox(dir string) (*outbox, error) {
	o := &outbox{dir: dir, work: filepath.Join(dir, workDir)}
	if err := os.MkdirAll(o.work, 0o755); err != nil {
		return nil, fmt.Errorf("making the outbox: %w", err)
	}
	var err error
	if o.lock, err = lock(dir, filepath.Join(o.work, "lock")); err != nil {
		return nil, err
	}
	for _, name := range []string{o.clips(), o.readings(), o.drafts(), o.replaced(), o.gone()} {
		err = errors.Join(err, os.MkdirAll(name, 0o755))
	}
	if err == nil {
		err = o.tidy()
	}
	if err != nil {
		o.close()
		return nil, fmt.Errorf("tidying the outbox: %w", err)
	}
	return o, nil
}

func (o *outbox) close() { o.lock.Close() }

func (o *outbox) clips() string    { return filepath.Join(o.work, "clips") }    // results of clips, by key
func (o *outbox) readings() string { return filepath.Join(o.work, "readings") } // what was read of clips, by their fingerprints
func (o *outbox) drafts() string   { return filepath.Join(o.work, "drafts") }   // being built
func (o *outbox) replaced() string { return filepath.Join(o.work, "replaced") } // earlier lessons, by name
func (o *outbox) gone() string     { return filepath.Join(o.work, "gone") }     // being removed

// reading is the folder for what was read of a clip.
func (o *outbox) reading(sha256 string) string { return filepath.Join(o.readings(), sha256) }

// tidy removes what killed runs left. Safe because the outbox is locked.
func (o *outbox) tidy() error {
	if err := o.settleAll(); err != nil {
		return err
	}
	for _, dir := range []string{o.drafts(), o.gone()} {
		entries, err := os.ReadDir(dir)
		if err != nil {
			return err
		}
		for _, e := range entries {
			if err := os.RemoveAll(filepath.Join(dir, e.Name())); err != nil {
				return err
			}
		}
	}
	read, err := os.ReadDir(o.readings())
	if err != nil {
		return err
	}
	places := []string{o.dir, o.work}
	for _, e := range read {
		places = append(places, o.reading(e.Name()))
	}
	for _, dir := range places {
		entries, err := os.ReadDir(dir)
		if err != nil {
			return err
		}
		for _, e := range entries {
			if strings.HasPrefix(e.Name(), ".writing-") && e.Type().IsRegular() {
				if err := os.Remove(filepath.Join(dir, e.Name())); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// draft makes an empty folder to build in.
func (o *outbox) draft(key string) (string, error) {
	dir := filepath.Join(o.drafts(), key)
	if err := os.RemoveAll(dir); err != nil {
		return "", err
	}
	return dir, os.Mkdir(dir, 0o755)
}

// drop removes a folder so that it vanishes at once.
func (o *outbox) drop(dir string) error {
	bin, err := os.MkdirTemp(o.gone(), "")
	if err != nil {
		return err
	}
	if err := os.Rename(dir, filepath.Join(bin, "it")); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return os.RemoveAll(bin)
}

// keep moves a finished draft to its place in the work folder.
func (o *outbox) keep(draft, place string) error {
	if err := flush(draft); err != nil {
		return err
	}
	if err := o.drop(place); err != nil {
		return err
	}
	if err := os.Rename(draft, place); err != nil {
		return err
	}
	return flushOne(filepath.Dir(place))
}

// errForeign says that a folder in the outbox is not ours to replace.
var errForeign = errors.New("a folder of this name, not made by this program, is already in the outbox")

// free reports whether a lesson's result may be put in its place.
func (o *outbox) free(name string) error {
	place := filepath.Join(o.dir, name)
	if _, err := os.Lstat(place); errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if !readJSON(filepath.Join(place, resultFile), &Result{}) {
		return errForeign
	}
	return nil
}

// publish puts a finished draft in a lesson's place. An earlier result steps
// aside first; whatever happens between, tidy puts right.
func (o *outbox) publish(draft, name string) error {
	if err := o.free(name); err != nil {
		return err
	}
	if err := flush(draft); err != nil {
		return err
	}
	place := filepath.Join(o.dir, name)
	if err := os.Rename(place, filepath.Join(o.replaced(), name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := os.Rename(draft, place); err != nil {
		return err
	}
	if err := flushOne(o.dir); err != nil {
		return err
	}
	return o.settleAll()
}

// settleAll ends replacements that were begun: an earlier result whose
// successor did not arrive comes back, else what a person put into it moves on
// and the rest goes.
func (o *outbox) settleAll() error {
	entries, err := os.ReadDir(o.replaced())
	if err != nil {
		return err
	}
	for _, e := range entries {
		old, place := filepath.Join(o.replaced(), e.Name()), filepath.Join(o.dir, e.Name())
		if _, err := os.Lstat(place); errors.Is(err, fs.ErrNotExist) {
			if err := os.Rename(old, place); err != nil {
				return err
			}
			continue
		}
		if err := moveAdded(old, place); err != nil {
			return err
		}
		if err := o.drop(old); err != nil {
			return err
		}
	}
	return nil
}

// moveAdded moves the files that are not of the result itself; one whose name
// is taken gets another.
func moveAdded(old, place string) error {
	var was Result
	if !readJSON(filepath.Join(old, resultFile), &was) {
		return errForeign
	}
	all, err := list(old)
	if err != nil {
		return err
	}
	for name := range all {
		if _, ours := was.Files[name]; ours || name == resultFile {
			continue
		}
		to := filepath.Join(place, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		for {
			if _, err := os.Lstat(to); err != nil {
				break
			}
			to += ".kept"
		}
		if err := os.Rename(filepath.Join(old, filepath.FromSlash(name)), to); err != nil {
			return err
		}
	}
	return nil
}

// prune removes the results and readings of clips that no lesson of this night
// uses, or only one whose films and stills were removed for their age. While a
// lesson waits for a person, all are kept: its clips are not known.
func (o *outbox) prune(plans []*plan) {
	used := map[string]bool{}
	for _, p := range plans {
		if p.state == blocked {
			return
		}
		for _, c := range p.clips {
			used[c.sha256] = true
			used[c.key] = used[c.key] || p.result == nil || len(p.result.Retired) == 0
		}
	}
	for _, dir := range []string{o.clips(), o.readings()} {
		entries, err := os.ReadDir(dir)
		if err != nil {
			return // they only cost room, and the next night tries again
		}
		for _, e := range entries {
			if !used[e.Name()] && o.drop(filepath.Join(dir, e.Name())) != nil {
				return
			}
		}
	}
}
