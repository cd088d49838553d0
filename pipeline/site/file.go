package site

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// Index is the page of a folder.
const Index = "index.html"

// File is one file of a page's folder: either Data or the file at Path.
type File struct {
	Name string
	Path string
	Data []byte
}

// Open returns the file's bytes to read.
func (f File) Open() (io.ReadCloser, error) {
	if f.Path == "" {
		return io.NopCloser(bytes.NewReader(f.Data)), nil
	}
	return os.Open(f.Path)
}

// Size is the number of bytes.
func (f File) Size() (int64, error) {
	if f.Path == "" {
		return int64(len(f.Data)), nil
	}
	st, err := os.Stat(f.Path)
	if err != nil {
		return 0, err
	}
	return st.Size(), nil
}

// hashDigits name a file by its content: 48 bits tell the few files of a folder
// apart.
const hashDigits = 12

// named is data under a name that changes with it.
func named(name string, data []byte) File {
	sum := sha256.Sum256(data)
	return File{Name: withHash(name, sum[:]), Data: data}
}

// namedFile is a file on disk under such a name.
func namedFile(name, from string) (File, error) {
	f, err := os.Open(from)
	if err != nil {
		return File{}, fmt.Errorf("reading for a page: %w", err)
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return File{}, fmt.Errorf("reading %q for a page: %w", filepath.Base(from), err)
	}
	return File{Name: withHash(name, h.Sum(nil)), Path: from}, nil
}

func withHash(name string, sum []byte) string {
	ext := path.Ext(name)
	return strings.TrimSuffix(name, ext) + "-" + hex.EncodeToString(sum)[:hashDigits] + ext
}

// types are the files that a page may have, and what they are to a browser.
var types = map[string]string{
	".html": "text/html; charset=utf-8",
	".css":  "text/css; charset=utf-8",
	".js":   "text/javascript; charset=utf-8",
	".json": "application/json",
	".csv":  "text/csv; charset=utf-8",
	".svg":  "image/svg+xml",
	".jpg":  "image/jpeg",
	".png":  "image/png",
	".mp4":  "video/mp4",
	".wav":  "audio/wav",
	".txt":  "text/plain; charset=utf-8",
}

// ContentType is what a file is to a browser; "" for one that no page has.
func ContentType(name string) string { return types[path.Ext(name)] }
