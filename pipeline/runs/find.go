package runs

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"strokereel/pipeline/clip"
)

// Clip is a clip to be measured.
type Clip struct {
	Name string // within the folder it was found in, with slashes
	File string // the original: read, never written
}

// Find lists the clips that paths name: files, and folders with all clips below
// them. Folders whose names begin with a dot are passed over.
func Find(paths ...string) ([]Clip, error) {
	var out []Clip
	from := map[string]string{}
	add := func(name, file string) error {
		name = filepath.ToSlash(name)
		if first, again := from[name]; again {
			return fmt.Errorf("%q and %q would both be called %s: name a folder that holds both", first, file, name)
		}
		from[name] = file
		out = append(out, Clip{name, file})
		return nil
	}
	for _, p := range paths {
		st, err := os.Stat(p)
		if err != nil {
			return nil, fmt.Errorf("finding clips: %w", err)
		}
		if !st.IsDir() {
			if err := add(filepath.Base(p), p); err != nil {
				return nil, err
			}
			continue
		}
		before := len(out)
		err = filepath.WalkDir(p, func(file string, d fs.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case file != p && strings.HasPrefix(d.Name(), "."):
				if d.IsDir() {
					return filepath.SkipDir
				}
				return nil
			case d.IsDir() || !clip.Named(d.Name()):
				return nil
			}
			name, err := filepath.Rel(p, file)
			if err != nil {
				return err
			}
			return add(name, file)
		})
		if err != nil {
			return nil, fmt.Errorf("finding clips: %w", err)
		}
		if len(out) == before {
			return nil, fmt.Errorf("there is no clip in %q", p)
		}
	}
	return out, nil
}
