package night

import (
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"strokereel/pipeline/lesson"
)

// files maps the files of a finished folder to their sizes in bytes.
type files map[string]int64

// list finds the files below a folder.
func list(dir string) (files, error) {
	found := files{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(dir, path)
		found[filepath.ToSlash(rel)] = info.Size()
		return err
	})
	return found, err
}

// there reports whether all files are in the folder, with their sizes.
func (f files) there(dir string) bool {
	for name, size := range f {
		st, err := os.Lstat(filepath.Join(dir, filepath.FromSlash(name)))
		if err != nil || st.Size() != size {
			return false
		}
	}
	return true
}

func (f files) bytes() (total int64) {
	for _, size := range f {
		total += size
	}
	return total
}

// flush brings a folder and all below it to the disk.
func flush(dir string) error {
	return filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() && !d.Type().IsRegular() {
			return err
		}
		return flushOne(path)
	})
}

func flushOne(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	return f.Sync()
}

// writeJSON writes a readable file, complete or not at all.
func writeJSON(path string, v any) error {
	data, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return fmt.Errorf("writing %q: %w", path, err)
	}
	return lesson.WriteFile(path, func(w io.Writer) error {
		_, err := w.Write(append(data, '\n'))
		return err
	})
}

// readJSON reports whether the file was there and understood; what is not is
// made again.
func readJSON(path string, v any) bool {
	data, err := os.ReadFile(path)
	return err == nil && json.Unmarshal(data, v) == nil
}

// share gives the files of one folder to another, as further names of the same
// bytes where the file system allows it.
func share(from, to string, names files) error {
	for name := range names {
		dst := filepath.Join(to, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(dst), 0o755); err != nil {
			return err
		}
		src := filepath.Join(from, filepath.FromSlash(name))
		if os.Link(src, dst) == nil {
			continue
		}
		if err := copyFile(src, dst); err != nil {
			return err
		}
	}
	return nil
}

func copyFile(src, dst string) error {
	in, err := os.Open(src)
	if err != nil {
		return err
	}
	defer in.Close()
	return lesson.WriteFile(dst, func(w io.Writer) error {
		_, err := io.Copy(w, in)
		return err
	})
}
