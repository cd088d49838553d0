package night

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
)

// identity is what a file system tells about a file. The change time cannot be
// set from outside, so bytes that are written anew always show.
type identity struct {
	Device, Inode    uint64
	Size             int64
	Modified, Change int64 // ns
}

func identify(path string) (identity, error) {
	st, err := os.Stat(path)
	if err != nil {
		return identity{}, err
	}
	s, ok := st.Sys().(*syscall.Stat_t)
	if !st.Mode().IsRegular() || !ok {
		return identity{}, errNotPlain
	}
	return identity{uint64(s.Dev), s.Ino, s.Size, s.Mtim.Nano(), s.Ctim.Nano()}, nil
}

var errNotPlain = errors.New("is not a plain file")

// fact is what was once read from a clip.
type fact struct {
	identity
	SHA256       string
	Recorded     time.Time
	RecordedFrom string
}

// settled is how old a change must be before a file that looks the same is the
// same: twice the coarsest clock of common file systems (FAT, 2 s).
const settled = 4 * time.Second

// facts remembers what was read, so that an unchanged inbox is not read again.
type facts struct {
	path  string
	known map[string]fact // by device and inode
	met   map[string]fact
}

func openFacts(work string) *facts {
	f := &facts{path: filepath.Join(work, "facts.json"), met: map[string]fact{}}
	readJSON(f.path, &f.known)
	return f
}

// of reads a clip's fingerprint and time of recording.
func (f *facts) of(ctx context.Context, path string) (fact, error) {
	id, err := identify(path)
	if err != nil {
		return fact{}, err
	}
	name := fmt.Sprintf("%x-%x", id.Device, id.Inode)
	if k, ok := f.known[name]; ok && k.identity == id {
		f.met[name] = k
		return k, nil
	}
	out := fact{identity: id}
	if out.SHA256, err = lesson.Hash(path); err != nil {
		return fact{}, err
	}
	info, err := clip.Probe(ctx, path)
	switch {
	case ctx.Err() != nil:
		return fact{}, ctx.Err()
	case err == nil && !info.Recorded.IsZero():
		out.Recorded, out.RecordedFrom = info.Recorded, info.RecordedFrom
	default: // a clip that cannot be read is reported when it is measured
		out.Recorded, out.RecordedFrom = time.Unix(0, id.Modified), "file"
	}
	if time.Since(time.Unix(0, id.Change)) > settled {
		f.met[name] = out
	}
	return out, nil
}

// save keeps what was met; failing costs only time in the next night.
func (f *facts) save() error { return writeJSON(f.path, f.met) }
