package night

import (
	"fmt"
	"io/fs"
	"path/filepath"
	"time"

	"github.com/fsnotify/fsnotify"
)

// gather is how long news of files is gathered before it is passed on: a copy
// tells of every piece it writes.
const gather = 300 * time.Millisecond

// Alarm tells that something happened in an inbox, on disks that can tell.
type Alarm struct {
	C       <-chan struct{} // one for many changes
	watcher *fsnotify.Watcher
}

// NewAlarm makes an alarm that hears nothing yet. The caller closes it.
func NewAlarm() (*Alarm, error) {
	w, err := fsnotify.NewWatcher()
	if err != nil {
		return nil, fmt.Errorf("listening for new clips: %w", err)
	}
	rung := make(chan struct{}, 1)
	go ring(w, rung)
	return &Alarm{C: rung, watcher: w}, nil
}

// Close ends the alarm.
func (a *Alarm) Close() error { return a.watcher.Close() }

// Hear listens to folders, new ones besides the earlier. One that cannot be
// listened to (a network disk, too many folders) is left to the sweeps.
func (a *Alarm) Hear(folders []string) {
	for _, f := range folders {
		_ = a.watcher.Add(f)
	}
}

// ring passes news on until the watcher is closed.
func ring(w *fsnotify.Watcher, rung chan<- struct{}) {
	for {
		select {
		case _, open := <-w.Events:
			if !open {
				return
			}
			time.Sleep(gather)
			for len(w.Events) > 0 {
				<-w.Events
			}
		case _, open := <-w.Errors: // events were lost: look all the same
			if !open {
				return
			}
		}
		select {
		case rung <- struct{}{}:
		default: // nobody has answered the last one yet
		}
	}
}

// folders lists the folders of an inbox in which something may arrive.
func folders(inbox string, lessons []found) []string {
	all := []string{inbox}
	for _, l := range lessons {
		_ = filepath.WalkDir(l.dir, func(path string, d fs.DirEntry, err error) error {
			switch {
			case err != nil || !d.IsDir():
			case path != l.dir && (l.dir == inbox || roleIn(d.Name()) == ""):
				return fs.SkipDir
			default:
				all = append(all, path)
			}
			return nil
		})
	}
	return all
}
