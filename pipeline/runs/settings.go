package runs

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
)

// settingsFor are a profile's settings for one clip: what the sheet beside it
// says counts, unless the profile sets it. What a person put right in the strokes
// does not: it would be the same with all settings, and hide what they find.
func settingsFor(file string, p Profile, today time.Time) (settings.Settings, error) {
	dir, name, err := sheet.FolderOf(file)
	if err != nil {
		return p.Base, err
	}
	w, err := sheet.ReadFolder(dir)
	if err != nil {
		return p.Base, err
	}
	if w.Corrections[name].Role == sheet.Unusable {
		return p.Base, fmt.Errorf("is left out: a person marked it unusable in %s", sheet.CorrectionsFile)
	}
	if _, err := os.Stat(filepath.Join(dir, sheet.CardFile)); err == nil {
		if ok, why := w.Card.Allows(sheet.ToBench, today); !ok {
			return p.Base, fmt.Errorf("is left out: %s of this student", why)
		}
	}
	s, err := w.Sheet.Settings(p.Base)
	if err != nil {
		return s, err
	}
	if err := s.Apply(p.Sets); err != nil {
		return s, err
	}
	return s, s.Validate()
}

// hold takes a run for this process. The kernel frees it when the process ends,
// however it ends.
func hold(dir string) (*os.File, error) {
	f, err := os.Open(dir)
	if err != nil {
		return nil, fmt.Errorf("opening the run: %w", err)
	}
	err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		err = fmt.Errorf("the run %q is being measured by another process", dir)
	}
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return f, nil
}
