package runs

import (
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"

	"strokereel/pipeline/lesson"
)

// SeenDir holds what reading the clips gave. Its name begins with a dot, so that
// it is no run.
const SeenDir = ".seen"

// memory is a pipeline.Memory in files, and notes whether anything was found
// anew. A float64 survives JSON unchanged (ECMA-262, Number::toString gives the
// shortest digits that read back as the same number; encoding/json does as it).
type memory struct {
	dir  string
	anew bool
}

func (m *memory) Recall(name string, v any) bool {
	data, err := os.ReadFile(filepath.Join(m.dir, name+".json"))
	if err == nil && json.Unmarshal(data, v) == nil {
		return true
	}
	m.anew = true
	return false
}

func (m *memory) Keep(name string, v any) error {
	return writeJSON(filepath.Join(m.dir, name+".json"), v, false)
}

// writeJSON writes a file, complete or not at all.
func writeJSON(path string, v any, indent bool) error {
	return lesson.WriteFile(path, func(w io.Writer) error {
		e := json.NewEncoder(w)
		if indent {
			e.SetIndent("", "  ")
		}
		return e.Encode(v)
	})
}

// readJSON reads a file that may not be there.
func readJSON(path string, v any) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	if err := json.Unmarshal(data, v); err != nil {
		return errors.New("cannot be understood: " + err.Error())
	}
	return nil
}
