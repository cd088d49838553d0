package shelf

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/site"
)

// Schema names the form of the register's files.
const Schema = "strokereel/shelf/1"

// registerDir is the register within an outbox.
const registerDir = ".shelf"

// Names within the register of one shelf.
const (
	shelfFile  = "shelf.json"
	studentExt = ".student.json"
)

// register is what is known of one shelf: one file for the shelf itself and one
// for each student, written whenever it changes.
type register struct {
	dir      string
	shelf    shelfRecord
	students map[string]*studentRecord // by code
}

// shelfRecord is what concerns no single student.
type shelfRecord struct {
	Schema  string            `json:"schema"`
	Place   string            `json:"place"`   // folder or URL
	Academy string            `json:"academy"` // folder of its lists
	Coaches map[string]string `json:"coaches"` // folders of their lists, by code
	Lists   map[string]string `json:"made"`    // fingerprints of the lists that are there, by folder
}

// studentRecord is what the shelf holds of a student.
type studentRecord struct {
	Schema  string                   `json:"schema"`
	Student string                   `json:"student"`
	Folder  string                   `json:"folder"`
	Page    string                   `json:"page"`    // fingerprint of the page that is there
	Lessons map[string]*lessonRecord `json:"lessons"` // by name in the outbox
	// Withdrawn keeps lessons, or with everything all of them, from being
	// published again until a person says so.
	Withdrawn map[string]bool `json:"withdrawn,omitempty"`
	// Gone are folders of lessons that are being taken away; Leaving says that the
	// student's whole folder is.
	Gone    []string `json:"gone,omitempty"`
	Leaving bool     `json:"leaving,omitempty"`
}

// lessonRecord is a lesson that is, or is about to be, on the shelf.
type lessonRecord struct {
	site.Record
	There bool   `json:"there"` // there is a complete page
	Made  string `json:"made"`  // fingerprint of it, "" while it is being put there
}

// everything stands for all lessons of a student, those to come included. No
// folder has this name.
const everything = "/"

// token is a name of 128 random bits: 26 letters and digits.
func token() string { return strings.ToLower(rand.Text()) }

var isToken = regexp.MustCompile(`^[a-z2-7]{26}$`)

// openRegister reads the register of a shelf, or begins one.
func openRegister(outbox, place string) (*register, error) {
	sum := sha256.Sum256([]byte(place))
	r := &register{dir: filepath.Join(outbox, registerDir, hex.EncodeToString(sum[:8])), students: map[string]*studentRecord{}}
	if err := os.MkdirAll(r.dir, 0o700); err != nil {
		return nil, fmt.Errorf("opening the register: %w", err)
	}
	err := readRecord(filepath.Join(r.dir, shelfFile), &r.shelf)
	if errors.Is(err, fs.ErrNotExist) {
		r.shelf = shelfRecord{Schema: Schema, Place: place, Academy: token(), Coaches: map[string]string{}, Lists: map[string]string{}}
		err = r.saveShelf()
	}
	if err != nil {
		return nil, fmt.Errorf("opening the register: %w", err)
	}
	if r.shelf.Lists == nil { // of an earlier version
		r.shelf.Lists = map[string]string{}
	}
	files, err := filepath.Glob(filepath.Join(r.dir, "*"+studentExt))
	if err != nil {
		return nil, fmt.Errorf("opening the register: %w", err)
	}
	for _, f := range files {
		s := &studentRecord{}
		if err := readRecord(f, s); err != nil {
			return nil, fmt.Errorf("opening the register: %w", err)
		}
		if !isToken.MatchString(s.Folder) {
			return nil, fmt.Errorf("opening the register: %q names no folder", filepath.Base(f))
		}
		r.students[s.Student] = s
	}
	return r, nil
}

// record is one of the register's files.
type record interface{ form() string }

func (s *shelfRecord) form() string   { return s.Schema }
func (s *studentRecord) form() string { return s.Schema }

// readRecord reads one of the register's files; one that is broken is an error,
// since to begin anew would forget what is on the shelf.
func readRecord(path string, v record) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	if err := json.Unmarshal(data, v); err != nil {
		return fmt.Errorf("%q: %w", filepath.Base(path), err)
	}
	if v.form() != Schema {
		return fmt.Errorf("%q is not of the form %s", filepath.Base(path), Schema)
	}
	return nil
}

