package shelf

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/site"
)

// Store holds files by name, with slashes. A file is there complete or not at
// all. Names that are not there can be removed.
type Store interface {
	Put(ctx context.Context, name string, f site.File) error
	// Open returns fs.ErrNotExist for a name that is not there.
	Open(ctx context.Context, name string) (io.ReadCloser, error)
	// List maps the names that begin with a prefix, which is "" or ends with a
	// slash, to sizes in bytes.
	List(ctx context.Context, prefix string) (map[string]int64, error)
	Remove(ctx context.Context, name string) error
	Close() error
}

// OpenStore opens a folder, or a bucket by its URL: s3://NAME?region=...
func OpenStore(ctx context.Context, place string) (Store, error) {
	if strings.Contains(place, "://") {
		return openBucket(ctx, place)
	}
	if err := os.MkdirAll(place, 0o755); err != nil {
		return nil, fmt.Errorf("opening the shelf: %w", err)
	}
	root, err := os.OpenRoot(place)
	if err != nil {
		return nil, fmt.Errorf("opening the shelf: %w", err)
	}
	return &folder{root, place}, nil
}

// folder is a store on disk. Names cannot lead out of it.
type folder struct {
	root *os.Root
	dir  string
}

func (s *folder) Close() error { return s.root.Close() }

func (s *folder) Open(_ context.Context, name string) (io.ReadCloser, error) {
	return s.root.Open(name)
}

func (s *folder) Put(_ context.Context, name string, f site.File) error {
	if !fs.ValidPath(name) {
		return fmt.Errorf("putting %q on the shelf: not a name", name)
	}
	if err := s.root.MkdirAll(path.Dir(name), 0o755); err != nil {
		return fmt.Errorf("putting %q on the shelf: %w", name, err)
	}
	from, err := f.Open()
	if err != nil {
		return fmt.Errorf("putting %q on the shelf: %w", name, err)
	}
	defer from.Close()
	return lesson.WriteFile(filepath.Join(s.dir, filepath.FromSlash(name)), func(w io.Writer) error {
		_, err := io.Copy(w, from)
		return err
	})
}

func (s *folder) List(_ context.Context, prefix string) (map[string]int64, error) {
	found := map[string]int64{}
	top := strings.TrimSuffix(prefix, "/")
	if top == "" {
		top = "."
	}
	err := fs.WalkDir(s.root.FS(), top, func(name string, d fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		found[name] = info.Size()
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("listing the shelf: %w", err)
	}
	return found, nil
}

// Remove removes a file, and the folders that it leaves empty.
func (s *folder) Remove(_ context.Context, name string) error {
	if err := s.root.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("taking %q from the shelf: %w", name, err)
	}
	for dir := path.Dir(name); dir != "."; dir = path.Dir(dir) {
		if s.root.Remove(dir) != nil {
			break // not empty
		}
	}
	return nil
}
