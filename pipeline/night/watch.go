package night

import (
	"path/filepath"
	"slices"
	"syscall"
	"time"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
)

// startHours is how long after the set hour a night may still start.
const startHours = 6

// brokenAfter is how long a clip that is not complete may stand still before it
// is taken for a broken copy, which a night reports: a phone that was carried
// out of reach is back by then, our judgement.
const brokenAfter = 30 * time.Minute

// Watch knows an inbox from sweep to sweep. It reads names, sizes and times,
// and of a clip that has come to rest its boxes; it holds no file open, so it
// works on a network disk as well.
type Watch struct {
	Inbox, Outbox string
	Options       settings.Night

	files   map[string]*arrival
	folders []string  // in which something may arrive
	last    time.Time // when something arrived or changed
	due     bool      // since the last night
}

// arrival is a file on its way into the inbox.
type arrival struct {
	identity
	since time.Time // of the last change
	here  bool
}

// Sweep looks at the inbox and returns the clips that have arrived since the
// last sweep.
func (w *Watch) Sweep(now time.Time) ([]string, error) {
	lessons, err := look(w.Inbox, w.Outbox)
	if err != nil {
		return nil, err
	}
	if w.files == nil {
		w.files = map[string]*arrival{}
	}
	w.folders = folders(w.Inbox, lessons)
	var arrived []string
	met := map[string]bool{}
	for _, l := range lessons {
		for _, c := range l.clips {
			met[c.path] = true
			if w.meet(c.path, now, clip.Complete) {
				arrived = append(arrived, c.path)
			}
		}
		for _, name := range []string{sheet.SheetFile, sheet.CardFile, sheet.CorrectionsFile} {
			path := filepath.Join(l.dir, name)
			met[path] = true
			w.meet(path, now, func(string) bool { return true })
		}
	}
	for path := range w.files {
		if !met[path] {
			delete(w.files, path)
			w.last, w.due = now, true
		}
	}
	slices.Sort(arrived)
	return arrived, nil
}

// meet notes a file and reports whether it has just arrived.
func (w *Watch) meet(path string, now time.Time, complete func(string) bool) bool {
	id, err := identify(path)
	if err != nil {
		return false // a folder, a pipe, gone meanwhile: a night says so
	}
	f := w.files[path]
	if f == nil || f.identity != id {
		w.files[path] = &arrival{identity: id, since: now}
		w.last, w.due = now, true
		return false
	}
	still := now.Sub(f.since)
	if f.here || still < seconds(w.Options.Arrived) || still < brokenAfter && !complete(path) {
		return false
	}
	f.here = true
	w.last = now
	return true
}

// Folders lists the folders in which something may arrive, as of the last sweep.
func (w *Watch) Folders() []string { return w.folders }

const (
	// soon is the time to the next sweep while something is on its way.
	soon = time.Second
	// atLeast is the time to the next sweep when all is quiet: short enough for a
	// verdict within 15 seconds also on a disk that does not tell of changes.
	atLeast = 5 * time.Second
)

// Next is how long to wait for the next sweep when nothing rings.
func (w *Watch) Next() time.Duration {
	for _, f := range w.files {
		if !f.here {
			return soon
		}
	}
	return atLeast
}

func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

// Due reports whether a night should start: something changed, all of it has
// arrived, the inbox has been quiet and the hour is right.
func (w *Watch) Due(now time.Time) bool {
	if !w.due || now.Sub(w.last) < seconds(60*w.Options.Settle) {
		return false
	}
	for _, f := range w.files {
		if !f.here {
			return false
		}
	}
	h := w.Options.StartHour
	return h < 0 || (now.Hour()-h+24)%24 < startHours
}

// Started notes that a night has begun.
func (w *Watch) Started() { w.due = false }

// Room reports whether the disk of the outbox has the room that a night should
// have; when that cannot be found out, the night will tell.
func (w *Watch) Room() (free float64, enough bool) {
	var st syscall.Statfs_t
	if syscall.Statfs(w.Outbox, &st) != nil && syscall.Statfs(filepath.Dir(filepath.Clean(w.Outbox)), &st) != nil {
		return 0, true
	}
	free = float64(st.Bavail) * float64(st.Bsize) / 1e9
	return free, free >= w.Options.LeastFree
}
