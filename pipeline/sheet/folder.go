package sheet

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Written is what people wrote about a lesson, in the files beside its clips.
type Written struct {
	Sheet       Sheet // with what the card says of the student
	Card        Card
	Corrections Corrections
}

// FolderOf returns the folder of the lesson that a clip belongs to and the
// clip's name within it. A lesson's clips may lie in folders that are named
// after their roles, but what people wrote right beside a clip counts for it.
func FolderOf(clip string) (dir, name string, err error) {
	clip, err = filepath.Abs(clip)
	if err != nil {
		return "", "", err
	}
	dir, name = filepath.Dir(clip), filepath.Base(clip)
	if role := filepath.Base(dir); slices.Contains(Roles(), Role(strings.ToLower(role))) && !written(dir) {
		dir, name = filepath.Dir(dir), role+"/"+name
	}
	return dir, name, nil
}

// written reports whether people wrote something in a folder.
func written(dir string) bool {
	return slices.ContainsFunc([]string{SheetFile, CardFile, CorrectionsFile}, func(name string) bool {
		_, err := os.Stat(filepath.Join(dir, name))
		return err == nil
	})
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
