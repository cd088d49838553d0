package night

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"strokereel/pipeline/sheet"
)

// endings are the endings of names of clips as phones, messengers and cameras
// write them. Whether one is a clip its bytes decide.
var endings = []string{".mp4", ".mov", ".m4v", ".3gp", ".mkv", ".webm", ".avi", ".ts", ".mts"}

// found is a lesson as it lies in the inbox.
type found struct {
	name, dir string
	clips     []foundClip
	passed    []string // names that are neither clip nor sheet
}

type foundClip struct {
	name, path string     // name: within the lesson's folder, with slashes
	role       sheet.Role // as folder or name say, else ""
}

// look lists the lessons of an inbox by name.
func look(inbox, outbox string) ([]found, error) {
	entries, err := os.ReadDir(inbox)
	if err != nil {
		return nil, fmt.Errorf("opening the inbox: %w", err)
	}
	abs, err := filepath.Abs(inbox)
	if err != nil {
		return nil, fmt.Errorf("opening the inbox: %w", err)
	}
	loose := found{name: filepath.Base(abs), dir: inbox}
	var lessons []found
	for _, e := range entries {
		path := filepath.Join(inbox, e.Name())
		switch {
		case hidden(e.Name()) || sameFile(path, outbox):
		case !isFolder(path) || roleIn(e.Name()) != "":
			loose.take(path, e.Name())
		default:
			l := found{name: e.Name(), dir: path}
			if err := l.fill(); err != nil {
				l.passed = append(l.passed, err.Error())
			}
			lessons = append(lessons, l)
		}
	}
	if len(loose.clips) > 0 {
		for slices.ContainsFunc(lessons, func(l found) bool { return l.name == loose.name }) {
			loose.name += " (loose clips)"
		}
		lessons = append(lessons, loose)
	}
	return lessons, nil
}

// fill lists a lesson's folder.
func (l *found) fill() error {
	entries, err := os.ReadDir(l.dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if !hidden(e.Name()) {
			l.take(filepath.Join(l.dir, e.Name()), e.Name())
		}
	}
	return nil
}

// take adds a clip, or the clips of a folder that is named after a role.
func (l *found) take(path, name string) {
	role := roleIn(name)
	switch {
	case name == sheet.SheetFile, name == sheet.CardFile, name == sheet.CorrectionsFile:
	case isFolder(path) && role != "":
		entries, err := os.ReadDir(path)
		if err != nil {
			l.passed = append(l.passed, err.Error())
		}
		for _, e := range entries {
			inner := filepath.Join(path, e.Name())
			switch {
			case hidden(e.Name()):
			case isClip(e.Name()) && !isFolder(inner):
				l.clips = append(l.clips, foundClip{name + "/" + e.Name(), inner, role})
			default:
				l.passed = append(l.passed, name+"/"+e.Name())
			}
		}
	case isClip(name) && !isFolder(path):
		l.clips = append(l.clips, foundClip{name, path, role})
	default:
		l.passed = append(l.passed, name)
	}
}

// roleIn finds the one role that a name has as a word.
func roleIn(name string) sheet.Role {
	var role sheet.Role
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r < 'a' || r > 'z' })
	for _, w := range words {
		r := sheet.Role(w)
		if !slices.Contains(sheet.Roles(), r) || r == role {
			continue
		}
		if role != "" {
			return "" // it says two things
		}
		role = r
	}
	return role
}

// hidden files are the systems' own; phones leave "._" beside every clip.
func hidden(name string) bool { return strings.HasPrefix(name, ".") }

func isClip(name string) bool {
	return slices.Contains(endings, strings.ToLower(filepath.Ext(name)))
}

func isFolder(path string) bool {
	st, err := os.Stat(path)
	return err == nil && st.IsDir()
}

func sameFile(a, b string) bool {
	sa, errA := os.Stat(a)
	sb, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(sa, sb)
}

// readWritten reads what people wrote about a lesson. The bytes are part of its
// key.
func readWritten(dir string) (s sheet.Sheet, fixes sheet.Corrections, bytes []byte, err error) {
	var card sheet.Card
	for _, f := range []struct {
		name  string
		parse func([]byte) error
	}{
		{sheet.SheetFile, func(b []byte) (err error) { s, err = sheet.ParseSheet(b); return }},
		{sheet.CardFile, func(b []byte) (err error) { card, err = sheet.ParseCard(b); return }},
		{sheet.CorrectionsFile, func(b []byte) (err error) { fixes, err = sheet.ParseCorrections(b); return }},
	} {
		data, err := os.ReadFile(filepath.Join(dir, f.name))
		if os.IsNotExist(err) {
			continue
		}
		if err == nil {
			err = f.parse(data)
		}
		if err != nil {
			return s, fixes, nil, &writtenWrong{f.name, err}
		}
		bytes = fmt.Appendf(bytes, "%s %d\n%s", f.name, len(data), data)
	}
	if s, err = s.With(card); err != nil {
		return s, fixes, nil, &writtenWrong{sheet.CardFile, err}
	}
	return s, fixes, bytes, nil
}

// writtenWrong is a sheet, card or corrections that cannot be followed.
type writtenWrong struct {
	file  string
	cause error
}

func (w *writtenWrong) Error() string { return w.file + ": " + w.cause.Error() }
func (w *writtenWrong) Unwrap() error { return w.cause }
