package night

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/sheet"
)

// found is a lesson as it lies in the inbox, or what cards made of it.
type found struct {
	name, dir string
	loose     bool // the clips lie in the inbox itself
	clips     []foundClip
	passed    []string // names that are neither clip nor sheet
	beside    []string // names of all clips of the folder

	written sheet.Written
	wrong   error // what is written cannot be followed

	student  string   // as cards say, "" when none was seen
	unsorted []string // names of clips of which nothing tells whose they are
	notes    []string
	needs    []Need
}

type foundClip struct {
	name, path string     // name: within the lesson's folder, with slashes
	role       sheet.Role // as folder or name say, else ""
	fact       fact
	unread     error  // why there is no fact
	copyOf     string // name of the clip whose film it is, coded again
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
	loose := found{name: filepath.Base(abs), dir: inbox, loose: true}
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
			case clip.Named(e.Name()) && !isFolder(inner):
				l.add(name+"/"+e.Name(), inner, role)
			default:
				l.passed = append(l.passed, name+"/"+e.Name())
			}
		}
	case clip.Named(name) && !isFolder(path):
		l.add(name, path, role)
	default:
		l.passed = append(l.passed, name)
	}
}

func (l *found) add(name, path string, role sheet.Role) {
	l.clips, l.beside = append(l.clips, foundClip{name: name, path: path, role: role}), append(l.beside, name)
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

func isFolder(path string) bool {
	st, err := os.Stat(path)
	return err == nil && st.IsDir()
}

func sameFile(a, b string) bool {
	sa, errA := os.Stat(a)
	sb, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(sa, sb)
}
