package sheet

import (
	"fmt"
	"os"
	"path/filepath"
)

// Written is what people wrote about a lesson, in the files beside its clips.
type Written struct {
	Sheet       Sheet // with what the card says of the student
	Card        Card
	Corrections Corrections
}

// ReadFolder reads what people wrote about a lesson. A file that is not there
// says nothing.
func ReadFolder(dir string) (Written, error) {
	var w Written
	for _, f := range []struct {
		name  string
		parse func([]byte) error
	}{
		{SheetFile, func(b []byte) (err error) { w.Sheet, err = ParseSheet(b); return }},
		{CardFile, func(b []byte) (err error) { w.Card, err = ParseCard(b); return }},
		{CorrectionsFile, func(b []byte) (err error) { w.Corrections, err = ParseCorrections(b); return }},
	} {
		data, err := os.ReadFile(filepath.Join(dir, f.name))
		if os.IsNotExist(err) {
			continue
		}
		if err == nil {
			err = f.parse(data)
		}
		if err != nil {
			return w, fmt.Errorf("%s: %w", f.name, err)
		}
	}
	var err error
	if w.Sheet, err = w.Sheet.With(w.Card); err != nil {
		return w, fmt.Errorf("%s: %w", CardFile, err)
	}
	return w, nil
}
