package export

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"strokereel/pipeline"
	"strokereel/pipeline/lesson"
)

// Results is a folder with the results of one clip.
type Results struct {
	Name string // within the folder it was found in, with slashes
	Dir  string
}

// Find lists the results below folders, of measure, of runs and of nights.
// Folders whose names begin with a dot are passed over.
func Find(paths ...string) ([]Results, error) {
	var out []Results
	from := map[string]string{}
	for _, p := range paths {
		before := len(out)
		err := filepath.WalkDir(p, func(file string, d fs.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case d.IsDir() && file != p && strings.HasPrefix(d.Name(), "."):
				return filepath.SkipDir
			case d.IsDir() || d.Name() != pipeline.ReportFile:
				return nil
			}
			dir := filepath.Dir(file)
			name, err := filepath.Rel(p, dir)
			if err != nil {
				return err
			}
			if name == "." {
				name = filepath.Base(dir)
			}
			name = filepath.ToSlash(name)
			if first, again := from[name]; again {
				return fmt.Errorf("%q and %q would both be called %s: name a folder that holds both", first, dir, name)
			}
			from[name] = dir
			out = append(out, Results{name, dir})
			return nil
		})
		if err != nil {
			return nil, fmt.Errorf("finding results: %w", err)
		}
		if len(out) == before {
			return nil, fmt.Errorf("there are no results in %q: no file is called %s", p, pipeline.ReportFile)
		}
	}
	return out, nil
}

// DictionaryFile explains the tables.
const DictionaryFile = "dictionary.csv"

// Write writes the tables of all results to a folder. Each appears complete or
// not at all. Told may be nil.
func Write(ctx context.Context, all []Results, dir string, tracks bool, told func(done int)) (err error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("making the folder of tables: %w", err)
	}
	draft, err := os.MkdirTemp(dir, ".writing-")
	if err != nil {
		return fmt.Errorf("making the folder of tables: %w", err)
	}
	defer os.RemoveAll(draft)
	var open []*sheet
	defer func() {
		for _, s := range open {
			err = errors.Join(err, s.close(dir, err == nil))
		}
	}()
	for _, t := range tables(tracks) {
		s, err := openSheet(draft, t)
		if err != nil {
			return err
		}
		open = append(open, s)
	}
	for i, r := range all {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		f, err := lesson.ReadFindings(r.Dir, "")
		if err != nil {
			return err
		}
		for _, s := range open {
			if err := s.add(r.Name, f); err != nil {
				return err
			}
		}
		if told != nil {
			told(i + 1)
		}
	}
	return lesson.WriteFile(filepath.Join(dir, DictionaryFile), func(w io.Writer) error { return writeDictionary(w, tables(tracks)) })
}

// sheet is a table that is being written.
type sheet struct {
	table table
	file  *os.File
	out   *csv.Writer
}

func openSheet(dir string, t table) (*sheet, error) {
	f, err := os.Create(filepath.Join(dir, t.file()))
	if err != nil {
		return nil, fmt.Errorf("writing tables: %w", err)
	}
	s := &sheet{t, f, csv.NewWriter(f)}
	var head []string
	for _, c := range t.columns {
		head = append(head, c.name)
	}
	return s, s.out.Write(head)
}

// add writes the rows of one clip.
func (s *sheet) add(name string, f lesson.Findings) error {
	var failed error
	s.table.rows(f, func(cells ...string) {
		if failed == nil {
			failed = s.out.Write(append([]string{name}, cells...))
		}
	})
	return failed
}

// close ends a table and, when all went well, moves it to its place.
func (s *sheet) close(dir string, good bool) error {
	s.out.Flush()
	err := errors.Join(s.out.Error(), s.file.Sync(), s.file.Close())
	if err == nil && good {
		err = os.Rename(s.file.Name(), filepath.Join(dir, s.table.file()))
	}
	if err != nil {
		return fmt.Errorf("writing %s: %w", s.table.file(), err)
	}
	return nil
}
