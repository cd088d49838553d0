package shelf

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"strokereel/pipeline/site"
)

// resultFile is what the night leaves in the folder of a finished lesson, and
// the form of it that is understood.
const (
	resultFile   = "result.json"
	resultSchema = "strokereel/night-result/1"
)

// finished is a lesson in the outbox.
type finished struct {
	dir     string
	Schema  string
	Key     string
	Made    string
	Lesson  string
	Student string
	Coach   string
	Date    string
	Films   []string
	Clips   []struct{ SHA256, Role string }
	LeftOut []struct{ SHA256 string } `json:"left_out"`
}

// lessonsIn reads the finished lessons of an outbox by name.
func lessonsIn(outbox string) ([]finished, error) {
	entries, err := os.ReadDir(outbox)
	if err != nil {
		return nil, fmt.Errorf("opening the outbox: %w", err)
	}
	var out []finished
	for _, e := range entries {
		if !e.IsDir() || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		f, err := readFinished(filepath.Join(outbox, e.Name()))
		if errors.Is(err, fs.ErrNotExist) {
			continue // not a lesson
		}
		if err != nil {
			return nil, fmt.Errorf("reading the lesson %q: %w", e.Name(), err)
		}
		out = append(out, f)
	}
	return out, nil
}

func readFinished(dir string) (finished, error) {
	f := finished{dir: dir}
	data, err := os.ReadFile(filepath.Join(dir, resultFile))
	if err != nil {
		return f, err
	}
	if err := json.Unmarshal(data, &f); err != nil || f.Schema != resultSchema {
		return f, fmt.Errorf("%s is not of the form %s", resultFile, resultSchema)
	}
	f.Lesson = filepath.Base(dir)
	return f, nil
}

// same reports whether the lesson was not made again since it was read.
func (f finished) same() bool {
	now, err := readFinished(f.dir)
	return err == nil && now.Key == f.Key && now.Made == f.Made
}

// made is the fingerprint of the lesson's page.
func (f finished) made(lookKey string) string {
	return fingerprint(site.Version, lookKey, f.Key, f.Made, f.Student, f.Coach, f.Date)
}
