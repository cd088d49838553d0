package night

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
	"strokereel/pipeline/slate"
)

// Lesson is what a reel is made from.
type Lesson struct {
	Name  string // of its folder
	Sheet sheet.Sheet
	Clips []Clip // before, after, reference, drill; each in order of recording
}

// Clip is one clip of a lesson.
type Clip struct {
	Name         string // within the lesson's folder, with slashes
	Path         string // the original: read, never written
	Role         sheet.Role
	Recorded     time.Time // zero when unknown
	RecordedFrom string    // phone, container or file
	Impact       float64   // s from the first frame, as a person marked it, else 0
	Results      string    // folder with report.json and the tracks
	Settings     settings.Settings
	Numbers      bool // something was measured
}

// MakeReel makes a lesson's films and what belongs to them in the folder out.
// The clips are those that can be shown, with a before and an after among them.
type MakeReel func(ctx context.Context, l Lesson, out string) error

// Job is one night's work.
type Job struct {
	Inbox, Outbox string
	Settings      settings.Settings
	Reel          MakeReel
	ReelVersion   string      // a reel of another version is made again
	Told          func(Event) // called by one goroutine at a time; may be nil

	measure measurer // measureClip when nil
	ears    ears     // pipeline.Reading.Ears when nil
	card    reader   // of cards, slate.Read when nil
}

// reader returns what reads the card that a clip shows.
func (j Job) reader() reader {
	if j.card != nil {
		return j.card
	}
	return func(ctx context.Context, path string) string {
		s, ok, err := slate.Read(ctx, path, j.Settings.Clip, j.Settings.Night.Cards)
		if err != nil || !ok { // a clip that cannot be read is reported when it is measured
			return ""
		}
		return s.Text()
	}
}

// Event tells how far the night is.
type Event struct {
	Lesson, Clip string        // Clip is "" for news of the lesson
	Text         string        // what happened, in plain words
	Done, Total  int           // clips
	Left         time.Duration // to the end of the night, 0 when it cannot be told yet
}

// About writes the time that is left in words, "" when it cannot be told.
func (e Event) About() string {
	if e.Left < time.Second {
		return ""
	}
	return "about " + span(e.Left) + " left"
}

// Run carries out the night and writes the morning page. It returns what was
// done even when it was interrupted; any other error means that the night could
// not start or its page could not be written.
func Run(ctx context.Context, j Job) (*Morning, error) {
	began := time.Now()
	if err := j.Settings.Validate(); err != nil {
		return nil, fmt.Errorf("night: %w", err)
	}
	out, plans, err := open(ctx, j)
	if err != nil {
		return nil, err
	}
	defer out.close()
	newRunner(j, out).run(ctx, plans)
	if ctx.Err() == nil {
		if err := out.retire(plans, j.Settings.Night.Keep, began); err != nil {
			return nil, fmt.Errorf("removing old films: %w", err)
		}
		out.prune(plans)
	}
	m := newMorning(j, plans, began)
	if err := m.write(j.Outbox); err != nil {
		return m, err
	}
	return m, ctx.Err()
}

// open locks the outbox and finds out what there is to do. The caller closes
// the outbox.
func open(ctx context.Context, j Job) (*outbox, []*plan, error) {
	if err := apart(j.Inbox, j.Outbox); err != nil {
		return nil, nil, err
	}
	if err := ready(); err != nil {
		return nil, nil, err
	}
	out, err := openOutbox(j.Outbox)
	if err != nil {
		return nil, nil, err
	}
	found, err := look(j.Inbox, j.Outbox)
	if err != nil {
		out.close()
		return nil, nil, err
	}
	plans, err := prepare(ctx, j, out, found)
	if err != nil {
		out.close()
		return nil, nil, err
	}
	return out, plans, nil
}

// apart makes sure that nothing in the inbox can be taken for a result.
func apart(inbox, outbox string) error {
	in, err := os.Stat(inbox)
	if err != nil {
		return fmt.Errorf("opening the inbox: %w", err)
	}
	if !in.IsDir() {
		return fmt.Errorf("the inbox %q is not a folder: name the folder that holds the lessons", inbox)
	}
	from, err := real(inbox)
	if err != nil {
		return err
	}
	to, err := real(outbox)
	if err != nil {
		return err
	}
	if rel, err := filepath.Rel(to, from); err == nil && filepath.IsLocal(rel) {
		return fmt.Errorf("the inbox %q lies in the outbox %q: choose another folder for the results", inbox, outbox)
	}
	return nil
}

// real returns the absolute path without links, also of what is not there yet.
func real(path string) (string, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return "", fmt.Errorf("finding %q: %w", path, err)
	}
	if r, err := filepath.EvalSymlinks(abs); err == nil {
		return r, nil
	}
	parent := filepath.Dir(abs)
	if parent == abs {
		return abs, nil
	}
	r, err := real(parent)
	return filepath.Join(r, filepath.Base(abs)), err
}

// ready looks for the programs that clips are read with, since without them
// every clip would be reported as broken.
func ready() error {
	for _, name := range []string{"ffmpeg", "ffprobe"} {
		found := false
		for _, dir := range filepath.SplitList(os.Getenv("PATH")) {
			st, err := os.Stat(filepath.Join(dir, name))
			found = found || err == nil && st.Mode().IsRegular() && st.Mode()&0o111 != 0
		}
		if !found {
			return fmt.Errorf("%s is not installed: install ffmpeg, then run night again", name)
		}
	}
	return nil
}
