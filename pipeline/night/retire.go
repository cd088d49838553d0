package night

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// heavy are the endings of files that take the room and can be made again from
// the clips and the numbers.
var heavy = []string{".mp4", ".png", ".wav"}

// retire removes films and stills of lessons that were made long ago and whose
// clips are still in the inbox. Numbers, small pictures and what a person added
// stay, and so does every original.
func (o *outbox) retire(plans []*plan, days int, now time.Time) error {
	for _, p := range plans {
		done := p.state == made || p.state == unchanged
		if days == 0 || !done || p.result.Made.After(now.AddDate(0, 0, -days)) {
			continue
		}
		if err := o.lighten(p); err != nil {
			return err
		}
	}
	return nil
}

// lighten notes first what goes and then removes it: a run that was killed
// between is finished by the next.
func (o *outbox) lighten(p *plan) error {
	place, res := filepath.Join(o.dir, p.lesson.Name), p.result
	for _, name := range sorted(res.Files) {
		if slices.Contains(heavy, strings.ToLower(filepath.Ext(name))) {
			res.Retired = append(res.Retired, name)
			delete(res.Files, name)
		}
	}
	res.Films = []string{}
	if err := writeJSON(filepath.Join(place, resultFile), res); err != nil {
		return err
	}
	for _, name := range res.Retired {
		if err := os.Remove(filepath.Join(place, filepath.FromSlash(name))); err != nil && !os.IsNotExist(err) {
			return err
		}
	}
	return nil
}
