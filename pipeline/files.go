package pipeline

import (
	"compress/gzip"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"strokereel/pipeline/lesson"
)

// FileMemory is a Memory in the files of a folder that is there. A float64 survives
// JSON unchanged (ECMA-262, Number::toString gives the shortest digits that read
// back as the same number; encoding/json does as it).
type FileMemory struct {
	Dir  string
	Anew bool // something was not there

	met map[string]bool
}

// remembered is the ending of the files.
const remembered = ".json.gz"

// Recall reads what was kept; what cannot be read was not.
func (m *FileMemory) Recall(name string, v any) bool {
	if m.read(name, v) != nil {
		m.Anew = true
		return false
	}
	return true
}

func (m *FileMemory) read(name string, v any) error {
	f, err := os.Open(m.path(name))
	if err != nil {
		return err
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		return err
	}
	return json.NewDecoder(z).Decode(v)
}

// Keep writes a file, complete or not at all.
func (m *FileMemory) Keep(name string, v any) error {
	return lesson.WriteFile(m.path(name), func(w io.Writer) error {
		z, err := gzip.NewWriterLevel(w, gzip.BestSpeed)
		if err != nil {
			return err
		}
		return errors.Join(json.NewEncoder(z).Encode(v), z.Close())
	})
}

// path of the file for a name, which was asked for.
func (m *FileMemory) path(name string) string {
	if m.met == nil {
		m.met = map[string]bool{}
	}
	m.met[name+remembered] = true
	return filepath.Join(m.Dir, name+remembered)
}

// Forget removes what nobody has asked for since the memory was made.
func (m *FileMemory) Forget() error {
	all, err := fs.Glob(os.DirFS(m.Dir), "*"+remembered)
	for _, name := range all {
		if !m.met[name] {
			err = errors.Join(err, os.Remove(filepath.Join(m.Dir, name)))
		}
	}
	return err
}
