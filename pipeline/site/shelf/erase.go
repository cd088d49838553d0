package shelf

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/sheet"
	"strokereel/pipeline/site"
)

// ReceiptSchema names the form of a receipt.
const ReceiptSchema = "strokereel/erasure-receipt/1"

// Receipt says what of a student was erased, and what was not.
type Receipt struct {
	Schema  string    `json:"schema"`
	Student string    `json:"student"`
	At      time.Time `json:"at"`
	Shelves []Erased  `json:"shelves"`
	Outbox  Erased    `json:"outbox"`
	Inbox   *Erased   `json:"inbox,omitempty"` // only when asked for
	// Left lists what still mentions the student after a search.
	Left []string `json:"left"`
}

// Erased is what was removed from one place.
type Erased struct {
	Place string `json:"place"`
	Files int    `json:"files"`
	Bytes int64  `json:"bytes"`
	// Failed says why not all was removed.
	Failed string `json:"failed,omitempty"`
}

// Complete reports whether nothing is left.
func (r Receipt) Complete() bool {
	ok := len(r.Left) == 0 && r.Outbox.Failed == "" && (r.Inbox == nil || r.Inbox.Failed == "")
	for _, s := range r.Shelves {
		ok = ok && s.Failed == ""
	}
	return ok
}

// Empty reports whether nothing of the student was found anywhere.
func (r Receipt) Empty() bool {
	n := r.Outbox.Files
	if r.Inbox != nil {
		n += r.Inbox.Files
	}
	for _, s := range r.Shelves {
		n += s.Files
	}
	return n == 0 && r.Complete()
}

// Marshal returns the receipt as indented JSON.
func (r Receipt) Marshal() ([]byte, error) {
	b, err := json.MarshalIndent(r, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("writing the receipt: %w", err)
	}
	return append(b, '\n'), nil
}

// Erase removes a student from every shelf that the outbox was published to and
// from the outbox; from the inbox only when it is named, since originals are
// removed there. The caller keeps the night from working on the outbox
// meanwhile. What stands in the way is in the receipt; an error means that
// nothing was begun.
func Erase(ctx context.Context, outbox, inbox, student string, o site.Options) (Receipt, error) {
	r := Receipt{Schema: ReceiptSchema, Student: student, At: time.Now().Round(time.Second), Shelves: []Erased{}, Left: []string{}}
	all, err := places(outbox)
	if err != nil {
		return r, err
	}
	lessons, err := lessonsIn(outbox)
	if err != nil {
		return r, err
	}
	var shelves []keeperOf
	for _, place := range all {
		e := Erased{Place: place}
		folder, err := eraseFromShelf(ctx, outbox, place, student, o, &e)
		if err != nil {
			e.Failed = err.Error()
		}
		r.Shelves = append(r.Shelves, e)
		shelves = append(shelves, keeperOf{place, folder})
	}
	marks := marksOf(student, lessons)
	if inbox != "" { // while the results still tell which clips are the student's
		e := eraseOriginals(inbox, marks)
		r.Inbox = &e
		r.Left = append(r.Left, search(inbox, marks)...)
	}
	r.Outbox = eraseFolders(outbox, marks)
	r.Left = append(r.Left, search(outbox, marks)...)
	for i, s := range shelves {
		if r.Shelves[i].Failed != "" {
			continue
		}
		left, err := searchShelf(ctx, s, marks)
		if err != nil {
			r.Shelves[i].Failed = err.Error()
		}
		r.Left = append(r.Left, left...)
	}
	return r, ctx.Err()
}

// keeperOf is a shelf and the folder that was the student's on it.
type keeperOf struct{ place, folder string }

func eraseFromShelf(ctx context.Context, outbox, place, student string, o site.Options, e *Erased) (folder string, err error) {
	if !strings.Contains(place, "://") {
		if _, err := os.Stat(place); err != nil {
			return "", fmt.Errorf("the shelf cannot be reached: %w", err)
		}
	}
	k, done, err := open(ctx, outbox, place, o)
	if err != nil {
		return "", err
	}
	defer done()
	s := k.reg.students[student]
	if s == nil {
		return "", nil
	}
	have, err := k.store.List(ctx, s.Folder+"/")
	if err != nil {
		return s.Folder, err
	}
	for _, size := range have {
		e.Files, e.Bytes = e.Files+1, e.Bytes+size
	}
	s.Leaving, s.Withdrawn = true, nil
	if err := k.reg.save(s); err != nil {
		return s.Folder, err
	}
	return s.Folder, k.settle(ctx)
}

// marks are what the results of a student can be known by.
type marks struct {
	student string
	lessons []string
	hashes  []string // of the clips
	films   []string // of those that show the student and nobody else
}

func marksOf(student string, all []finished) marks {
	m := marks{student: student}
	for _, f := range all {
		if f.Student != student {
			continue
		}
		m.lessons = append(m.lessons, f.Lesson)
		for _, c := range f.Clips {
			if len(c.SHA256) == 64 {
				m.hashes = append(m.hashes, c.SHA256)
			}
		}
		m.films = append(m.films, f.films()...)
	}
	for _, f := range all {
		if f.Student == student {
			continue
		}
		theirs := f.films()
		m.films = slices.DeleteFunc(m.films, func(hash string) bool { return slices.Contains(theirs, hash) })
	}
	return m
}

