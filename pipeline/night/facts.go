package night

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"syscall"
	"time"

	"golang.org/x/sync/errgroup"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
)

// identity is what a file system tells about a file. The change time cannot be
// set from outside, so bytes that are written anew always show.
type identity struct {
	Device, Inode    uint64
	Size             int64
	Modified, Change int64 // ns
}

func identify(path string) (identity, error) {
	st, err := os.Stat(path)
	if err != nil {
		return identity{}, err
	}
	s, ok := st.Sys().(*syscall.Stat_t)
	if !st.Mode().IsRegular() || !ok {
		return identity{}, errNotPlain
	}
	return identity{uint64(s.Dev), s.Ino, s.Size, s.Mtim.Nano(), s.Ctim.Nano()}, nil
}

var errNotPlain = errors.New("is not a plain file")

// fact is what was once read from a clip.
type fact struct {
	identity
	Form         int // of this record
	SHA256       string
	Recorded     time.Time
	RecordedFrom string      // phone, container or file
	Length       float64     `json:",omitempty"` // s
	Phone        string      `json:",omitempty"` // with the size and rate of its pictures
	Shown        string      // what the card says that it shows, "" without one
	Within       float64     // s, how long after its beginning a card was looked for
	Glance       clip.Glance `json:",omitempty"` // once it was compared
}

// factForm grows when something else is read.
const factForm = 1

// settled is how old a change must be before a file that looks the same is the
// same: twice the coarsest clock of common file systems (FAT, 2 s).
const settled = 4 * time.Second

// cardTime bounds the look at the header of a clip and for a card in it.
const cardTime = time.Minute

// reader finds the text of the card that a clip shows.
type reader func(ctx context.Context, path string) string

// facts remembers what was read, so that an unchanged inbox is not read again.
type facts struct {
	path   string
	card   reader
	within float64         // s, in which a clip may show a card
	known  map[string]fact // by device and inode

	mu  sync.Mutex
	met map[string]fact
}

func openFacts(work string, card reader, within float64) *facts {
	f := &facts{path: filepath.Join(work, "facts.json"), card: card, within: within, met: map[string]fact{}}
	readJSON(f.path, &f.known)
	return f
}

// read reads clips side by side; only an interruption is an error.
func (f *facts) read(ctx context.Context, clips []*foundClip, lanes int) error {
	var group errgroup.Group
	group.SetLimit(lanes)
	for _, c := range clips {
		group.Go(func() error {
			c.fact, c.unread = f.of(ctx, c.path)
			return ctx.Err()
		})
	}
	return group.Wait()
}

// of reads a clip's fingerprint, time of recording and card.
func (f *facts) of(ctx context.Context, path string) (fact, error) {
	id, err := identify(path)
	if err != nil {
		return fact{}, err
	}
	if k, ok := f.known[id.name()]; ok && k.identity == id && k.Form == factForm && k.Within == f.within {
		f.keep(k)
		return k, nil
	}
	out := fact{identity: id, Form: factForm, Within: f.within}
	if out.SHA256, err = lesson.Hash(path); err != nil {
		return fact{}, err
	}
	limited, cancel := context.WithTimeout(ctx, cardTime)
	defer cancel()
	info, err := clip.Probe(limited, path)
	if ctx.Err() != nil {
		return fact{}, ctx.Err()
	}
	out.Length, out.Phone = info.Duration, phoneOf(info)
	if err == nil && !info.Recorded.IsZero() {
		out.Recorded, out.RecordedFrom = info.Recorded, info.RecordedFrom
	} else { // a clip that cannot be read is reported when it is measured
		out.Recorded, out.RecordedFrom = time.Unix(0, id.Modified), "file"
	}
	if f.within > 0 {
		out.Shown = f.card(limited, path)
	}
	f.keepSettled(out)
	return out, nil
}

// phoneOf names a phone that says what it is, and how it was set: another size or
// rate of pictures is another way through the phone.
func phoneOf(i clip.Info) string {
	if i.Device == "" {
		return ""
	}
	return fmt.Sprintf("%s, %dx%d, %.0f frames/s", i.Device, i.Width, i.Height, i.AverageRate.Float())
}

// name of a file that stays when it is moved.
func (i identity) name() string { return fmt.Sprintf("%x-%x", i.Device, i.Inode) }

// keepSettled remembers a fact unless the file has changed just now.
func (f *facts) keepSettled(k fact) {
	if time.Since(time.Unix(0, k.Change)) > settled {
		f.keep(k)
	}
}

func (f *facts) keep(k fact) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.met[k.name()] = k
}

// save keeps what was met; failing costs only time in the next night.
func (f *facts) save() error { return writeJSON(f.path, f.met) }
