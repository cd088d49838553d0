package runs

import (
	"encoding/json"
	"errors"
	"io"
	"os"

	"strokereel/pipeline/lesson"
)

// SeenDir holds what reading the clips gave. Its name begins with a dot, so that
// it is no run.
const SeenDir = ".seen"

// writeJSON writes a file, complete or not at all.
func writeJSON(path string, v any) error {
	return lesson.WriteFile(path, func(w io.Writer) error {
		e := json.NewEncoder(w)
		e.SetIndent("", "  ")
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
