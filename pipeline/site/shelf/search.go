package shelf

import (
	"bytes"
	"context"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// searched are the endings of files that can mention a student in words.
var searched = []string{".json", ".csv", ".html", ".txt", ".yaml", ".yml", ".vtt", ".svg", ".log"}

// longestSearched bounds the files that are searched, bytes: longer ones are
// films and pictures.
const longestSearched = 32 << 20

// in reports whether a file mentions the student or one of the clips: in words, or
// by the clip's fingerprint in its path, as what was read of a clip does.
func (m marks) in(path string) bool {
	if slices.ContainsFunc(m.hashes, func(hash string) bool { return strings.Contains(path, hash) }) {
		return true
	}
	st, err := os.Stat(path)
	if err != nil || st.Size() > longestSearched || !slices.Contains(searched, strings.ToLower(filepath.Ext(path))) {
		return false
	}
	data, err := os.ReadFile(path)
	return err == nil && m.mentioned(data)
}

// within reports whether a file below a folder, or the path itself, does.
func (m marks) within(dir string) bool {
	found := false
	filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err == nil && d.Type().IsRegular() && m.in(path) {
			found = true
			return fs.SkipAll
		}
		return nil
	})
	return found
}

// mentioned reports whether a text has the student's code as a whole word, or a
// clip's fingerprint.
func (m marks) mentioned(data []byte) bool {
	for _, h := range m.hashes {
		if bytes.Contains(data, []byte(h)) {
			return true
		}
	}
	return hasWord(data, m.student)
}

// hasWord finds a word that no letter, digit, hyphen or low line continues: S-01
// is not in S-014.
func hasWord(data []byte, word string) bool {
	if word == "" {
		return false
	}
	for at := 0; ; {
		i := bytes.Index(data[at:], []byte(word))
		if i < 0 {
			return false
		}
		from, to := at+i, at+i+len(word)
		before, _ := utf8.DecodeLastRune(data[:from])
		after, _ := utf8.DecodeRune(data[to:])
		if !continues(before) && !continues(after) {
			return true
		}
		at = from + 1
	}
}

func continues(r rune) bool {
	return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r) || r == '-' || r == '_')
}

// search lists the files below a folder that mention the student.
func search(dir string, m marks) []string {
	var left []string
	filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err == nil && d.Type().IsRegular() && m.in(path) {
			left = append(left, path)
		}
		return nil
	})
	return left
}

// searchShelf lists what is left of a student on a shelf: anything in the folder
// that was the student's, and pages that mention the student.
func searchShelf(ctx context.Context, s keeperOf, m marks) ([]string, error) {
	store, err := OpenStore(ctx, s.place)
	if err != nil {
		return nil, err
	}
	defer store.Close()
	have, err := store.List(ctx, "")
	if err != nil {
		return nil, err
	}
	var left []string
	for name, size := range have {
		if s.folder != "" && strings.HasPrefix(name, s.folder+"/") {
			left = append(left, s.place+" "+name)
			continue
		}
		if size > longestSearched || !slices.Contains(searched, path.Ext(name)) {
			continue
		}
		r, err := store.Open(ctx, name)
		if err != nil {
			return left, err
		}
		data, err := io.ReadAll(r)
		r.Close()
		if err != nil {
			return left, err
		}
		if m.mentioned(data) {
			left = append(left, s.place+" "+name)
		}
	}
	slices.Sort(left)
	return left, nil
}