// films lists the fingerprints of the clips that show the lesson's student.
func (f finished) films() (hashes []string) {
	for _, c := range f.Clips {
		if c.Role != string(sheet.Reference) && len(c.SHA256) == 64 {
			hashes = append(hashes, c.SHA256)
		}
	}
	for _, c := range f.LeftOut {
		if len(c.SHA256) == 64 {
			hashes = append(hashes, c.SHA256)
		}
	}
	return hashes
}

// eraseFolders removes the student's lessons from the outbox, and in the night's
// own folder whatever mentions one of the clips: results by key, what was read
// of them, pages of the morning. Those of other students that go with it the
// next night makes again. The lessons go last: they say which clips are the
// student's, should this be broken off and begun anew.
func eraseFolders(outbox string, m marks) Erased {
	e := Erased{Place: outbox}
	fail := func(err error) {
		if err != nil {
			e.Failed = strings.TrimPrefix(e.Failed+"; "+err.Error(), "; ")
		}
	}
	entries, err := os.ReadDir(outbox)
	fail(err)
	for _, d := range entries {
		path := filepath.Join(outbox, d.Name())
		switch {
		case d.Name() == registerDir:
		case d.Type().IsRegular() && m.in(path):
			fail(e.remove(path))
		case d.IsDir() && strings.HasPrefix(d.Name(), "."):
			fail(e.removeWithin(path, m))
		}
	}
	for _, name := range m.lessons {
		fail(e.removeLesson(filepath.Join(outbox, name)))
	}
	return e
}

// removeLesson removes a lesson, last what says whose it is.
func (e *Erased) removeLesson(dir string) error {
	entries, err := os.ReadDir(dir)
	for _, d := range entries {
		if d.Name() != resultFile {
			err = errors.Join(err, e.remove(filepath.Join(dir, d.Name())))
		}
	}
	if err != nil {
		return err
	}
	return e.remove(dir)
}

// removeWithin removes the files of a work folder that mention the student, and
// of folders two levels down, which hold one result each, the whole.
func (e *Erased) removeWithin(dir string, m marks) error {
	var units []string
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(dir, path)
		if err != nil || rel == "." {
			return err
		}
		deep := strings.Count(rel, string(filepath.Separator))
		if d.IsDir() && deep == 1 {
			if strings.HasPrefix(d.Name(), erasing) || m.within(path) {
				units = append(units, path)
			}
			return fs.SkipDir
		}
		if d.Type().IsRegular() && m.in(path) {
			units = append(units, path)
		}
		return nil
	})
	for _, unit := range units {
		err = errors.Join(err, e.removeWhole(unit))
	}
	return err
}

// erasing begins the name of a folder that is being removed.
const erasing = ".erasing-"

// removeWhole removes a file or folder. A folder gets a name first by which an
// erasure that is begun anew knows what an earlier one left of it.
func (e *Erased) removeWhole(unit string) error {
	info, err := os.Stat(unit)
	if name := filepath.Base(unit); err == nil && info.IsDir() && !strings.HasPrefix(name, erasing) {
		marked := filepath.Join(filepath.Dir(unit), erasing+name)
		if err := os.Rename(unit, marked); err != nil {
			return err
		}
		unit = marked
	}
	return e.remove(unit)
}

// remove removes a file or folder and counts what it held.
func (e *Erased) remove(path string) error {
	err := filepath.WalkDir(path, func(_ string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err == nil {
			e.Files, e.Bytes = e.Files+1, e.Bytes+info.Size()
		}
		return err
	})
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return errors.Join(err, os.RemoveAll(path))
}

// eraseOriginals removes from an inbox the folders of the student's lessons,
// those whose sheet or card names the student, and elsewhere the student's cards
// and clips: what was dropped without a folder is known by its fingerprint.
func eraseOriginals(inbox string, m marks) Erased {
	e := Erased{Place: inbox}
	entries, err := os.ReadDir(inbox)
	if err != nil {
		e.Failed = err.Error()
	}
	for _, d := range entries {
		path := filepath.Join(inbox, d.Name())
		if !d.IsDir() || !slices.Contains(m.lessons, d.Name()) && !names(path, m.student) {
			continue
		}
		if err := e.remove(path); err != nil {
			e.Failed = err.Error()
		}
	}
	err = filepath.WalkDir(inbox, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		theirs := d.Name() == sheet.CardFile && names(filepath.Dir(path), m.student)
		if d.Type().IsRegular() && clip.Named(d.Name()) && len(m.films) > 0 {
			hash, err := lesson.Hash(path)
			if err != nil {
				return err
			}
			theirs = slices.Contains(m.films, hash)
		}
		if !theirs {
			return nil
		}
		return e.remove(path)
	})
	if err != nil {
		e.Failed = err.Error()
	}
	return e
}

// names reports whether the sheet or the card in a folder names a student.
func names(dir, student string) bool {
	if data, err := os.ReadFile(filepath.Join(dir, sheet.SheetFile)); err == nil {
		if s, err := sheet.ParseSheet(data); err == nil && s.Student == student {
			return true
		}
	}
	if data, err := os.ReadFile(filepath.Join(dir, sheet.CardFile)); err == nil {
		if c, err := sheet.ParseCard(data); err == nil && c.Student == student {
			return true
		}
	}
	return false
}