func (r *register) saveShelf() error { return save(filepath.Join(r.dir, shelfFile), r.shelf) }

func (r *register) save(s *studentRecord) error {
	return save(filepath.Join(r.dir, s.Folder+studentExt), s)
}

func save(path string, v any) error {
	data, err := json.Marshal(v)
	if err != nil {
		return fmt.Errorf("writing the register: %w", err)
	}
	return lesson.WriteFile(path, func(w io.Writer) error {
		_, err := w.Write(append(data, '\n'))
		return err
	})
}

// student returns a student's record, beginning one where there is none.
func (r *register) student(code string) *studentRecord {
	s := r.students[code]
	if s == nil {
		s = &studentRecord{Schema: Schema, Student: code, Folder: token(), Lessons: map[string]*lessonRecord{}, Withdrawn: map[string]bool{}}
		r.students[code] = s
	}
	if s.Lessons == nil {
		s.Lessons = map[string]*lessonRecord{}
	}
	if s.Withdrawn == nil {
		s.Withdrawn = map[string]bool{}
	}
	return s
}

// there lists the lessons whose pages can be opened.
func (s *studentRecord) there() []site.Record {
	var out []site.Record
	for _, name := range slices.Sorted(maps.Keys(s.Lessons)) {
		if l := s.Lessons[name]; l.There && !s.Leaving {
			out = append(out, l.Record)
		}
	}
	return out
}

// madeOf is the fingerprint of a student's page, found from what the lessons on
// it were made of.
func (s *studentRecord) madeOf(lookKey string) string {
	made := map[string]string{}
	for _, l := range s.Lessons {
		if l.There {
			made[l.Folder] = l.Made
		}
	}
	return fingerprint(site.Version, lookKey, s.Student, made)
}

// forget removes a student's record.
func (r *register) forget(s *studentRecord) error {
	delete(r.students, s.Student)
	if err := os.Remove(filepath.Join(r.dir, s.Folder+studentExt)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("clearing the register: %w", err)
	}
	return nil
}

// places lists the shelves that an outbox was ever published to.
func places(outbox string) ([]string, error) {
	files, err := filepath.Glob(filepath.Join(outbox, registerDir, "*", shelfFile))
	if err != nil {
		return nil, err
	}
	var out []string
	for _, f := range files {
		var s shelfRecord
		if err := readRecord(f, &s); err != nil {
			return nil, fmt.Errorf("opening the register: %w", err)
		}
		out = append(out, s.Place)
	}
	return out, nil
}

// ErrHeld says that another process works on the shelf.
var ErrHeld = errors.New("another process is publishing from this outbox")

// hold keeps other processes from the register until it is closed.
func hold(outbox string) (io.Closer, error) {
	dir := filepath.Join(outbox, registerDir)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, fmt.Errorf("opening the register: %w", err)
	}
	f, err := os.OpenFile(filepath.Join(dir, "lock"), os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, fmt.Errorf("opening the register: %w", err)
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		f.Close()
		return nil, ErrHeld
	}
	return f, nil
}

// Links are the addresses to give away, within a shelf.
type Links struct {
	Academy  string
	Coaches  map[string]string
	Students map[string]string
}

// LinksOf reads the links of a shelf from the register.
func LinksOf(outbox, place string) (Links, error) {
	known, err := places(outbox)
	if err != nil {
		return Links{}, err
	}
	if !slices.Contains(known, address(place)) {
		return Links{}, fmt.Errorf("nothing was ever published from %q to %q", outbox, place)
	}
	r, err := openRegister(outbox, address(place))
	if err != nil {
		return Links{}, err
	}
	return r.links(), nil
}

func (r *register) links() Links {
	l := Links{r.shelf.Academy + "/" + site.Index, map[string]string{}, map[string]string{}}
	for code, folder := range r.shelf.Coaches {
		l.Coaches[code] = folder + "/" + site.Index
	}
	for code, s := range r.students {
		if len(s.there()) > 0 {
			l.Students[code] = s.Folder + "/" + site.Index
		}
	}
	return l
}

// address is a shelf's place written in one way.
func address(place string) string {
	if strings.Contains(place, "://") {
		return place
	}
	if abs, err := filepath.Abs(place); err == nil {
		return filepath.Clean(abs)
	}
	return place
}
